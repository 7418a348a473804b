"""Runs the command line: as `turnband`, and as `python -m turnband`.

Nothing is imported before `run` begins but what Python itself has loaded, so that Ctrl-C while the rest loads ends like
any other.
"""

import os
import sys

ECHO_S = 1.0
"""A terminal, or whoever ends a group of processes, may send a signal twice: the second within this time counts not."""

AGAIN_S = 0.01
"""After this time an interruption is raised once more that came where Python raises none."""


def run() -> None:
    """Run the command line; whatever goes wrong, the user reads a message and never a traceback.

    Ended by Ctrl-C, SIGTERM or SIGHUP, it leaves nothing behind and exits with 128 + the signal's number.
    """
    ends: list[int] = []
    code = 1
    try:
        _handle_signals(ends)
        code = _run()
        _handle_signals(None)
    except KeyboardInterrupt:  # before click was there to say so
        ends = ends or [2]
        try:
            sys.stderr.write("Aborted!\n")
            sys.stderr.flush()
        except (OSError, AttributeError):  # the terminal is gone, or there was none
            pass
    if ends:
        os._exit(128 + ends[0])  # at once: the usual way out would first wait for processes that still draw
    sys.exit(code)


def _handle_signals(ends: list[int] | None) -> None:
    """Let signals that end a run raise KeyboardInterrupt and be noted in `ends`; with None, let them end it outright.

    Python raises nothing where it calls back, as when a process is forked: what comes there is raised again soon after.
    Those that whoever started the run has them ignore (nohup, a job in the background) stay ignored.
    """
    import signal
    import time

    last = -ECHO_S

    def end(number: int, _: object) -> None:
        nonlocal last
        echo, last = time.monotonic() - last < ECHO_S, time.monotonic()
        if ends is not None and not echo:
            ends.append(number)
            raise KeyboardInterrupt

    def again(_number: int, _: object) -> None:
        raise KeyboardInterrupt

    def unraisable(lost: "sys.UnraisableHookArgs") -> None:
        if isinstance(lost.exc_value, KeyboardInterrupt) and ends and hasattr(signal, "setitimer"):
            signal.setitimer(signal.ITIMER_REAL, AGAIN_S)
        else:
            sys.__unraisablehook__(lost)

    if ends is not None:
        sys.unraisablehook = unraisable
        if hasattr(signal, "SIGALRM"):
            signal.signal(signal.SIGALRM, again)
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) != signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL if ends is None else end)


def _run() -> int:
    """Run the command line and return its exit code."""
    import atexit
    import gc

    gc.set_threshold(100_000)  # a short run makes little garbage: looking for it took a tenth of the time
    atexit.register(gc.freeze)  # and looking for it once more at the end another tenth
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
