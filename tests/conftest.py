"""What all tests share."""

from __future__ import annotations

import gc
import itertools
import os
import subprocess
import sys
import traceback
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import settings

from kit.commands import Run
from kit.examples import USUAL
from turnband.main import main

# Where nothing compiled may be kept, every run and every process that a test starts would compile it all again.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# Tests keep many drawings: looking for garbage among them took a good part of the time.
gc.set_threshold(10_000_000, 20, 100)

# Every run tries the same examples, so that no change is refused for a fault that it did not make. Whoever looks for
# faults tries others, ten times as many, with --hypothesis-profile=search. Timings belong in benchmarks: a slow
# machine must not fail a test.
settings.register_profile("same", deadline=None, derandomize=True, max_examples=USUAL)
settings.register_profile("search", deadline=None, max_examples=10 * USUAL)
settings.load_profile("same")


NUMBERS = itertools.count()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the long tests first, so that no process ends with one alone."""
    items.sort(key=lambda item: item.get_closest_marker("long") is None)


def pytest_collection_finish() -> None:
    """Look no more for garbage among modules and tests, which live as long as the process."""
    gc.collect()
    gc.freeze()


def pytest_sessionfinish() -> None:
    """Look once for garbage before the end: the runner looks five times, at all that tests have kept to share it."""
    gc.collect()
    gc.freeze()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in a line what was left out, and why: a short summary shows skipped tests as letters alone."""
    skipped = terminalreporter.stats.get("skipped", [])
    outside = ("page/browser", "cli/printer")
    for reason in dict.fromkeys(one.longrepr[2] for one in skipped if any(part in one.nodeid for part in outside)):
        terminalreporter.write_line(reason)


@pytest.fixture(autouse=True)
def own_configuration(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep every test, and the commands it runs, away from the profiles and printers of whoever runs it."""
    folder = tmp_path_factory.getbasetemp() / f"configuration-{next(NUMBERS)}"  # made by what writes to it
    monkeypatch.setenv("TURNBAND_CONFIG_DIR", str(folder))
    monkeypatch.delenv("TURNBAND_PRINTER", raising=False)
    monkeypatch.setenv("CUPS_SERVER", "/nowhere")  # no test may print on a printer of theirs


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command in this process, in an empty folder, with streams of its own."""

    def call(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        monkeypatch.chdir(tmp_path)
        done = CliRunner().invoke(main, arguments, env=environment, prog_name="turnband")
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        if done.exc_info is not None:  # it holds its own frame and all that was drawn there
            traceback.clear_frames(done.exc_info[2])
        out = done.stdout_bytes.decode("utf-8", "surrogateescape")
        err = done.stderr_bytes.decode("utf-8", "surrogateescape") if done.stderr_bytes else ""
        return subprocess.CompletedProcess(arguments, done.exit_code, out, err)

    return call
