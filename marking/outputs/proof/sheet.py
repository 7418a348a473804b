"""The proof page: lengths to measure with a steel rule, which show what a printer really prints.

Three crosses at the corners of a right triangle: A to B across the sheet, B to C along it, and A to C, which is longer
or shorter than it should be when the sheet ran askew. The page is never corrected by a printer profile.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from ...drawing.fonts import BODY_PT, HEAD_PT, SEMIBOLD, cap_mm
from ...drawing.primitives import Document, Drawing, Group, Line, Placed, Primitive, Text
from ...printers.profile import X_NOMINAL_MM, Y_NOMINAL_MM
from ...quantities.shown import trimmed
from ...sheets.paper import SIZES, Paper, parse_sheet
from ...sheets.sheet import Sheet
from .words import RULER_NOTE, measuring_block, storing_block

TITLE = "Print scale proof"

STEP_MM = 20.0
"""Lengths are multiples of it: easy to find on a steel rule."""

ARM_MM = 2.5
"""How far a cross reaches from its centre."""

SPREAD_MM = 1.0
"""How far the crosses' centres may lie outside the content's box: what letter paper needs for 240 mm."""

CLEAR_MM = 5.0
"""Least height between the words and the line from A to C."""

LABEL_MM = 7.0
"""Strip along a line that its label takes up."""

WIDEST_MM, NARROWEST_MM = 100, 45
"""Widths of a column of words."""


class ProofRequest(NamedTuple):
    """The sheet, as it is fed: never corrected by a printer profile."""

    paper: Paper


def read(paper: str = "a4") -> ProofRequest:
    """Return the proof page for a paper. Raises a MarkingError for what is no sheet."""
    return ProofRequest(parse_sheet(paper))


class ProofPlan(NamedTuple):
    """The sheet held upright, and the proof's lengths across and along it, in mm."""

    paper: Paper
    across_mm: float
    along_mm: float
    warnings: tuple[str, ...] = ()


def plan(request: ProofRequest) -> ProofPlan:
    """Return the lengths that a paper takes: 160 and 240 mm on A4 and letter, so that one command serves both."""
    paper = request.paper.wide.turned  # across and along are those of the sheet as it is fed
    return ProofPlan(paper, *proof_lengths(paper))


