"""Which way a drive disc turns, and what its steps say of it."""

from __future__ import annotations

import numpy as np
import pytest

from kit.drive_disc import a_plan, centre_of, disc_groups, reading_end, steps_of
from kit.each import each
from kit.measure import of_role, only, placed_texts, strokes
from kit.turning import SPECS, polygon_middle, tightened
from marking.fastening.spec_grammar import parse_spec
from marking.outputs.job import words
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import read_job
from marking.readouts.drive_disc.plan import plan as plan_discs
from marking.readouts.drive_disc.request import read as read_disc
from marking.readouts.drive_disc.sheet import draw as disc_document

# -- directions


@each("thread", ["right", "left"])
@each("spec", SPECS)
def test_the_mark_of_the_turn_arrives_where_start_was(spec: str, thread: str) -> None:
    """The disc lies on the drive end, print up; it is seen from above and turned the way the thread tightens."""
    plan = a_plan(spec, thread=thread)
    (disc,) = disc_groups(plan)
    lines, centre = strokes(disc), centre_of(disc)
    pointer = reading_end(only(lines, "start"), centre)
    stage = parse_spec(spec).stages[0]
    turns = {"stop": stage.turn_deg} if stage.window is None else {
        "stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg,
    }  # fmt: skip
    for role, deg in turns.items():
        assert np.allclose(tightened(reading_end(only(lines, role), centre), deg, thread), pointer, atol=3e-4), role
    for tick in of_role(lines, "degree"):
        arrived = tightened(reading_end(tick, centre), float(tick.data["deg"]), thread)
        assert np.allclose(arrived, pointer, atol=3e-4), tick


def test_the_window_of_a_right_hand_thread_lies_counterclockwise_of_start() -> None:
    for thread, sign in (("right", 1), ("left", -1)):
        (disc,) = disc_groups(a_plan("60 N·m + 60° ±10", thread=thread))
        lines, centre = strokes(disc), centre_of(disc)
        start, low = (reading_end(only(lines, role), centre) for role in ("start", "stop-low"))
        assert start[0] == pytest.approx(0, abs=1e-3), "START points up"
        assert start[1] > 0
        assert sign * np.cross(start, low)[2] > 0


@each("thread", ["right", "left"])
@each("spec", ["60 N·m + 90° ±20", "60 N·m + 330° ±10", "60 N·m + 360° ±20"])
def test_the_arrow_points_the_way_the_socket_turns(spec: str, thread: str) -> None:
    (disc,) = disc_groups(a_plan(spec, thread=thread))
    (head,) = [e for e in disc.iter() if e.get("class") == "arrow-head"]
    centre = centre_of(disc)
    tip_x, tip_y = (float(value) for value in str(head.get("points")).split()[0].split(","))
    middle = np.array([*polygon_middle(head), 0.0]) - centre
    tip = np.array([tip_x, -tip_y, 0.0]) - centre
    assert np.dot(tightened(middle, 1.0, thread) - middle, tip - middle) > 0


@each(("thread", "turn", "count"), [
    ("right", "clockwise", "counterclockwise"), ("left", "counterclockwise", "clockwise"),
])  # fmt: skip
def test_the_words_name_the_way_that_the_drawing_shows(thread: str, turn: str, count: str) -> None:
    words = " ".join(text.text for text in placed_texts(disc_document(a_plan(thread=thread)).pages[0]))
    steps = " ".join(steps_of(a_plan(thread=thread)))
    assert f", {turn}, seen from the drive end" in steps
    assert f"smooth pull, {turn}" in steps
    assert f"counted {count} from START" in words
    assert ("left-hand" in words) is (thread == "left")


@each(("spec", "words"), [
    ("1 N·m + 90° ±5", "Turn in one smooth pull, clockwise, until the pointer stands in the window “STOP”, 85–95°"),
    ("1 N·m + 450° ±5", "Turn in smooth pulls, clockwise, 1 full turn, then on until the pointer"),
    ("1 N·m + 360° ±20", "Turn in smooth pulls, clockwise, about 1 full turn, until the pointer"),
    ("1 N·m + 355° ±8", "nearly 1 full turn, until the pointer stands in the window “STOP”, 347–363°. Aim at the aim"),
    ("1 N·m + 450°", "1 full turn, then on until the pointer stands at the line “STOP” (450°)"),
    ("1 N·m + 360°", "1 full turn, until the pointer stands at the line “STOP” again (360°)"),
    ("1 N·m + 720°", "clockwise, 2 full turns, until the pointer stands at the line “STOP”, 2 times round (720°)"),
])  # fmt: skip
def test_the_steps_say_the_whole_turns(spec: str, words: str) -> None:
    assert any(words in step for step in steps_of(a_plan(spec)))
    assert ("☐" in " ".join(steps_of(a_plan(spec)))) is ("nearly" not in words and "90°" not in spec)


def test_the_steps_say_how_to_pull_and_read_before_the_turn() -> None:
    words = " ".join(steps_of(a_plan("110 N·m + 90° ±5 + 60° ±5")))
    assert words.count("take up the slack") == 2, "before the pointer is set for each stage"
    order = (
        "Hold the other end, nut or bolt head.", "Then change to a bar for the turn",
        "take up the slack, and hold it. The fastener must not move.", "set the pointer's tip at START while you hold",
        "Turn in one smooth pull", "Read while you still pull lightly", "take up the slack again, and hold it.",
        "set the pointer's tip at START anew", "Turn in one smooth pull", "Read it in the same way.",
        "Short of the window: turn on.", "Past it: stop", "Never repeat the angle",
    )  # fmt: skip
    place = 0
    for said in order:
        place = words.find(said, place) + len(said)
        assert place >= len(said), said


# -- the command


@each("thread", ["right", "left"])
def test_totals_from_snug_are_said_to_count_from_snug(thread: str) -> None:
    """After 90° START has left the mark: one more full turn from there would overshoot a total of 400°."""
    spec = "110 N·m + 90° ±5 + 400° ±10"
    plan = plan_job(read_job(spec, 12, "1/2", od="60 mm", thread=thread, witness="first"))
    job = words.use_steps(plan.job.spec, plan.budgets, None, 1, [0] * len(plan.budgets))
    disc = steps_of(plan_discs(read_disc(spec, "1/2", thread=thread, witness="first")))
    for steps, kept in ((job, "keep the same witness mark"), (disc, "leave the pointer as it is")):
        (stage,) = (step for step in steps if step.startswith("Stage 2:"))
        assert f"Stage 2: {kept}. Turn on" in stage
        assert "counted from snug, 1 full turn, then on until" in stage
        assert "390–410° from snug" in stage
        assert not any("START" in step for step in steps[steps.index(stage) :])
    fresh = words.use_steps(parse_spec(spec, thread), plan.budgets, None, 1, [0] * len(plan.budgets))
    assert not any("from snug" in step.replace("from snug in all", "") for step in fresh)
