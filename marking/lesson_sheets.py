"""The sheets of a teaching set: the handout, a worksheet for each trainee, and the answer key."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from .blocks import (
    BODY_PT,
    HEAD_PT,
    NOTE_PT,
    captioned,
    columns_for,
    line_pitch_mm,
    listed,
    paragraph,
    stacked,
    table,
)
from .drawing import Document, Drawing, Group, Line, Primitive, Text, moved
from .fonts import SEMIBOLD, printable, text_width_mm, wrap
from .job import place_in_words
from .job_sheets import MAX_TITLE
from .lesson import (
    DEMO,
    DEMO_FRICTION,
    Answers,
    Exercise,
    Lesson,
    LessonPlan,
    Place,
    demo_fastening,
    nm_per_lbf_ft,
    preload_gain,
    torque_shares,
)
from .lesson_figures import (
    View,
    centred,
    draw_blank,
    draw_key,
    draw_shares,
    draw_slack,
    draw_view,
    side_by_side,
    stages_of,
)
from .part import MIN_RING_WIDTH_MM, RingPlan, draw_ring
from .quantities import rounded, shown_degrees, shown_length, trimmed
from .sheet import GAP_MM, TITLE_PT, Sheet
from .spec import Stage, TighteningSpec, Window
from .stretch import Fastening
from .threads import Thread
from .words import CAUTIONS, MARK_NAMES, direction, snug_step

DEFAULT_TITLE = "Torque, then turn: a lesson"
TEACHING = "Teaching numbers, not tightening instructions: the manufacturer's manual decides."
KEY_TITLE = "Answer key: for the instructor"
RULER_NOTE = (
    "Nothing here is cut out. The rulers show whether the page came out at 100 %; the angles of the figures are true "
    "when both rulers have the same length."
)

COLUMN_MM = 85.0
"""Least width of a column of words; a page takes as many as fit."""

WIDEST_MM = 120.0

ANSWER_MM, FIRST_ANSWER_MM = 8.0, 6.5
"""From one line to write on to the next, and from the question to its first line."""

HANDOUT_PT = 9.0
"""Body of the handout: it is read and explained, not looked up, so it is larger than on other sheets."""

NUMBER_MM = 5.0
EXAMPLE_RADIUS_MM, EXAMPLE_RING_MM = 22.0, 6.0
STAGE_RADIUS_MM, STAGE_RING_MM = 11.5, 4.0
RING_BORE_MM, RING_SLIT_DEG = 16.0, 200.0
"""The part ring shown, small enough for half a column (our choice), with its slit away from the marks."""

EXERCISE_RADIUS_MM, EXERCISE_RING_MM = 27.0, 10.0
KEY_RADIUS_MM, KEY_RING_MM = 12.5, 4.5


def lesson_document(plan: LessonPlan) -> Document:
    """Return the finished pages of a teaching set: handout, worksheets, answer key.

    Raises CharacterError for a title that cannot be printed and LayoutError for paper too small.
    """
    lesson = plan.lesson
    count = f"{lesson.trainees} worksheet{'' if lesson.trainees == 1 else 's'}"
    header = (
        printable(lesson.title, "title", MAX_TITLE) or DEFAULT_TITLE,
        f"{count} · seed {lesson.seed} · {DEMO}",
        TEACHING,
    )
    sheet = Sheet(lesson.paper, header, RULER_NOTE)
    _put_handout(sheet, plan)
    for exercise in plan.exercises:
        _put_worksheet(sheet, plan, exercise)
    _put_key(sheet, plan)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def _column_mm(sheet: Sheet) -> float:
    """The width of a column: the page's width shared by as many as fit."""
    room = sheet.paper.content_width_mm + GAP_MM
    return min(WIDEST_MM, room / max(1, int(room / (COLUMN_MM + GAP_MM))) - GAP_MM)


def _begin_page(sheet: Sheet, strip: Drawing | None) -> None:
    """Begin a page, with a strip across its top if given, so that no page of a trainee's is nameless."""
    sheet.new_page()
    if strip is not None:
        sheet.put(strip)
        sheet.new_row()


