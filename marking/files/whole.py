"""Writing files whole or not at all, whatever happens on the way.

Beside the targets stands a hidden folder `.turnband-…` while they are written, locked by its owner. Its folder `new`
takes the new files. When all are complete, `old` gets a link to each file that will be replaced, `new` is renamed to
`due`, and every file of `due` is moved to its target, which replaces the old one in one step. Then the hidden
folder goes.

- A failure or Ctrl-C before the first move changes nothing; a failure among the moves puts back what was replaced.
  Ctrl-C and the like wait while files are moved, which takes milliseconds.
- Killed outright, every target is whole, old or new. Some may be new and others old: then `due` still holds the ones
  that were not replaced. The next run in that folder names them (OutputWarning) and removes what nobody holds locked.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import shutil
import signal
import stat
import threading
import warnings
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO, Any

from ..errors import OutputError, OutputWarning

try:
    import fcntl
except ImportError:  # Windows: there a folder that a killed run left stays
    fcntl = None  # type: ignore[assignment]


Writer = Callable[[IO[bytes]], object]
"""Writes the content of one file to an open one."""

STAGE_NAME = re.compile(r"\.turnband-[0-9a-f]{16}")

ENDING = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))

NAMED = 4
"""File names that one warning gives."""


def write_whole(files: Mapping[Path, Writer]) -> None:
    """Write every file, or leave everything as it was. Existing files are replaced only when all are complete.

    The writers are called one after the other, in the order of `files`. A link is followed, so that its target is
    replaced and not the link. Raises OutputError; warns with OutputWarning of what a killed run left half replaced.
    """
    stages: dict[Path, _Stage] = {}
    path = Path()
    try:
        targets: dict[Path, Path] = {}
        for path in files:
            targets[_checked(path, targets)] = path
        for target, path in targets.items():
            if target.parent not in stages:
                _tidy(target.parent, targets)
                stages[target.parent] = _Stage(target.parent)
                stages[target.parent].open()
            stages[target.parent].write(target, files[path])
        with _unbroken():
            _move([(stages[target.parent], target) for target in targets])
            _remove(stages)
    except BaseException as error:
        with _unbroken():
            _remove(stages)
        if isinstance(error, OSError) and not isinstance(error, OutputError):
            reason = (error.strerror or str(error)).lower()
            full = error.errno in (errno.ENOSPC, errno.EDQUOT)
            expected = "room on the disk" if full else "a folder that exists and may be written to"
            raise OutputError(f"cannot write {str(path)!r}: {reason}", expected, field="output") from error
        raise


def _checked(path: Path, taken: Collection[Path]) -> Path:
    """Where the file really goes. Raises OutputError for what must not be replaced."""
    target = Path(os.path.realpath(path))
    if target in taken:
        raise OutputError(f"cannot write {str(path)!r}: it is the same file as another page", "", "remove the links")
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return target
    if stat.S_ISDIR(mode):
        raise OutputError(f"cannot write {str(path)!r}: it is a folder", "a file name", field="output")
    if not stat.S_ISREG(mode):
        raise OutputError(f"cannot write {str(path)!r}: it is no ordinary file", "a file name", field="output")
    if not mode & 0o222 or not os.access(target, os.W_OK):
        raise OutputError(
            f"cannot write {str(path)!r}: it is read-only", "", "choose another name, or make it writable first"
        )
    return target


class _Stage:
    """The hidden folder beside the targets of one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = self.path = folder
        self.lock: int | None = None

    def open(self) -> None:
        """Make the folder and lock it; before that, another run may take it for left over, and remove it."""
        while self.path == self.folder or not self.path.exists():
            self.path = self.folder / f".turnband-{os.urandom(8).hex()}"  # kept first, so that it is never forgotten
            self.path.mkdir(0o700)
            self.lock = _locked(self.path, wait=True)
        for name in ("new", "old"):
            (self.path / name).mkdir()

    def write(self, target: Path, write: Writer) -> None:
        """Write the new content of `target` in full, with the permissions of the old file or of any new one."""
        with open(self.path / "new" / target.name, "xb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileNotFoundError):
            os.chmod(file.name, target.stat().st_mode & 0o777)

    def keep(self, target: Path) -> None:
        """Keep the old file, if there is one."""
        if not target.exists():
            return
        kept = self.path / "old" / target.name
        try:
            os.link(target, kept)
        except OSError:  # a file system without links, or a file whose owner is somebody else
            shutil.copy2(target, kept)

    def begin(self) -> None:
        """Mark that from now on files are moved."""
        os.rename(self.path / "new", self.path / "due")

    def move(self, target: Path) -> None:
        """Put the new file in place of the old one."""
        os.replace(self.path / "due" / target.name, target)

    def put_back(self, target: Path) -> None:
        """Undo `move`, if it was done."""
        old = self.path / "old" / target.name
        if (self.path / "due" / target.name).exists():
            return
        if old.exists():
            os.replace(old, target)
        else:
            target.unlink(missing_ok=True)

    def remove(self) -> None:
        """Remove the folder, also after a part of it was made or removed."""
        if self.path != self.folder:
            shutil.rmtree(self.path, ignore_errors=True)
        if self.lock is not None:
            os.close(self.lock)
            self.lock = None


def _move(moves: Sequence[tuple[_Stage, Path]]) -> None:
    """Move every new file to its target; if that fails half-way, put back what was replaced."""
    for stage, target in moves:
        stage.keep(target)
    for stage in dict(moves):
        stage.begin()
    try:
        for stage, target in moves:
            stage.move(target)
    except BaseException:
        for stage, target in moves:
            stage.put_back(target)
        raise


def _remove(stages: Mapping[Path, _Stage]) -> None:
    for stage in stages.values():
        stage.remove()


def _locked(folder: Path, wait: bool = False) -> int | None:
    """Lock a hidden folder for as long as this process lives; return what to close, or None if that cannot be done."""
    if fcntl is None:
        return None
    handle = None
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError:  # held by another run, already removed, or a file system without locks
        if handle is not None:
            os.close(handle)
        return None
    return handle


def _tidy(folder: Path, targets: Collection[Path]) -> None:
    """Remove what killed runs left in a folder; warn of files that they did not come to replace, but for `targets`."""
    with contextlib.suppress(OSError):
        for path in [path for path in folder.iterdir() if STAGE_NAME.fullmatch(path.name)]:
            left = _Stage(folder)
            left.path, left.lock = path, _locked(path)
            if left.lock is not None:
                due = sorted(folder / name for name in os.listdir(path / "due")) if (path / "due").exists() else []
                left.remove()
                _warn_of_due([path for path in due if path not in targets])


def _warn_of_due(due: Sequence[Path]) -> None:
    if due:
        names = ", ".join(repr(path.name) for path in due[:NAMED]) + (" …" if due[NAMED:] else "")
        warnings.warn(
            f"an earlier run in {str(due[0].parent)!r} was killed while it replaced its files; not written any more: "
            f"{names}: draw those again",
            OutputWarning, stacklevel=2,
        )  # fmt: skip


@contextlib.contextmanager
def _unbroken() -> Iterator[None]:
    """Let Ctrl-C, and other signals that this program handles, wait until the block has ended."""
    waiting: list[int] = []
    handlers: dict[signal.Signals, Any] = {}
    try:
        if threading.current_thread() is threading.main_thread():  # no other thread may, and none is interrupted
            for number in (signal.SIGINT, *ENDING):
                if callable(handler := signal.getsignal(number)):
                    handlers[number] = handler
                    signal.signal(number, lambda number, _: waiting.append(number))
        yield
    finally:
        for number, handler in handlers.items():
            signal.signal(number, handler)
        if waiting:
            signal.raise_signal(waiting[0])
