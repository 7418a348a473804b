"""The sheet of the wall chart: views of sockets from above, tables and words, as large as the paper allows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ...drawing.fonts import HEAD_PT, SEMIBOLD, cap_mm, line_pitch_mm, printable, text_width_mm, wrap
from ...drawing.primitives import Document, Drawing, Group, Line, Polyline, Primitive, Text, moved
from ...drawing.transform import scaled
from ...errors import LayoutError
from ...fastening.opening import POINTS, corner_radius_mm
from ...figures.socket_from_above import draw_socket, socket_reach_mm
from ...sheets.blocks import columns_for, listed, paragraph, spread_out, stacked, table
from ...sheets.furniture import LeftHand
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import GAP_MM, Sheet
from ...sheets.words import CAUTIONS
from .plan import MEASURES, POUND_UNITS, TURNS_DEG, UNITS, ChartPlan, ChartRows, landing
from .words import PLACES, PRACTICE, about, direction_words, steps

DEFAULT_TITLE = "Torque, then turn: where common turns end"

OD_MM, CORNER_MM, DRIVE_MM = 30.0, 11.0, 10.0
"""The sockets shown: outside diameter, radius of the opening's corners, driving square (our choice: to no scale)."""

STATEMENTS_PT, DETAIL_PT, POINTS_PT, POINTS_WORD_PT = (26.0, 24.0, 22.0, 20.0, 18.0), 9.0, 17.0, 6.5
"""Sizes of the statement, of which the largest that fits is taken, and of the words below it and in the sockets."""

VIEW_PT = 9.5
"""Corner numbers of the sockets; their turns are a quarter larger."""

LARGE_PT, PAST_PT, WORDS_PT = 24.0, 15.0, 7.0
"""Corners in the table, to be read from 2 or 3 m off; degrees past them; what they mean in words (our choice: on A3
the corners are 8 mm high)."""

TURN_COLUMN_MM, PLACE_ROW_MM, TITLE_MM, PAD_MM = 20.0, 10.5, 4.2, 0.8

VIEW_GAP_MM = 3.0

ROW_MM = 4.2

TABLE_GAP_MM = 6.0
"""Space between the tables at the foot."""

WIDTH_MM = 183.0
"""Width that the chart is laid out for, that of an A4 sheet's content; larger paper enlarges it, type and all."""

LEAST_SCALE = 0.85
"""Smaller than this the type is too small for a wall (our choice); letter paper takes 0.91, with a long title 0.90."""

MOST_GAP_MM = 9.0
"""Widest space between the chart's parts, where the paper is longer than they need."""


def draw(plan: ChartPlan, command: str = "") -> Document:
    """Return the wall chart on an upright page, or on one for each thread, `command` at its foot.

    The chart is enlarged to the paper. Raises LayoutError for paper smaller than A4 or letter and CharacterError for a
    title that cannot be printed.
    """
    request = plan.request
    upright = request.paper.turned if request.paper.width_mm > request.paper.height_mm else request.paper
    points = ", ".join(map(str, POINTS[:-1])) + f" and {POINTS[-1]} points"
    title = printable(request.title, "title", MAX_TITLE) or DEFAULT_TITLE
    sheet = Sheet(upright, (title,), "", command)
    for clockwise in request.hands:
        words = about(points, clockwise)
        sheet.header = (title, words if clockwise else LeftHand(words))
        sheet.new_page()
        sheet.put(_fitted(sheet, plan, clockwise))
    return sheet.document()


def _fitted(sheet: Sheet, plan: ChartPlan, clockwise: bool) -> Drawing:
    """The chart as large as the sheet's page allows, spread over its height.

    Raises LayoutError where its type would be too small.
    """
    width, height = sheet.room_mm()
    scale = min(width / WIDTH_MM, height / stacked(_parts(plan, WIDTH_MM, clockwise), GAP_MM, "wall-chart").height_mm)
    if scale < LEAST_SCALE:
        paper = sheet.paper
        raise LayoutError(
            f"the wall chart does not fit on {paper.width_mm:.0f} × {paper.height_mm:.0f} mm with its margins",
            "A4, letter or larger", "choose {@paper} a4, letter or a3, or a smaller {@margin}", scale,
            "paper",
        )  # fmt: skip
    parts = _parts(plan, width / scale, clockwise)
    spare = (height / scale - math.fsum(part.height_mm for part in parts)) / (len(parts) - 1)
    body = stacked(parts, min(MOST_GAP_MM, max(GAP_MM, spare)), "wall-chart")
    content = scaled(body.content, scale, scale)
    assert isinstance(content, Group)
    return Drawing(body.width_mm * scale, body.height_mm * scale, content)


def _parts(plan: ChartPlan, width: float, clockwise: bool) -> list[Drawing]:
    """The chart's parts from top to bottom."""
    views = _views(clockwise)
    beside = width - views.width_mm - GAP_MM
    words = [
        listed("How to tighten", steps(clockwise), beside, numbered=True),
        listed("Cautions", CAUTIONS, beside, numbered=False),
    ]
    return [
        _statement(clockwise, width),
        spread_out([views, stacked(words, GAP_MM, "words")], width),
        stacked([_places(plan, width), paragraph(PRACTICE, width, DETAIL_PT)], 2.0, "places"),
        _tables(plan, width),
    ]


