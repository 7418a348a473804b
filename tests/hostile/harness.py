"""Feeds hostile inputs to what reads them, and measures: only the library's own refusals may come back, and soon."""

from __future__ import annotations

import random
import resource
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

from marking import MarkingError

HANG_S = 30
"""An input that takes so long is taken to hang (our choice; far above what a slow machine makes of two seconds)."""

LONGEST_MESSAGE = 1000
"""More than the longest message there is, which shows two readings of a spec and where they begin."""


class Kind(NamedTuple):
    """One kind of hostile input: `make` makes one, `feed` gives it to its reader and tells whether it was accepted.

    `feed` answers False to a MarkingError; whatever else comes out of it is a fault.
    """

    name: str
    make: Callable[[random.Random], Any]
    feed: Callable[[Any], bool]


class Figures(NamedTuple):
    """What a run of one kind came to; `slowest` shows the slowest input.

    Seconds are of processor time, which a busy machine does not lengthen; `peak_mb` is of the whole process.
    """

    name: str
    inputs: int
    accepted: int
    refused: int
    slowest_s: float
    slowest: str
    peak_mb: float


def run(kind: Kind, count: int, seed: int) -> Figures:
    """Feed `count` inputs; the same seed makes the same ones. Raises AssertionError with the input at fault."""
    rng = random.Random(f"{kind.name} {seed}")
    accepted, slowest_s, slowest = 0, 0.0, ""
    for number in range(count):
        given = kind.make(rng)
        begin = time.process_time()
        try:
            with _watched():
                accepted += kind.feed(given)
        except Exception as error:
            raise AssertionError(f"{kind.name}, seed {seed}, input {number}: {error!r} for {given!r:.1000}") from error
        spent = time.process_time() - begin
        if spent > slowest_s:
            slowest_s, slowest = spent, f"{given!r:.60}"
    return Figures(kind.name, count, accepted, count - accepted, slowest_s, slowest, peak_mb())


def peak_mb() -> float:
    """Return the most memory that this process has held, in MB."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / 1e6 if sys.platform == "darwin" else peak * 1024 / 1e6


def reads(read: Callable[[Any], object]) -> Callable[[Any], bool]:
    """Return what feeds `read`: True if it reads, False if it refuses in words fit for a terminal."""

    def feed(given: Any) -> bool:
        try:
            read(given)
        except MarkingError as error:
            check_message(str(error))
            return False
        return True

    return feed


def check_message(message: str) -> None:
    """Fail for a message that is empty, endless, or holds what would disturb a terminal."""
    assert message.strip()
    assert len(message) <= LONGEST_MESSAGE, f"a message of {len(message)} characters"
    assert message.replace("\n", "").isprintable(), "a message must not carry controls to a terminal"


@contextmanager
def _watched() -> Iterator[None]:
    """End what hangs, with an exception."""

    def give_up(*_: object) -> None:
        raise TimeoutError(f"no answer in {HANG_S} s")

    before = signal.signal(signal.SIGALRM, give_up)
    signal.alarm(HANG_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
