"""The sheet of the wall chart: views of sockets from above, tables and words, as large as the paper allows."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ...drawing.fonts import SEMIBOLD, printable
from ...drawing.primitives import Document, Drawing, Group, Text
from ...drawing.transform import moved, scaled
from ...errors import LayoutError
from ...fastening.opening import POINTS, corner_radius_mm
from ...figures.socket_from_above import draw_socket, socket_reach_mm
from ...sheets.blocks import columns_for, listed, paragraph, spread_out, stacked, table
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import GAP_MM, Sheet
from ...sheets.words import CAUTIONS
from .plan import MEASURES, POUND_UNITS, TURNS_DEG, UNITS, ChartPlan, ChartRows
from .words import PRACTICE, direction_words, steps

DEFAULT_TITLE = "Torque, then turn: where common turns end"

OD_MM, CORNER_MM, DRIVE_MM = 30.0, 11.0, 10.0
"""The sockets shown: outside diameter, radius of the opening's corners, driving square (our choice: to no scale)."""

STATEMENT_PT, DETAIL_PT, POINTS_PT, POINTS_WORD_PT = 16.0, 9.0, 15.0, 6.5

TURN_COLUMN_MM = 12.0

VIEW_GAP_MM = 3.0

ROW_MM = 4.2

TABLE_GAP_MM = 7.0

TABLE_SHARES = (0.31, 0.4, 0.29)
"""Space between the tables at the foot, and how they share the width (our choice)."""

WIDTH_MM = 183.0
"""Width that the chart is laid out for, that of an A4 sheet's content; larger paper enlarges it, type and all."""

LEAST_SCALE = 0.85
"""Smaller than this the type is too small for a wall (our choice); letter paper takes 0.91, with a long title 0.90."""

MOST_GAP_MM = 9.0
"""Widest space between the chart's parts, where the paper is longer than they need."""


def draw(plan: ChartPlan, command: str = "") -> Document:
    """Return the wall chart on one upright page, `command` at its foot.

    The chart is enlarged to the paper. Raises LayoutError for paper smaller than A4 or letter and CharacterError for a
    title that cannot be printed.
    """
    paper, clockwise, title = plan.request
    upright = paper.turned if paper.width_mm > paper.height_mm else paper
    points = ", ".join(map(str, POINTS[:-1])) + f" and {POINTS[-1]} points"
    hand = "right-hand thread" if clockwise else "left-hand thread"
    header = (printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, f"wall chart · {points} · {hand}")
    sheet = Sheet(upright, header, "", command)
    sheet.new_page()
    sheet.put(_fitted(sheet, plan))
    return sheet.document()


def _fitted(sheet: Sheet, plan: ChartPlan) -> Drawing:
    """The chart as large as the sheet's page allows, spread over its height.

    Raises LayoutError where its type would be too small.
    """
    width, height = sheet.room_mm()
    scale = min(width / WIDTH_MM, height / stacked(_parts(plan, WIDTH_MM), GAP_MM, "wall-chart").height_mm)
    if scale < LEAST_SCALE:
        paper = sheet.paper
        raise LayoutError(
            f"the wall chart does not fit on {paper.width_mm:.0f} × {paper.height_mm:.0f} mm with its margins",
            "A4, letter or larger", "choose {@paper} a4, letter or a3, or a smaller {@margin}", scale,
            "paper",
        )  # fmt: skip
    parts = _parts(plan, width / scale)
    spare = (height / scale - math.fsum(part.height_mm for part in parts)) / (len(parts) - 1)
    body = stacked(parts, min(MOST_GAP_MM, max(GAP_MM, spare)), "wall-chart")
    content = scaled(body.content, scale, scale)
    assert isinstance(content, Group)
    return Drawing(body.width_mm * scale, body.height_mm * scale, content)


def _parts(plan: ChartPlan, width: float) -> list[Drawing]:
    """The chart's parts from top to bottom."""
    clockwise = plan.request.clockwise
    views = _views(clockwise)
    beside = width - views.width_mm - GAP_MM
    words = [
        listed("How to tighten", steps(clockwise), beside, numbered=True),
        listed("Cautions", CAUTIONS, beside, numbered=False),
    ]
    tables = width - 2 * TABLE_GAP_MM
    measures, torques, units = (tables * share for share in TABLE_SHARES)
    pounds = _filled("From lbf·ft", POUND_UNITS, plan.pounds, units)
    factors = _filled("Factors", ("unit", "N·m in one", "in one N·m"), plan.factors, units)
    last = [
        _filled("Degrees, turns, flats, notches", MEASURES, plan.measures, measures),
        _filled("Torque: the same in every unit", UNITS, plan.torques, torques),
        stacked([factors, pounds], GAP_MM, "units"),
    ]
    return [
        _statement(clockwise, width),
        spread_out([views, stacked(words, GAP_MM, "words")], width),
        stacked([_places(plan, width), paragraph(PRACTICE, width, DETAIL_PT)], 2.0, "places"),
        spread_out(last, width),
    ]


def _statement(clockwise: bool, width: float) -> Drawing:
    large, detail = direction_words(clockwise)
    parts = [paragraph(large, width, STATEMENT_PT, SEMIBOLD), paragraph(detail, width, DETAIL_PT)]
    return stacked(parts, 0.6, "statement")


def _views(clockwise: bool) -> Drawing:
    """Sockets of all points from above, two in a row."""
    cells = [_view(points, clockwise) for points in POINTS]
    rows = [spread_out(cells[k : k + 2], 2 * cells[k].width_mm) for k in range(0, len(cells), 2)]
    return stacked(rows, VIEW_GAP_MM, "views")


def _view(points: int, clockwise: bool) -> Drawing:
    """One socket from above, its number of points in the middle."""
    across_flats = OD_MM / 2 * CORNER_MM / corner_radius_mm(points, OD_MM / 2)
    socket = draw_socket(points, OD_MM, across_flats, clockwise=clockwise, turns_deg=TURNS_DEG, drive_mm=DRIVE_MM)
    name = (
        Text(0, -0.4, str(points), POINTS_PT, SEMIBOLD, "middle"),
        Text(0, -3.2, "points", POINTS_WORD_PT, anchor="middle"),
    )
    across, up = socket_reach_mm(OD_MM)
    return Drawing(2 * across, 2 * up, moved(Group("view", (socket, *name)), across, up))


def _places(plan: ChartPlan, width: float) -> Drawing:
    rest = (width - TURN_COLUMN_MM) / len(POINTS)
    columns = [("turn", TURN_COLUMN_MM), *((f"{points} points", rest) for points in POINTS)]
    return table("Where the turn ends, counted from START on corner 1", columns, plan.places)


def _filled(heading: str, titles: Sequence[str], rows: ChartRows, width: float) -> Drawing:
    """A table as wide as `width`, what its columns do not need shared among them."""
    columns = columns_for(titles, rows, width)
    more = (width - math.fsum(mm for _, mm in columns)) / len(columns)
    return table(heading, [(name, mm + more) for name, mm in columns], rows, ROW_MM)
