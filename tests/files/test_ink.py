"""Everything that is placed on a page is in the finished PDF, at its place, and nothing else is, whatever its name."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable
from functools import partial
from typing import Any

import pikepdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import examples
from kit.ink import assert_all_is_ink, page_faults
from kit.measure import a_document, a_job, document_of
from kit.sets import a_set, an_item
from marking.drawing.fonts import REGULAR, face, printable
from marking.drawing.primitives import Document, Page, Placed
from marking.errors import CharacterError
from marking.files.pdf import pdf_bytes
from marking.lists.items import Item
from marking.outputs.job.request import TrimRequest
from marking.outputs.job.sheet import draw as job_document
from marking.outputs.job.trim_plan import plan_trim
from marking.outputs.sets import pages as set_job
from marking.outputs.sets.pages import set_document
from marking.outputs.tape import plan as tape
from marking.outputs.tape.request import TapeRequest
from marking.outputs.tape.sheet import draw as draw_tape
from marking.sheets.paper import SIZES, Paper

SPEC = "110 N·m + 90° +10/-0"
OPERATORS = "x n 0 g 0 0 300 300 re f"

MIXED = [
    an_item(id="B 7", copies=3, row=2),
    an_item(id="Ж1 (Ω)", od="70 mm", drive="1", copies=2, row=3),
    an_item(id=OPERATORS, kind="ring", copies=2, row=4),
    an_item(id="D#1", points=None, od=None, kind="disc", row=5),
    an_item(id="[T] 100 %", od=None, kind="trim band", copies=2, row=6),
    an_item(id="mat", points=None, od=None, kind="mat", row=8),
    an_item(id="{long}", od="150 mm", drive="1", copies=2, row=7),
]
"""Upright, turned and cut parts, one by one and in copies."""


TITLE = "Bogie (7) \\ [3]"


def set_of(items: list[Item], tags: str | None = None) -> Document:
    return set_document(a_set(items, tags=tags, title=TITLE))


KINDS: dict[str, Callable[[], Document]] = {
    "job": lambda: a_document("60 N·m + 450° ±20", thread="left", fasteners=7),
    "trim job": lambda: job_document(plan_trim(TrimRequest(a_job(), 25.0, 31.0))),
    "roll": lambda: a_document(od="24 mm", paper="24 mm x roll"),
    "labels": lambda: a_document(od="24 mm", paper="62x100"),
    "disc": partial(document_of, "disc", spec=SPEC, drive="1/2", thread="left"),
    "mat": partial(document_of, "mat", spec="60 N·m + 90° ±8 + 240°", drive="1/2", points="12", thread="left"),
    "blank": partial(document_of, "blank", points="12", drive="1/4", thread="left"),
    "lesson": partial(document_of, "lesson", spec=SPEC, points="12", trainees=2),
    "tape for a printer that is off": lambda: draw_tape(
        tape.plan(TapeRequest(20, 90, "mm", Paper(*SIZES["letter"]).corrected(1.01, 0.99)))
    ),
    "chart": partial(document_of, "chart"),
    "record": partial(document_of, "record", spec=SPEC, fasteners=8),
    "stretch": partial(document_of, "stretch", spec="40 N·m + 45° ±3", screw="M12", strength="10.9", grip="120 mm"),
    "proof": partial(document_of, "proof"),
    "set": lambda: set_of(MIXED, tags="piece"),
}


@functools.cache
def finished(kind: str) -> tuple[Document, bytes]:
    document = KINDS[kind]()
    return document, pdf_bytes(document)


@pytest.mark.parametrize("kind", KINDS)
def test_all_that_is_placed_is_in_the_file(kind: str) -> None:
    assert_all_is_ink(*finished(kind))


def is_printable(char: str) -> bool:
    try:
        return printable(char, "id") == char
    except CharacterError:
        return False


def printed_characters() -> st.SearchStrategy[str]:
    """All that can be printed but the undertie, which by design reaches below its neighbours."""
    known = (char for char in map(chr, range(0x20, 0x10000)) if char in face(REGULAR) and char != "\u203f")
    return st.sampled_from(list(filter(is_printable, known)))


characters = st.sampled_from(" ([{%#)]}/<>\\") | st.deferred(printed_characters)
ids = st.text(characters, min_size=1, max_size=12).filter(str.strip)
pieces = st.lists(st.tuples(ids, st.integers(1, 3), st.sampled_from(["16 mm", "70 mm"])), min_size=1, max_size=2)


@examples(5, shrink=False)
@given(pieces)
def test_pieces_of_any_name_are_in_the_file(pieces: list[tuple[str, int, str]]) -> None:
    items = [an_item(id=name, copies=n, od=od, drive="3/8", row=k) for k, (name, n, od) in enumerate(pieces, 2)]
    assert_all_is_ink(set_of(items))


def test_many_processes_lose_nothing_and_number_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(set_job, "PARALLEL_FROM", 1)
    plan = a_set(MIXED, title=TITLE)
    one, two, three = (pdf_bytes(set_document(plan, jobs)) for jobs in (1, 2, 3))
    assert one == two == three
    assert_all_is_ink(set_document(plan), three)


def test_a_lost_or_shifted_drawing_is_noticed() -> None:
    """The check itself: of a page's drawings each in turn is left out, or lies half a millimetre off."""
    document = set_of([an_item(id="B 7", copies=2), an_item(id="C", od="16 mm")])
    page = document.pages[1]
    for number, placed in enumerate(page.placed):
        if placed.drawing.content.items:
            for instead in ((), (placed._replace(x=placed.x + 0.5, shared=""),)):
                assert faults_of(page, (*page.placed[:number], *instead, *page.placed[number + 1 :]))
    assert not faults_of(page, page.placed)


def faults_of(page: Page, placed: tuple[Placed, ...]) -> list[str]:
    finished: Any = pypdfium2.PdfDocument(pdf_bytes(Document((page._replace(placed=placed),))))
    return page_faults(finished[0], page)


@each("kind", KINDS)
def test_files_declare_their_version_and_no_font_that_is_not_embedded_as_a_subset(kind: str) -> None:
    with pikepdf.open(io.BytesIO(finished(kind)[1])) as pdf:
        assert pdf.pdf_version == "1.6", "the first that knows PrintScaling"
        things = [thing for thing in pdf.objects if isinstance(thing, pikepdf.Dictionary)]
        fonts = [thing for thing in things if thing.get("/Type") == "/Font"]
        names = {str(font.BaseFont).partition("+")[2] for font in fonts}
        assert names == {"SourceSansPro-Regular", "SourceSansPro-Semibold"}
        assert all("/FontFile2" in font.FontDescriptor for font in fonts)
