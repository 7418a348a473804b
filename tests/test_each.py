"""Cases that are tried in one run fail as tests of their own would: all of them are tried, and each is named."""

from __future__ import annotations

import inspect

import pytest

from kit.each import each


@each("number", [1, 2, 3])
@each(("text", "length"), [("ab", 2), ("abc", 2)])
def some(text: str, length: int, number: int, limit: int = 2) -> None:
    assert len(text) == length
    with pytest.raises(ZeroDivisionError):
        number / max(0, number - limit)


def test_every_case_that_fails_is_named_and_those_after_it_are_tried() -> None:
    with pytest.raises(BaseExceptionGroup) as failed:
        some(limit=2)
    assert failed.value.message.splitlines() == [
        "4 of 6 cases:", "with number=1, text='abc', length=2", "with number=2, text='abc', length=2",
        "with number=3, text='ab', length=2", "with number=3, text='abc', length=2",
    ]  # fmt: skip
    assert len(failed.value.exceptions) == 4


def test_what_is_no_case_is_a_fixture() -> None:
    assert list(inspect.signature(some).parameters) == ["limit"]


def test_without_a_case_there_is_no_test() -> None:
    with pytest.raises(AssertionError, match="nothing to try"):
        each("number", [])