def _put_columns(sheet: Sheet, groups: Sequence[Sequence[Drawing]], strip: Drawing | None = None) -> None:
    """Fill columns of a new page from top to bottom, side by side and then on further pages.

    The blocks of a group stay in one column unless they are too many for any.
    """
    _begin_page(sheet, strip)
    highest = sheet.room_mm()[1]
    column: list[Drawing] = []
    for group in groups:
        together = stacked(group)
        for block in [together] if together.height_mm <= highest else group:
            if column and stacked([*column, block]).height_mm > highest:
                _put_column(sheet, column, strip)
                column = []
            column.append(block)
    _put_column(sheet, column, strip)


def _put_column(sheet: Sheet, column: Sequence[Drawing], strip: Drawing | None) -> None:
    """Put a column into the row, or on a new page when the row is full."""
    drawing = stacked(column)
    if sheet.room_mm()[0] < drawing.width_mm - 1e-6:
        _begin_page(sheet, strip)
    sheet.put(drawing)


# -- the handout


def _put_handout(sheet: Sheet, plan: LessonPlan) -> None:
    """Why, how, cautions, which way round, a worked example, the sums, what goes wrong."""
    width = _column_mm(sheet)
    fastening = demo_fastening()
    groups = [
        [
            listed("Why turn, when there is a torque?", _why(fastening), width, False, HANDOUT_PT),
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
        [listed("The sums you need", _sums(fastening.thread), width, False, HANDOUT_PT)],
        [listed("What goes wrong", WRONG, width, False, HANDOUT_PT), _slack(width)],
    ]
    _put_columns(sheet, groups)


def _why(fastening: Fastening) -> list[str]:
    """Why the angle, with numbers for one thread."""
    shares = torque_shares(fastening, DEMO_FRICTION)
    gain = 100 * (preload_gain(fastening, 0.14, 0.10) - 1)
    return [
        "A tightened bolt is a stretched spring: its pull, the preload, holds the joint. A torque wrench does not "
        "measure this pull; it measures how hard the bolt is to turn, and most of that is friction.",
        f"For {fastening.thread.name} with a friction coefficient of {DEMO_FRICTION:g} in thread and head, "
        f"{100 * shares.friction:.0f} % of the torque goes into friction. If dirt or another lubricant moves it from "
        f"0.14 to 0.10, the same torque gives {gain:.0f} % more preload. (Formula of ISO 16047 and VDI 2230, with the "
        "bearing diameter 1.25 d of Shigley's handbook.)",
        "An angle is different. Once the parts lie firmly together, each degree moves the thread on by the same small "
        "way, whatever the friction. That is why the snug torque comes first: it closes the gaps. Then the turn sets "
        "the stretch.",
    ]


HOW = (
    "Read the spec in the manual: snug torque, turn, tolerance. Low edge = turn − minus; high edge = turn + plus.",
    "Clean and lubricate thread and seat as the manual says, or leave them dry.",
    "Mark the socket: START on a corner, and the stop window at its turn from START.",
    "Tighten to the snug torque. Pull lightly on, to take up the slack, and hold.",
    "Put the witness mark on the part, beside START.",
    "Turn in one smooth pull until the witness mark stands in the stop window. Look square on it.",
)

WHICH_WAY = (
    "The marks travel with the socket. What is to arrive later must lie farther back: marks are counted from START "
    "against the tightening direction.",
    "A right-hand thread tightens clockwise. Seen from above, facing the drive end, its window lies counterclockwise "
    "of START. From the side, drive end up, it lies to the right.",
    "A part ring stands still, and START travels over it: there the window lies clockwise of the zero.",
    "A left-hand thread mirrors all of this.",
)

WRONG = (
    "Dirt or paint under the head: the gaps are not closed at snug, so part of the turn is spent on closing them.",
    "The wrong lubricant, or none: the snug torque is reached too late or too early, and the turn begins from there.",
    "A wrench out of calibration: the snug torque is wrong, and nobody can see it.",
    "Guessing by eye: the window is often 10° wide, a third of the way between two corners of a 12-point socket.",
    "Slack left in: the socket turns before the fastener does (see the figure).",
    "The mirrored mark: the window on the wrong side of START. Check: turn the socket in your hand "
    "the way it tightens; the window must come to the place where START was, after the turn and not before.",
    "START on another corner after the socket was taken off: put it back on the same corner.",
    "Past the window: stop and do what the manual says, often a new fastener. Never turn back and guess.",
)

EXAMPLE = Stage(90.0, 10.0, 0.0)
"""The turn of the figures that show the direction."""


def _turning(width: float) -> Drawing:
    """A right-hand thread before and after the turn."""
    turned_deg = EXAMPLE.turn_deg + (EXAMPLE.plus_deg or 0.0) / 2
    before = draw_view(_view(), "before")
    after = draw_view(_view(turned_deg=turned_deg), "after")
    words = (
        "At snug: START stands at the witness mark.",
        f"After {shown_degrees(turned_deg)}: START has travelled on clockwise, and the window has arrived.",
    )
    return _pair(before, after, words, width)


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
    ring = draw_ring(RingPlan(RING_BORE_MM, MIN_RING_WIDTH_MM, True, stages_of((EXAMPLE,)), RING_SLIT_DEG))
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
    return side_by_side([captioned(d, [text], cell) for d, text in zip(level, words, strict=True)], width)


def _example(plan: LessonPlan, width: float) -> list[Drawing]:
    """The lesson's own spec, worked out: figure, marks in words, what to do."""
    lesson = plan.lesson
    spec = lesson.spec
    about = (
        f"{spec.printed}, {_hand(spec)} thread, {lesson.points}-point socket: corners "
        f"{shown_degrees(360 / lesson.points)} apart."
    )
    head = listed("A worked example", [about, *_steps(plan)], width, False, HANDOUT_PT)
    several = len(spec.stages) > 1
    rows = [
        (
            MARK_NAMES[mark.kind] + (f" ({mark.stage})" if several and mark.stage else ""),
            shown_degrees(mark.turn_deg),
            place_in_words(mark, lesson.points),
        )
        for mark in plan.marks
    ]
    marks = table("", columns_for(("mark", "turn", "on the socket"), rows, width), rows)
    return [head, *_worked_sockets(lesson, width), marks]


def _worked_sockets(lesson: Lesson, width: float) -> list[Drawing]:
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


def _hand(spec: TighteningSpec) -> str:
    return "right-hand" if spec.clockwise else "left-hand"


def _steps(plan: LessonPlan) -> list[str]:
    """How the worked example's window comes about, stage by stage."""
    spec = plan.lesson.spec
    lines = [snug_step(spec)]
    for number, stage in enumerate(spec.stages, 1):
        text = _edges(stage)
        lines.append(f"Stage {number}: {text}" if len(spec.stages) > 1 else text[0].upper() + text[1:])
    if len(spec.stages) > 1:
        lines.append("Each stage begins anew: put a fresh witness mark beside START before its turn.")
    return [*lines, f"Turn {direction(spec)}."]


def _edges(stage: Stage) -> str:
    """How the edges of a window follow from turn and tolerance."""
    turn = shown_degrees(stage.turn_deg)
    window = stage.window
    if window is None:
        return f"turn {turn}. The manual's tolerance is missing: look it up."
    minus, plus = shown_degrees(stage.minus_deg or 0.0), shown_degrees(stage.plus_deg or 0.0)
    low, high = shown_degrees(window.low_deg), shown_degrees(window.high_deg)
    return f"low edge {turn} − {minus} = {low}; high edge {turn} + {plus} = {high}."


def _sums(thread: Thread) -> list[str]:
    """The formulas of the worksheets, each with one sum worked out."""
    advance = _advance(thread, EXAMPLE.turn_deg, thread.advance_mm(EXAMPLE.turn_deg))
    return [
        "Corners of a 6-point socket are 360° ÷ 6 = 60° apart, of a 12-point socket 30°. Count from corner 1, which is "
        "START; half way between two corners is a mid-flat.",
        f"Advance of the thread = pitch × turn ÷ 360. {thread.name}: {advance}. With threads per inch, the pitch is "
        "1 in ÷ threads.",
        "Place of a mark along the band = length round the socket × angle ÷ 360.",
        f"1 lbf·ft = {trimmed(nm_per_lbf_ft(), 4)} N·m.",
        "A reading exactly on an edge is inside the window.",
    ]


# -- the worksheets


def _put_worksheet(sheet: Sheet, plan: LessonPlan, exercise: Exercise) -> None:
    """One trainee's sheet, from a new page on."""
    width = _column_mm(sheet)
    view = View(exercise.socket.points, exercise.spec.clockwise, (), EXERCISE_RADIUS_MM, EXERCISE_RING_MM)
    figure = centred(draw_blank(view, (("sheet", str(exercise.number)),)), width)
    strip = _name_strip(plan, exercise, sheet.paper.content_width_mm)
    tasks = [_task(number, *task, width) for number, task in enumerate(_tasks(exercise), 1)]
    _put_columns(sheet, [[block] for block in (_given(exercise, width), figure, *tasks)], strip)


def _sheet_number(plan: LessonPlan, exercise: Exercise) -> str:
    return f"Sheet {exercise.number} of {plan.lesson.trainees} · seed {plan.lesson.seed}"


def _name_strip(plan: LessonPlan, exercise: Exercise, width: float) -> Drawing:
    """The sheet's number, and lines for name and date."""
    title = _sheet_number(plan, exercise)
    x = text_width_mm(title, HEAD_PT, SEMIBOLD) + 8.0
    items: list[Primitive] = [Text(0.0, 1.5, title, HEAD_PT, SEMIBOLD)]
    split = x + (width - x) * 0.64
    for label, begin, end in (("Name", x, split - 4.0), ("Date", split, width)):
        line = begin + text_width_mm(label, BODY_PT) + 1.5
        items += [Text(begin, 1.5, label, BODY_PT), Line(line, 1.0, end, 1.0, "rule")]
    return Drawing(width, 6.0, Group("name-strip", tuple(items)))


def _given(exercise: Exercise, width: float) -> Drawing:
    """What the sheet gives."""
    socket, thread = exercise.socket, exercise.thread
    opening = f" · opening {socket.opening.text}" if socket.opening else ""
    rows = [
        ("spec", exercise.spec.printed),
        ("socket", f"{socket.points}-point · {socket.drive.inch} in drive{opening}"),
        ("thread", f"{thread.name}, {_hand(exercise.spec)}, {_pitch(thread)}"),
        ("slack", f"{shown_degrees(exercise.slack_deg)} each way between socket and fastener"),
        ("length", f"a strip of paper closes round the socket at {exercise.around.text}"),
    ]
    columns = [("given", 14.0), (DEMO, width - 14.0)]
    return table("", columns, rows)


def _pitch(thread: Thread) -> str:
    return f"pitch {trimmed(thread.pitch_mm, 4)} mm" if thread.tpi is None else f"{thread.tpi:g} threads per inch"


Task = tuple[str, tuple[str, ...]]
"""The question, and what stands before each line to write on."""


def _tasks(exercise: Exercise) -> tuple[Task, ...]:
    """The questions of one worksheet, in order."""
    turn = shown_degrees(exercise.stage.turn_deg)
    to, hint = ("N·m", "×") if exercise.snug.unit == "lbf·ft" else ("lbf·ft", "÷")
    return (
        (
            "Mark the socket, seen from above, facing the drive end. Corner 1 stands at the witness mark. Number the "
            "other corners, draw START, then the low and the high edge of the stop window, and hatch it. Ticks are 5° "
            "apart.",
            (),
        ),
        (
            "On which corner or mid-flat does each fall, or how many degrees past which corner?",
            ("low edge", "turn", "high edge"),
        ),
        (
            "Which way round, seen from above? Write clockwise or counterclockwise.",
            ("the socket turns", "on the socket the window lies, from START", "on a part ring it lies, from zero"),
        ),
        (f"How far does the thread advance in a turn of {turn}?", ("",)),
        ("Inside the window or not?", tuple(f"{shown_degrees(deg)} is" for deg in exercise.readings_deg)),
        (
            f"The wrench stopped only at {shown_degrees(exercise.overshoot_deg)}. How far past the window is that, how "
            "much farther has the thread advanced than at the high edge, and what do you do?",
            ("past by", "farther by", "do"),
        ),
        ("How far from START, along the band, is the low edge?", ("",)),
        (
            "The witness mark was made with the slack left in, so that the socket turned by twice the slack before it "
            f"moved the fastener. The mark shows {shown_degrees(exercise.slack_reading_deg)}: how far did the fastener "
            "turn, and is that inside the window?",
            ("fastener", "inside?"),
        ),
        (f"Write the snug torque in {to} ({hint} {trimmed(nm_per_lbf_ft(), 4)}).", ("",)),
    )


def _task(number: int, question: str, labels: tuple[str, ...], width: float) -> Drawing:
    """A numbered question and lines to write on, each with its label."""
    lines = wrap(question, width - NUMBER_MM, BODY_PT)
    pitch = line_pitch_mm(BODY_PT)
    depth = pitch * len(lines) + (FIRST_ANSWER_MM + ANSWER_MM * (len(labels) - 1) if labels else 0.0)
    first = depth - 0.72 * pitch
    items: list[Primitive] = [Text(0.0, first, str(number), BODY_PT, SEMIBOLD)]
    items += [Text(NUMBER_MM, first - pitch * k, line, BODY_PT) for k, line in enumerate(lines)]
    y = depth - pitch * len(lines) - FIRST_ANSWER_MM
    for label in labels:
        begin = NUMBER_MM + (text_width_mm(label, BODY_PT) + 1.5 if label else 0.0)
        items += [Text(NUMBER_MM, y + 0.5, label, BODY_PT)] if label else []
        items.append(Line(begin, y, width, y, "rule"))
        y -= ANSWER_MM
    return Drawing(width, depth, Group("task", tuple(items), (("number", str(number)),)))


# -- the answer key


def _put_key(sheet: Sheet, plan: LessonPlan) -> None:
    """All results, sheet by sheet, each with its working and a small socket."""
    width = sheet.paper.content_width_mm
    strip = paragraph(KEY_TITLE, width, TITLE_PT, SEMIBOLD)
    _begin_page(sheet, strip)
    for exercise, answers in zip(plan.exercises, plan.answers, strict=True):
        key = _key(plan, exercise, answers, min(width, 2 * WIDEST_MM))
        if key.height_mm > sheet.room_mm()[1]:
            _begin_page(sheet, strip)
        sheet.put(key)
        sheet.new_row()


def _key(plan: LessonPlan, exercise: Exercise, answers: Answers, width: float) -> Drawing:
    """One sheet's results beside its socket."""
    view = View(
        exercise.socket.points, exercise.spec.clockwise, stages_of((exercise.stage,)), KEY_RADIUS_MM, KEY_RING_MM
    )
    figure = draw_key(view, (("sheet", str(exercise.number)),))
    left = figure.width_mm + GAP_MM
    about = f"{exercise.spec.printed} · {exercise.socket.points}-point · {exercise.thread.name}, {_hand(exercise.spec)}"
    words = _results(_sheet_number(plan, exercise), about, key_lines(exercise, answers), width - left)
    height = max(figure.height_mm, words.height_mm) + 2.0
    parts = (
        Line(0.0, height, width, height, "rule"),
        moved(figure.content, 0.0, height - 2.0 - figure.height_mm),
        moved(words.content, left, height - 2.0 - words.height_mm),
    )
    return Drawing(width, height, Group("key", parts, (("sheet", str(exercise.number)),)))


def _results(title: str, about: str, lines: Sequence[tuple[str, str]], width: float) -> Drawing:
    """A title, what was given, and numbered results."""
    pitch = line_pitch_mm(NOTE_PT)
    wrapped = [(number, wrap(text, width - NUMBER_MM, NOTE_PT)) for number, text in lines]
    head = line_pitch_mm(HEAD_PT)
    given = wrap(about, width, NOTE_PT)
    depth = head + pitch * (len(given) + sum(len(rows) for _, rows in wrapped)) + 1.0
    y = depth - 0.72 * head
    items: list[Primitive] = [Text(0.0, y, title, HEAD_PT, SEMIBOLD)]
    y = depth - head - 0.72 * pitch
    for line in given:
        items.append(Text(0.0, y, line, NOTE_PT, SEMIBOLD))
        y -= pitch
    y -= 1.0
    for number, rows in wrapped:
        items.append(Text(0.0, y, number, NOTE_PT, SEMIBOLD))
        for row in rows:
            items.append(Text(NUMBER_MM, y, row, NOTE_PT))
            y -= pitch
    return Drawing(width, depth, Group("results", tuple(items)))


def key_lines(exercise: Exercise, answers: Answers) -> list[tuple[str, str]]:
    """Return the results of one worksheet with their working: (number of the task, text)."""
    way, back = ("clockwise", "counterclockwise") if answers.clockwise else ("counterclockwise", "clockwise")
    thread, stage = exercise.thread, exercise.stage
    reading, slack = shown_degrees(exercise.slack_reading_deg), shown_degrees(exercise.slack_deg)
    low, along = exercise.limits_deg[0], shown_length(answers.along_mm, exercise.around.unit)
    return [
        ("1", f"START on corner 1; the window lies {back} of it (see the figure); corners are numbered {back}."),
        *(("2" if k == 0 else "", _place_line(place, exercise)) for k, place in enumerate(answers.places)),
        ("3", f"The socket turns {way}. On the socket the window lies {back} of START, on a part ring {way} of zero."),
        ("4", f"{_advance(thread, stage.turn_deg, answers.advance_mm)}."),
        ("5", f"{'; '.join(map(partial(_judged, stage), exercise.readings_deg, answers.inside))}."),
        (
            "6",
            f"{shown_degrees(exercise.overshoot_deg)} − {shown_degrees(exercise.limits_deg[1])} = "
            f"{shown_degrees(answers.past_deg)} past the window. {_advance(thread, answers.past_deg, answers.past_mm)} "
            "farther. Stop and do what the manual says; never turn back and guess.",
        ),
        ("7", f"{exercise.around.text} × {trimmed(low, 2)} ÷ 360 = {along}."),
        (
            "8",
            f"{reading} − 2 × {slack} = {shown_degrees(answers.fastener_deg)}: "
            f"{'inside' if answers.fastener_inside else 'not inside'}.",
        ),
        (
            "9",
            f"{exercise.snug.text} {'×' if exercise.snug.unit == 'lbf·ft' else '÷'} {trimmed(nm_per_lbf_ft(), 4)} = "
            f"{rounded(answers.torque.value)} {answers.torque.unit}.",
        ),
    ]


def _place_line(place: Place, exercise: Exercise) -> str:
    """Where an angle falls, counted in corners."""
    corners = f"{place.corners} corner{'' if place.corners == 1 else 's'}"
    rest = f" and {shown_degrees(place.rest_deg)}" if place.rest_deg > 0.005 else ""
    return (
        f"{place.name}: {shown_degrees(place.deg)} ÷ {shown_degrees(exercise.pitch_deg)} = {corners}{rest} on from "
        f"corner 1: {place.where}."
    )


def _advance(thread: Thread, turn_deg: float, advance_mm: float) -> str:
    """The advance of a thread for a turn, worked out in the thread's own unit."""
    if thread.tpi is None:
        pitch, result = f"{trimmed(thread.pitch_mm, 4)} mm", f"{trimmed(advance_mm, 4)} mm"
    else:
        pitch, result = f"1/{thread.tpi:g} in", f"{trimmed(advance_mm / (thread.pitch_mm * thread.tpi), 4)} in"
    return f"{pitch} × {trimmed(turn_deg, 2)} ÷ 360 = {result}"


def _judged(stage: Stage, deg: float, inside: bool) -> str:
    """A reading held against the window: "97° lies in 90–100°: inside"."""
    window = stage.window
    assert window is not None, "exercises are drawn with a tolerance"
    reading = shown_degrees(deg)
    if inside:
        return f"{reading} lies in {window.text}: inside"
    side, edge_deg = ("below", window.low_deg) if deg < window.low_deg else ("above", window.high_deg)
    return f"{reading} is {side} {shown_degrees(edge_deg)}: not inside"
