"""A short run of every kind of hostile input; `python tests/hostile/run.py` is the long one."""

from __future__ import annotations

import random

import pytest

from hostile.harness import Kind, reads, run
from hostile.run import KINDS, WEIGHTS, shares
from kit.each import each
from marking import MarkingError

INPUTS = 1_700
QUICK = tuple(kind for kind in KINDS if kind.name != "workbook bombs")
"""Bombs take seconds each: the long run feeds them, and the tests of lists some small ones."""


@pytest.mark.parametrize("kind", QUICK, ids=lambda kind: kind.name)
def test_hostile_inputs_are_read_or_refused_in_few_words(kind: Kind) -> None:
    figures = run(kind, max(12, shares(INPUTS, KINDS)[kind.name]), seed=1)
    assert figures.accepted, "inputs that are all refused reach nothing"
    assert figures.refused, "inputs that are all accepted are not hostile"


def test_no_weight_is_left_without_its_kind() -> None:
    assert set(WEIGHTS) <= {kind.name for kind in KINDS}


def fails(_: object) -> None:
    raise KeyError("ın")


def shouts(_: object) -> None:
    raise MarkingError("\x1b[31m")


def rambles(_: object) -> None:
    raise MarkingError("a" * 5_000)


@each(("read", "words"), [(fails, "KeyError"), (shouts, "controls"), (rambles, "5000 characters")])
def test_foreign_exceptions_and_unfit_messages_are_found(read: object, words: str) -> None:
    kind = Kind("bad", lambda rng: rng.random(), reads(read))  # type: ignore[arg-type]
    with pytest.raises(AssertionError, match=words):
        run(kind, 1, seed=7)


def test_a_seed_makes_the_same_inputs_again() -> None:
    for kind in QUICK:
        once, again = (repr([kind.make(random.Random(5)) for _ in range(20)]) for _ in range(2))
        assert once == again
