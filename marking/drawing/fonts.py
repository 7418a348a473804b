"""Measures text from tables made of the font, so that layout needs no renderer; refuses what the font cannot print."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal, NamedTuple

from ..errors import CharacterError
from ..quantities.scanner import check_text
from ..quantities.units import MM_PER_IN
from ..tables import FOLDER

FAMILY = "Source Sans Pro"

Weight = Literal["regular", "semibold"]
REGULAR: Weight = "regular"
SEMIBOLD: Weight = "semibold"

WEIGHTS: dict[Weight, int] = {REGULAR: 400, SEMIBOLD: 600}
"""The two weights of the family and their number in CSS and SVG."""

MM_PER_PT = MM_PER_IN / 72.0

MOST_WIDTHS = 4096
"""Widths of words remembered: sheets say the same words again and again."""

UNITS_PER_EM = 1000
"""Unit of the glyph tables, and of the font."""


def font_path(weight: Weight) -> Path:
    """Return the TrueType file of one weight."""
    import font_source_sans_pro

    return Path(font_source_sans_pro.font_files_ttf[FAMILY.replace(" ", "") + _FILE_SUFFIX[weight]])


_FILE_SUFFIX = {REGULAR: "", SEMIBOLD: "Semibold"}


class Glyph(NamedTuple):
    """Advance width and ink limits of one character, in ems."""

    advance: float
    bottom: float
    top: float


class Face:
    """One weight of the family: which characters it has and how large they are, from `tables/glyphs-….txt`."""

    def __init__(self, weight: str) -> None:
        lines = (FOLDER / f"glyphs-{weight}.txt").read_text("ascii").splitlines()
        entries = (line.split(" ", 1) for line in lines if not line.startswith("#"))
        self._measures = {chr(int(code, 16)): measures for code, measures in entries}
        self._glyphs: dict[str, Glyph] = {}
        self._advances = _Advances(self)
        self._widths: dict[str, float] = {}

    def __contains__(self, char: str) -> bool:
        return char in self._measures

    def glyph(self, char: str) -> Glyph:
        """Return the measures of `char`. Raises CharacterError when the font lacks it."""
        known = self._glyphs.get(char)
        if known is None:
            if char not in self._measures:
                raise _unprintable(char)
            known = Glyph(*(int(number) / UNITS_PER_EM for number in self._measures[char].split()))
            self._glyphs[char] = known
        return known

    def advance(self, text: str) -> float:
        """Return the width of `text` in ems, without kerning."""
        known = self._widths.get(text)
        if known is None:
            if len(self._widths) > MOST_WIDTHS:
                self._widths.clear()
            known = self._widths[text] = math.fsum(map(self._advances.__getitem__, text))
        return known


class _Advances(dict[str, float]):
    """The widths of a face's characters."""

    def __init__(self, face: Face) -> None:
        super().__init__()
        self._face = face

    def __missing__(self, char: str) -> float:
        found = self[char] = self._face.glyph(char).advance
        return found


@cache
def face(weight: Weight) -> Face:
    """Return the face of one weight, read once."""
    return Face(weight)


@lru_cache(maxsize=MOST_WIDTHS)
def text_width_mm(text: str, size_pt: float, weight: Weight = REGULAR) -> float:
    """Return the advance width of `text` in mm, without kerning, as the renderers set it."""
    return face(weight).advance(text) * size_pt * MM_PER_PT


@lru_cache(maxsize=MOST_WIDTHS)
def ink_limits_mm(text: str, size_pt: float, weight: Weight = REGULAR) -> tuple[float, float]:
    """Return how far the ink of `text` reaches below (negative) and above its baseline, in mm."""
    glyphs = [face(weight).glyph(char) for char in set(text) - {" "}] or [Glyph(0, 0, 0)]
    em_mm = size_pt * MM_PER_PT
    return min(g.bottom for g in glyphs) * em_mm, max(g.top for g in glyphs) * em_mm


def printable(text: str, subject: str, longest: int = 200) -> str:
    """Return `text` in composed form (NFC), or raise CharacterError naming the first character that cannot be printed.

    Refused are characters that the font lacks and all that do not stand for ink or a plain space: controls, line
    breaks, direction marks, combining marks that have no composed form.
    """
    check_text(text, subject, "bracket")
    if len(text) > longest:
        raise CharacterError(
            f"the {subject} has {len(text)} characters", f"at most {longest}", "shorten it", text, subject
        )
    composed = unicodedata.normalize("NFC", text)
    for char in composed:
        if char != " " and (unicodedata.category(char)[0] in "CZM" or char not in face(REGULAR)):
            raise _unprintable(char, subject)
    return composed


