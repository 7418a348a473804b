"""Reads finished sheets back, for tests that measure ink rather than trust numbers in memory."""

from __future__ import annotations

import functools
import math
import subprocess
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from marking import OUTPUTS
from marking.drawing.primitives import Document, Group, Line, Page, Placed, Text, primitives
from marking.files.svg import svg_bytes
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import JobRequest, read_job
from marking.outputs.job.sheet import draw as job_document

SVG = "{http://www.w3.org/2000/svg}"
MM_PER_PT = 25.4 / 72


def a_job(spec: str = "110 N·m + 90° +10/-0", points: int = 12, drive: str = "1/2", **more: Any) -> JobRequest:
    """A job as the command line would read it, on a 27.8 mm socket unless told otherwise."""
    if "around" not in more:
        more.setdefault("od", "27.8 mm")
    return read_job(spec, points, drive, **more)


@functools.lru_cache(maxsize=256)
def a_document(*args: Any, **more: Any) -> Document:
    return job_document(plan_job(a_job(*args, **more)))


def document_of(name: str, **texts: Any) -> Document:
    """An output as anybody gets it through the front door."""
    output = OUTPUTS[name]
    return output.draw(output.plan(output.read(**texts)))


ROOTS: OrderedDict[tuple[int, str, str, tuple[str, ...]], tuple[Page, ElementTree.Element]] = OrderedDict()
MOST_ROOTS = 64
"""Pages kept as read: one test after the other looks at the same ones."""


def svg_root(page: Page, document: Document, *names: str) -> ElementTree.Element:
    """The finished SVG of a page as read back; of the very same page, the same again: nobody may change it.

    With `names`, of the page's drawings only the groups of these names: the rest need not be written.
    """
    key = (id(page), document.title, document.subject, names)  # no other page has this id while the one kept lives
    if key not in ROOTS:
        if len(ROOTS) >= MOST_ROOTS:
            ROOTS.popitem(last=False)
        written = page
        if names:
            written = page._replace(placed=tuple(_only(placed, names) for placed in page.placed))
        ROOTS[key] = (page, ElementTree.fromstring(svg_bytes(written, document)))
    ROOTS.move_to_end(key)
    return ROOTS[key][1]


@dataclass(frozen=True)
class Stroke:
    """A straight line of an SVG, y turned upwards, with its class and data attributes."""

    role: str
    x1: float
    y1: float
    x2: float
    y2: float
    data: dict[str, str]


def groups(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [g for g in root.iter(f"{SVG}g") if g.get("class") == name]


def drawn_groups(document: Document, *names: str) -> list[ElementTree.Element]:
    """The groups of these names on all pages, read from finished SVG."""
    roots = (svg_root(page, document, *names) for page in document.pages)
    return [group for root in roots for name in names for group in groups(root, name)]


def _only(placed: Placed, names: tuple[str, ...]) -> Placed:
    content = Group("named", tuple(_named(placed.drawing.content, names)))
    return placed._replace(drawing=placed.drawing._replace(content=content))


def _named(group: Group, names: tuple[str, ...]) -> Iterator[Group]:
    """The outermost groups of these names."""
    if group.name in names:
        yield group
    else:
        for item in group.items:
            if isinstance(item, Group):
                yield from _named(item, names)


def strokes(element: ElementTree.Element) -> list[Stroke]:
    found = []
    for line in element.iter(f"{SVG}line"):
        x1, y1, x2, y2 = (float(line.get(key, "nan")) for key in ("x1", "y1", "x2", "y2"))
        data = {key[5:]: value for key, value in line.attrib.items() if key.startswith("data-")}
        found.append(Stroke(line.get("class", ""), x1, -y1, x2, -y2, data))
    return found


def of_role(lines: list[Stroke], *roles: str) -> list[Stroke]:
    return [line for line in lines if line.role in roles]


def only(lines: list[Stroke], role: str) -> Stroke:
    found = of_role(lines, role)
    assert len(found) == 1, f"{len(found)} lines of role {role}"
    return found[0]


def placed_lines(page: Page) -> Iterator[Line]:
    """Every straight line of a page at its place on the page."""
    for placed in page.placed:
        for item in primitives(placed.drawing.content):
            if isinstance(item, Line):
                yield item._replace(
                    x1=item.x1 + placed.x, y1=item.y1 + placed.y, x2=item.x2 + placed.x, y2=item.y2 + placed.y
                )


def placed_texts(page: Page) -> Iterator[Text]:
    """Every text of a page at its place on the page."""
    for placed in page.placed:
        for item in primitives(placed.drawing.content):
            if isinstance(item, Text):
                yield item._replace(x=item.x + placed.x, y=item.y + placed.y)


def assert_in_words(done: subprocess.CompletedProcess[str], *codes: int) -> None:
    """The command ended with one of these codes and said why in words on stderr alone."""
    assert done.returncode in codes, done.stderr
    assert done.stdout == ""
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert "failed:" not in done.stderr


def assert_refused(done: subprocess.CompletedProcess[str], code: int, reason: str, folder: Path) -> None:
    """The command ended with `code`, said why in words on stderr alone, and left nothing in the folder."""
    assert_in_words(done, code)
    assert reason in done.stderr
    assert list(folder.iterdir()) == []


def apart_deg(a: float, b: float) -> float:
    """How far two directions lie apart, 0 .. 180."""
    return abs((a - b + 180.0) % 360.0 - 180.0)


def direction_deg(x: float, y: float) -> float:
    return math.degrees(math.atan2(y, x)) % 360.0
