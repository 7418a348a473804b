"""Ends a run by a signal before and after each single change of the disk that replacing several files makes, and by one
before every change from there on.

`python tests/hostile/changes.py` prints, as JSON, what each end left. A process of its own, because it forks.
"""

from __future__ import annotations

import json
import os
import signal
import tempfile
import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import IO, Any

from marking.files import whole as files

CHANGES = ("mkdir", "chmod", "link", "rename", "replace", "unlink", "rmdir")
TARGETS = ("a.svg", "b.svg", "c.svg")
OLD = {"a.svg": "old a.svg", "b.svg": "old b.svg"}
"""What is there before: c.svg is not."""


def write() -> None:
    files.write_whole({Path(name): partial(_write, f"new {name}".encode()) for name in TARGETS})


def _write(content: bytes, file: IO[bytes]) -> None:
    file.write(content)


def contents() -> dict[str, str]:
    return {name: Path(name).read_text("utf-8") for name in TARGETS if Path(name).exists()}


def left() -> list[str]:
    return [path.name for path in Path().iterdir() if path.name not in TARGETS]


def counted(at: int, when: str, sent: int) -> Callable[[], int]:
    """Make the change number `at` send a signal to this process, or all from there on; return what counts changes."""
    calls = 0

    def wrap(real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **more: Any) -> Any:
            nonlocal calls
            calls += 1
            mine = calls == at
            if (mine and when == "before") or (calls >= at and when == "from"):
                os.kill(os.getpid(), sent)
            try:
                return real(*arguments, **more)
            finally:
                if mine and when == "after":
                    os.kill(os.getpid(), sent)

        return call

    for name in CHANGES:
        setattr(os, name, wrap(getattr(os, name)))
    return lambda: calls


def run(at: int, when: str, sent: int) -> int:
    """Write in a child that gets the signal; return its exit code, negative for a signal that killed it."""
    child = os.fork()
    if not child:
        code = 1
        try:
            calls = counted(at, when, sent)
            write()
            code = 0 if calls() < at else 2
        except KeyboardInterrupt:
            code = 130
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def ends(when: str, sent: int) -> list[dict[str, Any]]:
    """What is left after an end at every change, and what the next run, in this process, says and leaves."""
    found: list[dict[str, Any]] = []
    code = -1
    while code:  # until the run ends by itself, since it makes fewer changes
        with tempfile.TemporaryDirectory() as folder:
            os.chdir(folder)
            for name, text in OLD.items():
                Path(name).write_text(text, "utf-8")
            code = run(len(found) + 1, when, sent)
            end = {"when": when, "signal": sent, "code": code, "contents": contents(), "left": left()}
            with warnings.catch_warnings(record=True) as said:
                warnings.simplefilter("always")
                files.write_whole({Path("next.svg"): lambda file: file.write(b"next")})
            after = {"said": [str(warning.message) for warning in said], "contents_after": contents()}
            Path("next.svg").unlink()
            found.append(end | after | {"left_after": left()})
            os.chdir("/")
    return found[:-1]


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.default_int_handler)
    setattr(os, "fsync", lambda _: None)  # noqa: B010  # slow, and of no use here: no power fails
    cases = [(when, sent) for when in ("before", "after") for sent in (signal.SIGINT, signal.SIGKILL)]
    print(json.dumps([end for case in [*cases, ("from", signal.SIGINT)] for end in ends(*case)]))
