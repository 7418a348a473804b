"""Runs the command line: as `turnband`, and as `python -m turnband`.

Little is imported before `run` begins, so that Ctrl-C while the rest loads ends like any other.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import time
from typing import Any

SIGNALS = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]

ECHO_S = 1.0
"""A terminal, or whoever ends a group of processes, may send a signal twice: the second within this time counts not."""


def run() -> None:
    """Run the command line; whatever goes wrong, the user reads a message and never a traceback.

    Ended by Ctrl-C, SIGTERM or SIGHUP, it leaves nothing behind and exits with 128 + the signal's number.
    """
    ends: list[tuple[float, int]] = []

    def end(number: int, _: Any) -> None:
        again = bool(ends) and time.monotonic() - ends[0][0] < ECHO_S
        ends.append((time.monotonic(), number))
        if not again:
            raise KeyboardInterrupt

    handled = [number for number in SIGNALS if signal.getsignal(number) in (signal.SIG_DFL, signal.default_int_handler)]
    code = 1
    try:
        for number in handled:
            signal.signal(number, end)
        code = _run()
    except KeyboardInterrupt:  # before click was there to say so
        with contextlib.suppress(OSError, AttributeError):
            sys.stderr.write("Aborted!\n")
    if ends:
        with contextlib.suppress(OSError, AttributeError, KeyboardInterrupt):
            sys.stderr.flush()
        os._exit(128 + ends[0][1])  # at once: the usual way out would first wait for processes that still draw
    for number in handled:
        signal.signal(number, signal.SIG_DFL)  # all is done
    sys.exit(code)


def _run() -> int:
    """Run the command line and return its exit code."""
    import gc

    gc.set_threshold(100_000)  # a short run makes little garbage: looking for it took a tenth of the time
    from .streams import close_stdout, say, spell_plainly

    spell_plainly(sys.stdout, sys.stderr)
    try:
        _load_where_the_folder_is_gone()
        from .main import main

        main(prog_name="turnband")
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else int(done.code is not None)
    except OSError as error:  # what reads and writes files on purpose has words of its own
        what = "cannot write to stdout" if error.filename is None else f"cannot use {error.filename!r}"
        say(f"{what}: {(error.strerror or str(error)).lower()}")
        close_stdout()
    except MemoryError:
        say("the machine has too little memory for this")
    except Exception as error:  # a fault of the program itself
        say(f"failed: {type(error).__name__}: {error}")
    return 1


def _load_where_the_folder_is_gone() -> None:
    """Load what cannot be loaded in a working folder that was deleted; files with full names can still be written."""
    try:
        os.getcwd()
    except FileNotFoundError:
        import importlib

        here = os.open(".", os.O_RDONLY)
        os.chdir(os.sep)
        importlib.import_module("reportlab.rl_config")  # asks for the working folder
        os.chdir(here)
        os.close(here)


if __name__ == "__main__":
    run()