def _unprintable(char: str, subject: str = "text") -> CharacterError:
    name = unicodedata.name(char, "a control character" if unicodedata.category(char) == "Cc" else "no name")
    return CharacterError(
        f"the {subject} holds U+{ord(char):04X} ({name})",
        "letters, digits and signs of Latin, Greek or Cyrillic script",
        "leave the character out or write it another way",
        char,
        subject,
    )


def wrap(text: str, width_mm: float, size_pt: float, weight: Weight = REGULAR) -> list[str]:
    """Break `text` at spaces into lines no wider than `width_mm`; a longer word is broken within itself.

    No line ends between a number and its unit or tolerance, unless the two are wider than a line.
    """
    return list(_wrapped(text, width_mm / (size_pt * MM_PER_PT) + 1e-9, weight))


@lru_cache(maxsize=4096)  # a sheet is set in several sizes until it fits, and sheets say the same again and again
def _wrapped(text: str, room: float, weight: Weight) -> tuple[str, ...]:
    """The lines of a text in the `room` of a line, in ems."""
    advance = face(weight).advance
    line = " ".join(text.replace(NO_BREAK, " ").split())
    if advance(line) <= room:
        return (line,) if line else ()
    space = advance(" ")
    lines: list[str] = []
    words: list[str] = []
    used = 0.0
    for word, width in _measured(text, weight, room):
        if words and used + space + width > room:
            lines.append(" ".join(words))
            words, used = [], 0.0
        while width > room and len(word) > 1:
            cut = max(1, next((n for n in range(len(word) - 1, 0, -1) if advance(word[:n]) <= room), 1))
            lines.append(word[:cut])
            word = word[cut:]
            width = advance(word)
        used += width + (space if words else 0.0)
        words.append(word)
    return (*lines, " ".join(words)) if words else tuple(lines)


def _measured(text: str, weight: Weight, room: float) -> Iterable[tuple[str, float]]:
    """What a line of `room` ems is made of, as `held_words` yields it, each with its width in ems."""
    held = _all_held(text, weight)
    if all(width <= room for _, width in held):  # as a rule
        return held
    advance = face(weight).advance
    return [(word, advance(word)) for word in held_words(text, lambda word: advance(word) <= room)]


@lru_cache(maxsize=4096)  # one text is set in many widths and sizes
def _all_held(text: str, weight: Weight) -> tuple[tuple[str, float], ...]:
    advance = face(weight).advance
    return tuple([(word, advance(word)) for word in held_words(text, lambda word: True)])


def held_words(text: str, fits: Callable[[str], bool]) -> Iterator[str]:
    """Yield what a line is made of: words, and a number with its unit or tolerance as one where that `fits` a line."""
    for word in _HELD.sub(NO_BREAK, text).split():
        if NO_BREAK not in word:
            yield word
        elif fits(held := word.replace(NO_BREAK, " ")):
            yield held
        else:
            yield from word.split(NO_BREAK)


NO_BREAK = "\ue000"
"""Stands for a space where no line may end. Of private use, so that no text of a user's holds it, and no space, at
which texts are split."""

_HELD = re.compile(
    r" (?:(?<=[\d°] )(?=[±+−-]|(?:N·m|kN·m|daN·m|kgf·c?m|lbf·ft|lbf·in|mm|cm|in)\b)"
    r"|(?<=\bOD )|(?<=\bstage )(?=\d)|(?<=\bcorner )(?=\d)|(?<=\bSTOP )(?=\d))"
)
"""The spaces that stay in their line."""

BODY_PT, HEAD_PT, NOTE_PT, SMALL_PT = 8.0, 9.0, 6.5, 5.0

LEADING = 1.3
"""Line pitch over type size."""

CAP_EM = 0.66
"""Height of the family's capitals, in ems."""

HALF_SMALL_CAP_MM = 0.58
"""Half the height of a capital of 5 pt."""

RISE, DROP = 0.72, 0.28
"""Parts of the line pitch above and below the baseline."""


def cap_mm(size_pt: float) -> float:
    """Return the height of capitals and figures."""
    return CAP_EM * size_pt * MM_PER_PT


def line_pitch_mm(size_pt: float) -> float:
    """Return the distance from baseline to baseline."""
    return size_pt * MM_PER_PT * LEADING
