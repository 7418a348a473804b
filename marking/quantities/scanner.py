"""Strict text to quantities: numbers as manuals write them, and units known by name.

Nothing that a user types reaches an expression parser.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import NamedTuple

from ..errors import KindError, TextInputError

MAX_TEXT = 200
"""Longest quantity read, in characters (our choice)."""

MAX_DIGITS = 30
"""Most digits in one whole number, decimal part, numerator or denominator (our choice; a float needs some 20)."""

ANY_CASE = re.ASCII | re.IGNORECASE
"""How units and words are matched in either case: without re.ASCII, re.IGNORECASE takes ı, İ, ſ and K for i, s and k,
and what is looked up by its lower case is not found."""

SPACES = " \t\u00a0\u2007\u2009\u202f"

MINUS_SIGNS = "-\u2212\u2010\u2011\u2013"

SUBJECTS = {
    "od": "outside diameter", "od_range": "OD range", "around": "length round it", "stock": "stock thickness",
    "diameter": "diameter of the disc", "bearing": "bearing face", "screw": "thread", "strength": "class",
    "x": "length measured across", "y": "length measured along",
    "x_nominal": "nominal length across", "y_nominal": "nominal length along",
}  # fmt: skip
"""What messages call the text of a field, where that is not the field's name."""

_NUMBER = re.compile(
    r"(?P<whole>[0-9]+)(?:(?P<mark>[.,])(?P<decimals>[0-9]+)|/(?=\d)(?P<under>[0-9]*))?"
    r"|\.(?P<bare>[0-9]+)"
)


def check_text(value: object, subject: str, example: str) -> None:
    """Raise KindError for what is no text."""
    if not isinstance(value, str):
        raise KindError(
            f"the {subject} is {value!r}", f"a text such as {example!r}" if example else "a text", value=value
        )


def subject_of(field: str, subject: str = "") -> str:
    """Return what messages call the text of a field."""
    return subject or SUBJECTS.get(field, field.replace("_", " "))


class Words(NamedTuple):
    """A pattern of words in either case, which begins with a letter; compiled when a letter first stands there.

    Most texts hold few words, and compiling takes longer than reading.
    """

    pattern: str

    def match(self, text: str, position: int = 0) -> re.Match[str] | None:
        """Return the match at `position`, if any."""
        begun = text[position : position + 1].isalpha()
        return re.compile(self.pattern, ANY_CASE).match(text, position) if begun else None


class Scanner:
    """A cursor over one text that reads numbers and units and fails with a caret at the right place."""

    def __init__(
        self, text: str, field: str, subject: str = "", example: str = "", longest: int = MAX_TEXT,
        blanks: str | None = SPACES, expected: str = "",
    ) -> None:  # fmt: skip
        check_text(text, subject_of(field, subject), example)
        self.typed = self.text = text
        self.field = field
        self.subject = f"the {subject_of(field, subject)}"
        self.position = 0
        if len(text) > longest:
            raise self.failure("is too long", f"at most {longest} characters", at=longest)
        if not text.strip(blanks):
            raise self.failure("is empty", expected, at=0)

    def failure(self, what: str, expected: str = "", advice: str = "", at: int | None = None) -> TextInputError:
        """Return (not raise) the error that points at `at`, or at the cursor, in the text as typed."""
        at = self.position if at is None else at
        return TextInputError(self.typed, at, what, expected, advice, self.field, self.subject)

    def skip_spaces(self) -> None:
        """Move the cursor past spaces."""
        while self.position < len(self.text) and self.text[self.position] in SPACES:
            self.position += 1

    def at_end(self) -> bool:
        """Tell whether only spaces are left."""
        self.skip_spaces()
        return self.position == len(self.text)

    def take(self, pattern: re.Pattern[str] | Words) -> re.Match[str] | None:
        """Move past `pattern` if it stands at the cursor (after spaces) and return the match."""
        self.skip_spaces()
        found = pattern.match(self.text, self.position)
        if found:
            self.position = found.end()
        return found

    def number(self, expected: str = "a number") -> tuple[Fraction, str]:
        """Read an unsigned number and return its exact value and its tidy text.

        Read: `27.8`, `.5`, `27,8` (decimal comma), `3/4`, `1-3/32`, `1 3/32`, `¾`, `1¾`.
        """
        self.skip_spaces()
        start = self.position
        glyph = self._vulgar()
        if glyph is not None:
            return glyph, f"{glyph.numerator}/{glyph.denominator}"
        found = _NUMBER.match(self.text, start)
        if not found:
            negative = self.text[start : start + 1] in tuple(MINUS_SIGNS)
            what, expected = ("cannot be negative", "a positive number") if negative else ("cannot be read", expected)
            raise self.failure(what, expected)
        whole, decimals, under = found["whole"] or "0", found["decimals"] or found["bare"], found["under"]
        if found["mark"] == "," and len(decimals) > 2 and len(whole) <= MAX_DIGITS:
            raise self.failure(
                "has an ambiguous comma", "a decimal comma followed by one or two digits", "write a decimal point",
                found.start("mark"),
            )  # fmt: skip
        for part in ("whole", "decimals", "bare", "under"):
            if len(found[part] or "") > MAX_DIGITS:
                raise self.failure("has too long a number", f"at most {MAX_DIGITS} digits", at=found.start(part))
        if under is not None and int(under or "0") == 0:
            raise self.failure("divides by zero", "a fraction such as 3/4", at=start)
        self.position = found.end()
        if decimals:
            return Fraction(f"{whole}.{decimals}"), f"{int(whole)}.{decimals}"
        if under:
            return Fraction(int(whole), int(under)), f"{int(whole)}/{int(under)}"
        more = self._mixed_part() if int(whole) else None  # "-0 1/4 turn" lacks a word, it is no mixed number
        text = f"{int(whole)}-{more.numerator}/{more.denominator}" if more else str(int(whole))
        return int(whole) + (more or Fraction(0)), text

    def _vulgar(self) -> Fraction | None:
        char = self.text[self.position : self.position + 1]
        if not char or not unicodedata.decomposition(char).startswith("<fraction>"):
            return None
        value = Fraction(unicodedata.numeric(char)).limit_denominator(100)
        if unicodedata.decomposition(char).endswith("2044") or not value:  # "⅟" and "↉" are no amounts
            return None
        self.position += 1
        return value

    def _mixed_part(self) -> Fraction | None:
        """Read the `-3/32`, ` 3/32` or `¾` behind a whole number; leave the cursor where it was if there is none."""
        back = self.position
        glyph = self._vulgar()
        if glyph is None and self.text[back : back + 1] in ("-", *SPACES):
            self.position += 1
            glyph = self._vulgar()
            if glyph is None:
                found = re.compile("([0-9]{1,4})/([0-9]{1,4})").match(self.text, self.position)
                if found and 0 < int(found[1]) < int(found[2]):
                    self.position = found.end()
                    return Fraction(int(found[1]), int(found[2]))
        if glyph is None:
            self.position = back
        return glyph

    def expect_end(self) -> None:
        """Fail unless only spaces are left."""
        if not self.at_end():
            raise self.failure("cannot be read", "nothing more here")