def _tables(plan: ChartPlan, width: float) -> Drawing:
    """The tables at the foot, side by side, what their columns do not need shared among them."""
    asked: list[tuple[str, Sequence[str], ChartRows]] = [
        ("Degrees, turns, flats, notches", MEASURES, plan.measures),
        ("Torque: the same in every unit", UNITS, plan.torques),
        ("From lbf·ft", POUND_UNITS, plan.pounds),
        ("Factors", ("unit", "N·m in one", "in one N·m"), plan.factors),
    ]
    needed = [columns_for(titles, rows, width) for _, titles, rows in asked]
    count = sum(map(len, needed))
    more = (width - 3 * TABLE_GAP_MM - math.fsum(mm for columns in needed for _, mm in columns)) / count
    drawn = [
        table(heading, [(name, mm + more) for name, mm in columns], rows, ROW_MM)
        for (heading, _, rows), columns in zip(asked, needed, strict=True)
    ]
    return spread_out(drawn, width)


def _statement(clockwise: bool, width: float) -> Drawing:
    """Which thread, and which way it turns, over the whole width; white on black for a left-hand one."""
    large, detail = direction_words(clockwise)
    size = next(pt for pt in STATEMENTS_PT if text_width_mm(large, pt, SEMIBOLD) <= width - 6 * PAD_MM)
    pad = cap_mm(size) / 2
    height = cap_mm(size) + (0.0 if clockwise else 2 * pad) + 2 * PAD_MM
    at = (0.0, PAD_MM) if clockwise else (3 * PAD_MM, pad + PAD_MM)
    text = Text(*at, large, size, SEMIBOLD, role="text" if clockwise else "left-hand", grey=0.0 if clockwise else 1.0)
    bar = Polyline(((0, PAD_MM), (width, PAD_MM), (width, height), (0, height)), "left-hand-box", True, 0.0)
    head = Drawing(width, height, Group("hand", (text,) if clockwise else (bar, text)))
    return stacked([head, paragraph(detail, width, DETAIL_PT)], 0.6, "statement")


def _views(clockwise: bool) -> Drawing:
    """Sockets of all points from above, two in a row."""
    cells = [_view(points, clockwise) for points in POINTS]
    rows = [spread_out(cells[k : k + 2], 2 * cells[k].width_mm) for k in range(0, len(cells), 2)]
    return stacked(rows, VIEW_GAP_MM, "views")


def _view(points: int, clockwise: bool) -> Drawing:
    """One socket from above, its number of points in the middle."""
    across_flats = OD_MM / 2 * CORNER_MM / corner_radius_mm(points, OD_MM / 2)
    socket = draw_socket(
        points, OD_MM, across_flats, clockwise=clockwise, turns_deg=TURNS_DEG, drive_mm=DRIVE_MM, size_pt=VIEW_PT
    )
    name = (
        Text(0, -0.4, str(points), POINTS_PT, SEMIBOLD, "middle"),
        Text(0, -3.2, "points", POINTS_WORD_PT, anchor="middle"),
    )
    across, up = socket_reach_mm(OD_MM, VIEW_PT)
    return Drawing(2 * across, 2 * up, moved(Group("view", (socket, *name)), across, up))


def _places(plan: ChartPlan, width: float) -> Drawing:
    """Where each turn ends: the corner large, how far past it, and the words beside it."""
    column = (width - TURN_COLUMN_MM) / len(POINTS)
    heading = paragraph(PLACES, width, HEAD_PT, SEMIBOLD)
    lefts = [0.0, *(TURN_COLUMN_MM + column * k for k in range(len(POINTS)))]
    titles = ("turn", *(f"{points} points" for points in POINTS))
    top = PLACE_ROW_MM * len(plan.places)
    items: list[Primitive | Group] = [
        *(Text(x + PAD_MM, top + 1.3, title, DETAIL_PT, SEMIBOLD) for x, title in zip(lefts, titles, strict=True)),
        Line(0, top, width, top, "rule-strong"),
    ]
    for number, (turn, (shown, *said)) in enumerate(zip(TURNS_DEG, plan.places, strict=True), 1):
        y = top - PLACE_ROW_MM * number
        base = y + (PLACE_ROW_MM - cap_mm(LARGE_PT)) / 2
        items += [Line(0, y, width, y, "rule"), Text(PAD_MM, base, shown, LARGE_PT, SEMIBOLD)]
        for x, points, words in zip(lefts[1:], POINTS, said, strict=True):
            data = (("deg", f"{turn:g}"), ("points", str(points)))
            items.append(Group("place", tuple(_place(turn, points, words, x + PAD_MM, base, column)), data))
    body = Drawing(width, top + TITLE_MM, Group("table", tuple(items)))
    return stacked([heading, body], 1.0, "place-table")


def _place(turn: float, points: int, words: str, x: float, base: float, column: float) -> Iterator[Text]:
    """A cell: the corner, the degrees past it, and behind them the words, level with its middle."""
    corner, past = landing(turn, points)
    yield Text(x, base, corner, LARGE_PT, SEMIBOLD, role="corner-number")
    behind = x + text_width_mm(corner, LARGE_PT, SEMIBOLD) + PAD_MM
    if past:
        yield Text(behind, base, past, PAST_PT, SEMIBOLD, role="turn-label")
        behind += text_width_mm(past, PAST_PT, SEMIBOLD) + PAD_MM
    lines = wrap(words, x + column - 2 * PAD_MM - behind, WORDS_PT)
    pitch = line_pitch_mm(WORDS_PT)
    first = base + cap_mm(LARGE_PT) / 2 + (pitch * (len(lines) - 1) - cap_mm(WORDS_PT)) / 2
    yield from (Text(behind, first - pitch * k, line, WORDS_PT) for k, line in enumerate(lines))