def data(plan: ProofPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return the lengths as JSON-ready data."""
    return {"x_mm": plan.across_mm, "y_mm": plan.along_mm, "warnings": [*map(str, plan.warnings)], "files": list(files)}


def proof_lengths(paper: Paper) -> tuple[float, float]:
    """Return the proof's lengths in mm, across and along the sheet held upright.

    160 and 240 mm on A4 and letter, so that one command serves both; on other paper the largest multiples of 20 mm that
    fit: 120 and 160 mm on A5.
    """
    left, right, low, high = _room(_empty_sheet(paper))
    across, along = (right - left) // STEP_MM * STEP_MM, (high - low) // STEP_MM * STEP_MM
    if (round(paper.width_mm, 2), round(paper.height_mm, 2)) in (SIZES["a4"], SIZES["letter"]):
        return min(across, X_NOMINAL_MM), min(along, Y_NOMINAL_MM)
    return across, along


def draw(plan: ProofPlan, command: str = "") -> Document:
    """Return the proof: one page with lines and instructions, or two where the words find no room beside the lines.

    `command` stands at the foot of each.
    """
    paper, across, along, _ = plan
    sheet = _empty_sheet(paper, command)
    left, right, low, high = _room(sheet)
    x, y = (left + right - across) / 2, (low + high - along) / 2
    words = _words_beside(paper.left_mm, x, y, across, along)
    if not words:
        sheet.new_page()
        for write in (measuring_block, storing_block):
            sheet.new_row()
            sheet.put(write(min(WIDEST_MM, sheet.room_mm()[0]), across, along))
    first, *rest = sheet.pages()
    size = f"{trimmed(across, 0)} mm across and {trimmed(along, 0)} mm along"
    subject = f"{size}, on paper of {trimmed(paper.width_mm, 1)} × {trimmed(paper.height_mm, 1)} mm"
    return Document(
        (first._replace(placed=(Placed(_triangle(across, along), x, y), *words, *first.placed)), *rest), TITLE, subject
    )


def _empty_sheet(paper: Paper, command: str = "") -> Sheet:
    sheet = Sheet(paper, (TITLE,), RULER_NOTE, command)
    sheet.new_page()
    return sheet


def _room(sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, right, low and high limits of the crosses' centres on the sheet's first page, in mm."""
    paper, top = sheet.paper, sheet.paper.top_mm - sheet.header_mm
    low = top - sheet.empty_height_mm
    return paper.left_mm - SPREAD_MM, paper.right_mm - SPREAD_MM, low, top + SPREAD_MM


def _triangle(across: float, along: float) -> Drawing:
    """The three lengths, A at (0, 0), B at (across, 0), C at (across, along): lines, crosses and labels.

    The ends of each length are the centres of its crosses. The box holds the lengths; the crosses reach beyond it.
    """
    diagonal = math.hypot(across, along)
    slope = math.degrees(math.atan2(along, across))
    rise = cap_mm(HEAD_PT) / 2
    items: list[Primitive] = [
        Line(0, 0, across, 0, "proof-x", (("mm", trimmed(across, 4)),)),
        Line(across, 0, across, along, "proof-y", (("mm", trimmed(along, 4)),)),
        Line(0, 0, across, along, "proof-diagonal", (("mm", trimmed(diagonal, 4)),)),
        *(
            Line(x - dx, y - dy, x + dx, y + dy, "proof-cross", (("name", name),))
            for name, x, y in (("A", 0.0, 0.0), ("B", across, 0.0), ("C", across, along))
            for dx, dy in ((ARM_MM, 0.0), (0.0, ARM_MM))
        ),
        *(
            Text(x, y, name, HEAD_PT, SEMIBOLD, "end")
            for name, x, y in (("A", -3.4, -rise), ("B", across - 1.6, 1.6), ("C", across - 3.4, along - rise))
        ),
        _label(f"A to B: {trimmed(across, 0)} mm across the sheet", across / 2, 0, 0),
        _label(f"B to C: {trimmed(along, 0)} mm along the sheet", across, along / 2, 90),
        _label(f"A to C: {trimmed(diagonal, 2)} mm, a check", across / 4, along / 4, slope),
    ]
    return Drawing(across, along, Group("proof", tuple(items)))


def _label(words: str, x: float, y: float, turned_deg: float) -> Text:
    """Words along a line, 1.6 mm to the left of it as one looks along it, centred at (x, y)."""
    turned = math.radians(turned_deg)
    x, y = x - 1.6 * math.sin(turned), y + 1.6 * math.cos(turned)
    return Text(x, y, words, BODY_PT, anchor="middle", rotation_deg=turned_deg)


def _words_beside(flush: float, x: float, y: float, across: float, along: float) -> list[Placed]:
    """The instructions on both sides of the line from A to C, or nothing where they find no room.

    (x, y) is A's place on the page. Measuring goes above the line, flush with the title at `flush`; storing below it.
    """
    slope = along / across
    measuring = _widest_that_fits(
        measuring_block, lambda width: along - CLEAR_MM - slope * max(0.0, flush + width - x), across, along
    )
    storing = _widest_that_fits(
        storing_block, lambda width: slope * (across - LABEL_MM - width) - CLEAR_MM - LABEL_MM, across, along
    )
    if measuring is None or storing is None:
        return []
    return [
        Placed(measuring, flush, y + along - measuring.height_mm),
        Placed(storing, x + across - LABEL_MM - storing.width_mm, y + LABEL_MM),
    ]


Write = Callable[[float, float, float], Drawing]


def _widest_that_fits(
    write: Write, height_for: Callable[[float], float], across: float, along: float
) -> Drawing | None:
    """The words in the widest column that is not higher than `height_for` its width allows."""
    columns = ((width, write(width, across, along)) for width in range(WIDEST_MM, NARROWEST_MM - 1, -1))
    return next((words for width, words in columns if words.height_mm <= height_for(width)), None)
