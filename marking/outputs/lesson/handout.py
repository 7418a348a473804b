"""The handout of a lesson."""

from __future__ import annotations

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import HEAD_PT
from ...drawing.primitives import Drawing, Group, moved
from ...fastening.spec import Window
from ...marks.stage_marks import place_in_words, stages_of
from ...quantities.shown import shown_degrees
from ...readouts.part_ring.figure import draw_ring
from ...readouts.part_ring.layout import MIN_RING_WIDTH_MM, RingLayout
from ...sheets.blocks import captioned, centred, columns_for, listed, side_by_side, table
from ...sheets.columns import column_mm, put_columns
from ...sheets.sheet import GAP_MM, Sheet
from ...sheets.words import CAUTIONS, mark_name
from .demo import DEMO_FRICTION, EXAMPLE, demo_fastening, torque_shares
from .figures import View, draw_shares, draw_slack, draw_view
from .plan import LessonPlan
from .request import LessonRequest
from .words import HOW, TEACHING, WHICH_WAY, WRONG, example_steps, hand_of, why_angle, worked_sums

HANDOUT_PT, CAPTION_PT = 10.0, 8.5
"""Body of the handout: it is read and explained, not looked up, so it is larger than on other sheets."""

EXAMPLE_RADIUS_MM, EXAMPLE_RING_MM = 22.0, 6.0

STAGE_RADIUS_MM, STAGE_RING_MM = 11.5, 4.0

RING_BORE_MM, RING_SLIT_DEG = 16.0, 200.0
"""The part ring shown, small enough for half a column (our choice), with its slit away from the marks."""


def put_handout(sheet: Sheet, plan: LessonPlan) -> None:
    """Why, how, cautions, which way round, a worked example, the sums, what goes wrong."""
    width = column_mm(sheet)
    fastening = demo_fastening()
    put_columns(sheet, [
        [
            listed("Why turn, when there is a torque?", why_angle(fastening), width, False, HANDOUT_PT),
            draw_shares(torque_shares(fastening, DEMO_FRICTION), width),
        ],
        [listed("How to mark and turn", HOW, width, True, HANDOUT_PT)],
        [listed("Cautions", (TEACHING, *CAUTIONS), width, False, HANDOUT_PT)],
        [
            listed("Which way round", WHICH_WAY, width, False, HANDOUT_PT),
            _turning(width),
            _mirrored(width),
            _others(width),
        ],
        _example(plan, width),
        [listed("The sums you need", worked_sums(fastening.thread), width, False, HANDOUT_PT)],
        [listed("What goes wrong", WRONG, width, False, HANDOUT_PT), _slack(width)],
    ])  # fmt: skip


def _turning(width: float) -> Drawing:
    """A right-hand thread before and after the turn."""
    turned_deg = EXAMPLE.turn_deg + (EXAMPLE.plus_deg or 0.0) / 2
    words = (
        "At snug: START stands at the witness mark.",
        f"After {shown_degrees(turned_deg)}: START has travelled on clockwise, and the window has arrived.",
    )
    return _pair(draw_view(_view(), "before"), draw_view(_view(turned_deg=turned_deg), "after"), words, width)


def _mirrored(width: float) -> Drawing:
    """The mirrored mark beside the right one."""
    window = EXAMPLE.window
    assert window is not None
    late = Window(360.0 - window.high_deg, 360.0 - window.low_deg)
    words = (
        f"RIGHT: the window arrives after {window.text}.",
        f"WRONG, mirrored: it would arrive only after {late.text}. The bolt may be ruined long before.",
    )
    return _pair(draw_view(_view(), "right"), draw_view(_view(mirrored=True), "mirrored"), words, width)


def _others(width: float) -> Drawing:
    """The part ring, on which the window lies the other way, and a left-hand thread."""
    ring = draw_ring(RingLayout(RING_BORE_MM, MIN_RING_WIDTH_MM, True, stages_of((EXAMPLE,)), RING_SLIT_DEG))
    words = (
        "Part ring: it stands still and START travels over it, so the window lies clockwise of zero.",
        "Left-hand thread: the socket turns counterclockwise, and the window lies clockwise of START.",
    )
    return _pair(ring, draw_view(View(12, False, stages_of((EXAMPLE,))), "left-hand"), words, width)


def _view(turned_deg: float = 0.0, mirrored: bool = False) -> View:
    return View(12, True, stages_of((EXAMPLE,)), turned_deg=turned_deg, mirrored=mirrored)


def _slack(width: float) -> Drawing:
    """Slack left in and taken up."""
    words = (
        "Slack left in: the socket turns by twice the slack before it moves the fastener.",
        "Taken up: socket and fastener turn together.",
    )
    return _pair(draw_slack(11.0, taken_up=False), draw_slack(11.0, taken_up=True), words, width)


def _pair(left: Drawing, right: Drawing, words: tuple[str, str], width: float) -> Drawing:
    """Two figures side by side, their words below them."""
    cell = width / 2 - GAP_MM / 2
    height = max(left.height_mm, right.height_mm)
    level = [Drawing(d.width_mm, height, moved(d.content, 0.0, height - d.height_mm)) for d in (left, right)]
    return side_by_side([captioned(d, [text], cell, CAPTION_PT) for d, text in zip(level, words, strict=True)], width)


def _example(plan: LessonPlan, width: float) -> list[Drawing]:
    """The lesson's own spec, worked out: figure, marks in words, what to do."""
    lesson = plan.lesson
    spec = lesson.spec
    about = (
        f"{spec.read_as}, {hand_of(spec)} thread, {lesson.points}-point socket: corners "
        f"{shown_degrees(360 / lesson.points)} apart."
    )
    head = listed("A worked example", [about, *example_steps(spec)], width, False, HANDOUT_PT)
    rows = [
        (
            mark_name(mark.kind, [mark.stage] if len(spec.stages) > 1 else []),
            shown_degrees(mark.turn_deg),
            place_in_words(mark, lesson.points),
        )
        for mark in plan.marks
    ]
    marks = table("", columns_for(("mark", "turn", "on the socket"), rows, width), rows)
    black = (
        [] if spec.clockwise else [Drawing(*left_hand_size_mm(HEAD_PT), Group("hand", left_hand(0.0, 0.0, HEAD_PT)))]
    )
    return [head, *black, *_worked_sockets(lesson, width), marks]


def _worked_sockets(lesson: LessonRequest, width: float) -> list[Drawing]:
    """The socket with its marks; a smaller one for each of several stages, which all begin at START."""
    stages = stages_of(lesson.spec.stages)
    size = (STAGE_RADIUS_MM, STAGE_RING_MM) if len(stages) > 1 else (EXAMPLE_RADIUS_MM, EXAMPLE_RING_MM)
    drawn = [
        draw_view(View(lesson.points, lesson.spec.clockwise, (stage,), *size), "worked-socket", numbered=True)
        for stage in stages
    ]
    beside = 2 if len(drawn) > 1 and 2 * max(drawing.width_mm for drawing in drawn) <= width else 1
    if beside == 1:
        return [centred(drawing, width) for drawing in drawn]
    return [side_by_side(drawn[k : k + 2], width * len(drawn[k : k + 2]) / 2) for k in range(0, len(drawn), 2)]
