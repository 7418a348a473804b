"""Work of a set that several processes share."""

from __future__ import annotations

import gc
import itertools
import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from typing import TypeVar

from ...errors import OutputError

PARALLEL_FROM = 16
"""Fewest tasks, pages or blocks of items, for which more processes are worth starting (our choice: starting them costs
up to 0.3 s)."""

AHEAD = 64
"""Tasks that may be done before the one that is waited for, with 64 processes too (our choice)."""

Task = TypeVar("Task")
Done = TypeVar("Done")


def shared_out(
    work: Callable[[Task], Done], tasks: Iterable[Task], jobs: int, meanwhile: Iterable[Done] = ()
) -> Iterator[Done]:
    """Yield what is made `meanwhile`, by this process, and `work(task)` for every task in order, done by `jobs` others.

    So few tasks are ahead that neither they nor what becomes of them pile up in memory. Raises OutputError when one of
    the processes is ended.
    """
    pool = ProcessPoolExecutor(jobs, initializer=_end_with_parent)
    try:
        waiting = iter(tasks)
        with _signals_held():  # the first task starts the processes
            coming = deque(pool.submit(work, task) for task in itertools.islice(waiting, 1))
        coming.extend(pool.submit(work, task) for task in itertools.islice(waiting, AHEAD - 1))
        yield from meanwhile
        while coming:
            done = coming.popleft().result()
            coming.extend(pool.submit(work, task) for task in itertools.islice(waiting, 1))
            yield done
    except BrokenProcessPool as error:
        raise OutputError(
            f"one of {jobs} processes that draw ended before its work was done", "",
            "try again, with fewer {@jobs} if the machine is short of memory",
        ) from error  # fmt: skip
    finally:
        with suppress(RuntimeError):  # interrupted before its own thread has begun, it has none to wait for
            pool.shutdown(cancel_futures=True)


_HELD = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]


@contextmanager
def _signals_held() -> Iterator[None]:
    """Hold signals back, in this process and in those it starts meanwhile, until these do what they are to do then.

    A new process would take one that ends it for a fault of its task, and go on.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, _HELD)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _end_with_parent() -> None:
    """Make this process end as soon as its parent has, however that ended, and leave Ctrl-C to the parent.

    What it has from its parent it never looks through for garbage: that would copy all of it.
    """
    gc.freeze()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # the pool's own way to end it
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _HELD)
    parent = multiprocessing.parent_process()
    assert parent is not None

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
