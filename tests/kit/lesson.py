"""Lessons as read back from the finished PDF, with no help from the library."""

from __future__ import annotations

import re
from functools import cache
from typing import Any, NamedTuple

import pypdfium2

from marking.drawing.primitives import Document
from marking.files.pdf import pdf_bytes
from marking.outputs.lesson.plan import LessonPlan
from marking.outputs.lesson.plan import plan as plan_lesson
from marking.outputs.lesson.request import read as read_lesson
from marking.outputs.lesson.sheet import draw as lesson_document

SPEC = "110 N·m + 90° +10/-0"
SEEDS = [1, 7, 2024, 999_999]
TRAINEES = 12


@cache
def a_plan(spec: str = SPEC, **more: Any) -> LessonPlan:
    more.setdefault("trainees", TRAINEES)
    more.setdefault("no_practice", True)
    return plan_lesson(read_lesson(spec, **more))


@cache
def a_set(spec: str = SPEC, **more: Any) -> Document:
    return lesson_document(a_plan(spec, **more))


@cache
def page_texts(spec: str = SPEC, **more: Any) -> tuple[str, ...]:
    """The text of every page of the finished PDF, each on one line, without the dashes before the entries of lists."""
    with pypdfium2.PdfDocument(pdf_bytes(a_set(spec, **more))) as document:
        texts = [page.get_textpage().get_text_bounded() for page in document]
    return tuple(" ".join(text.replace("–\r\n", " ").split()) for text in texts)


class Sheet(NamedTuple):
    """What a worksheet says, as numbers."""

    number: int
    torque: float
    torque_unit: str
    turn: float
    plus: float
    minus: float
    points: int
    left: bool
    pitch: float
    tpi: int | None
    slack: float
    around: float
    around_unit: str
    readings: tuple[float, ...]
    overshoot: float
    slack_reading: float
    wanted_unit: str
    sign: str
    factor: float

    @property
    def low(self) -> float:
        return self.turn - self.minus

    @property
    def high(self) -> float:
        return self.turn + self.plus


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match, f"{pattern} is not in {text[:1500]}"
    return match


def inches_or_mm(text: str) -> float:
    """2-1/2 and 80.4 as numbers."""
    whole, _, part = text.rpartition("-")
    if "/" not in part:
        return float(part)
    above, below = part.split("/")
    return float(whole or 0) + float(above) / float(below)


def read_sheet(text: str) -> Sheet:
    number = found(r"Sheet (\d+) of \d+ · seed \d+ Name", text)
    spec = found(r"spec ([\d.]+) (N·m|lbf·ft), then ([\d.]+)° (?:±([\d.]+)|\+([\d.]+)/−([\d.]+)) socket", text)
    socket = found(r"socket (\d+)-point", text)
    thread = found(r"thread \S.*?, (right|left)-hand, (?:pitch ([\d.]+) mm|(\d+) threads per inch)", text)
    around = found(r"closes round the socket at (\S+) (mm|in)", text)
    torque = found(r"Write the snug torque in (\S+) \(([×÷]) ([\d.]+)\)", text)
    return Sheet(
        number=int(number[1]),
        torque=float(spec[1]),
        torque_unit=spec[2],
        turn=float(spec[3]),
        plus=float(spec[4] or spec[5]),
        minus=float(spec[4] or spec[6]),
        points=int(socket[1]),
        left=thread[1] == "left",
        pitch=float(thread[2]) if thread[2] else 1 / float(thread[3]),
        tpi=int(thread[3]) if thread[3] else None,
        slack=float(found(r"slack ([\d.]+)° each way", text)[1]),
        around=inches_or_mm(around[1]),
        around_unit=around[2],
        readings=tuple(map(float, re.findall(r"([\d.]+)° is(?= )", found(r"Inside the window.*?6 The", text)[0]))),
        overshoot=float(found(r"stopped only at ([\d.]+)°", text)[1]),
        slack_reading=float(found(r"The mark shows ([\d.]+)°", text)[1]),
        wanted_unit=torque[1],
        sign=torque[2],
        factor=float(torque[3]),
    )


def worksheets(pages: tuple[str, ...]) -> dict[int, Sheet]:
    return {sheet.number: sheet for sheet in map(read_sheet, (text for text in pages if " Name Date " in text))}


def keys(pages: tuple[str, ...]) -> dict[int, str]:
    """The key's text by the number of the sheet."""
    text = " ".join(page for page in pages if page.startswith("Answer key: for the instructor"))
    parts = re.split(r"Sheet (\d+) of \d+ · seed \d+ ", text)
    return {int(number): words for number, words in zip(parts[1::2], parts[2::2], strict=True)}


def agrees(shown: str, expected: float, decimals: int) -> bool:
    """A printed number is the expected one rounded to so many decimals."""
    return abs(float(shown) - expected) <= 0.5 * 10.0**-decimals + 1e-9


PARTS = {
    "a third": 1 / 3, "two thirds": 2 / 3, "half": 1 / 2, "a quarter": 1 / 4, "three quarters": 3 / 4,
    "a fifth": 1 / 5, "two fifths": 2 / 5, "three fifths": 3 / 5, "four fifths": 4 / 5, "a sixth": 1 / 6,
    "five sixths": 5 / 6, "just the beginning": 0.0, "nearly all": 1.0,
}  # fmt: skip


def place_is_right(words: str, deg: float, points: int) -> bool:
    """Hold a place in words against plain counting: corner k stands at (k − 1) times the pitch."""
    pitch = 360 / points
    steps, past = divmod(deg, pitch)
    corner, following = int(steps) + 1, int(steps + 1) % points + 1
    if past == 0:
        return words == f"on corner {corner}"
    if past == pitch / 2:
        return words == f"mid-flat between corners {corner} and {following}"
    match = re.fullmatch(r"([\d.]+)° past corner (\d+) \((.*) of the way to corner (\d+)\)", words)
    if not match:
        return False
    about = match[3].startswith("about") or match[3] in ("just the beginning", "nearly all")
    part = PARTS[match[3].removeprefix("about ")]
    near = bool(abs(part - past / pitch) < (0.1 if about else 1e-9))
    return (float(match[1]), int(match[2]), int(match[4])) == (past, corner, following) and near
