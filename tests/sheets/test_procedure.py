"""The steps on finished pages: the same on job and record card, each sentence where it is needed and only there."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from kit.collisions import check
from kit.each import each
from kit.measure import placed_texts
from marking import OUTPUTS
from marking.drawing.primitives import Document
from marking.outputs.job.words import use_steps
from marking.sheets.procedure import procedure

SPECS = (
    "20 N·m, 60 N·m, then 90° +10/-0",
    "20 N·m, 40 N·m, 90° ±5, 120° ±5, loosen 180°, 30 N·m, 60° ±5, then 50 N·m",
    "hand tight, then 450° ±10",
    "40 N·m + 90°, then to 180° in all",
    "90° ±5",
)


def words_of(document: Document) -> str:
    """All words, without the numbers of steps."""
    texts = (text.text for page in document.pages for text in placed_texts(page))
    return " ".join(text for text in texts if not text.isdigit())


@lru_cache(maxsize=64)
def job_words(spec: str, fasteners: int, od: str = "40 mm", **more: Any) -> str:
    job = OUTPUTS["job"]
    return words_of(job.draw(job.plan(job.read(spec, 6, "3/4", od=od, fasteners=fasteners, **more))))


@lru_cache(maxsize=64)
def card_words(spec: str, fasteners: int, **more: Any) -> str:
    record = OUTPUTS["record"]
    return words_of(record.draw(record.plan(record.read(spec, fasteners, **more))))


@each("fasteners", [1, 8])
@each("thread", ["right", "left"])
@each("spec", SPECS)
def test_job_and_record_card_give_the_same_steps_in_the_same_order(spec: str, thread: str, fasteners: int) -> None:
    read = OUTPUTS["record"].read(spec, fasteners, thread=thread).spec
    sentences = [s for step in procedure(read, fasteners) for s in re.split(r"(?<=\.) ", step)]
    assert len(sentences) > 12
    for words in (job_words(spec, fasteners, thread=thread), card_words(spec, fasteners, thread=thread)):
        at = 0
        for sentence in sentences:
            assert sentence in words[at:], sentence
            at = words.index(sentence, at) + len(sentence)


@each(("said", "needs", "does_not"), [
    ("Hold the other end, nut or bolt head", ("40 N·m + 90° ±5", 1), None),
    ("not on a washer or flange that turns along", ("40 N·m + 90° ±5", 1), None),
    ("if let go, the socket falls back", ("40 N·m + 90° ±5", 1), None),
    ("The middle of a line counts", ("40 N·m + 90° ±5", 1), None),
    ("The fastener must not move", ("40 N·m + 90° ±5", 1), None),
    ("Note the reading before you lift the socket", ("40 N·m + 90° ±5", 1), None),
    ("Never repeat the angle on a fastener", ("40 N·m + 90° ±5", 1), None),
    ("onto the part: it shows any movement", ("40 N·m + 90° ±5", 1), None),
    ("Then change to a bar for the turn", ("40 N·m + 90° ±5", 1), ("hand tight + 90° ±5", 1)),
    ("Change back to the torque wrench. Tighten to 60 N·m", ("90° ±5, then 60 N·m", 1), ("40 N·m + 90° ±5", 1)),
    ("an adapter (crowfoot) changes the setting", ("40 N·m + 90° ±5", 1), ("hand tight + 90° ±5", 1)),
    ("add a lock nut's running torque", ("90° ±5", 1), ("hand tight + 90° ±5", 1)),
    ("in one smooth pull", ("40 N·m + 179°", 1), ("40 N·m + 180°", 1)),
    ("in smooth pulls", ("40 N·m + 180°", 1), ("40 N·m + 179°", 1)),
    ("Tick each full turn in the record", ("40 N·m + 365° ±6", 1), ("40 N·m + 355° ±8", 1)),
    ("nearly 1 full turn, until", ("40 N·m + 355° ±8", 1), ("40 N·m + 365° ±8", 1)),
    ("☐", ("40 N·m + 365° ±6", 1), ("40 N·m + 340° ±8", 1)),
    ("Before the turn the mark stands there too: tick in the record", ("40 N·m + 355° ±5", 1), ("40 N·m + 365° ±6", 1)),
    ("☐ ☐", ("40 N·m + 720° ±5", 1), ("40 N·m + 450° ±5", 1)),
    ("Do each pass and stage on all 2 fasteners, in order", ("40 N·m + 90° ±5", 2), ("40 N·m + 90° ±5", 1)),
    ("at each fastener: pull lightly", ("40 N·m + 90° ±5, 60° ±5", 2), ("40 N·m + 90° ±5, 60° ±5", 1)),
    ("to take up the slack again", ("40 N·m + 90° ±5, 60° ±5", 1), ("40 N·m + 90° ±5", 1)),
    ("Cross out the old mark", ("40 N·m + 90° ±5, 60° ±5", 1), ("40 N·m + 90° ±5, then to 150° ±5 in all", 1)),
    ("it reads what you noted", ("40 N·m + 90° ±5, then to 150° ±5 in all", 2), ("40 N·m + 90° ±5, 60° ±5", 2)),
    ("Stage 2: keep the same witness mark", ("40 N·m + 90° ±5, then to 150° ±5 in all", 1), ("40 N·m + 90° ±5", 1)),
    (" Keep the same witness mark. Turn", ("40 N·m + 90° ±5, then to 150° ±5 in all", 2), ("40 N·m + 90° ±5", 2)),
    ("Short of the window: turn on", ("40 N·m + 90° ±5", 1), ("40 N·m + 90°", 1)),
    ("Short of a stop line: turn on", ("40 N·m + 90°", 1), ("40 N·m + 90° ±5", 1)),
    ("Past it: stop and do what the manual says, never turn back", ("40 N·m + 90°", 1), None),
    ("Read and note as before", ("40 N·m + 90° ±5, 60° ±5", 1), ("40 N·m + 90° ±5", 1)),
    ("before you lift the socket; then the next one", ("40 N·m + 90° ±5", 2), ("40 N·m + 90° ±5", 1)),
    ("If the socket has to come off before the stop", ("40 N·m + 90° ±5", 1), None),
    ("Tick each full turn", ("40 N·m + 720° ±5", 1), ("40 N·m + 340° ±5", 1)),
    ("The witness mark no longer counts", ("40 N·m + 90° ±5, then 60 N·m", 1), ("40 N·m + 90° ±5", 1)),
    ("The manual gives no tolerance: stop at the line, not short", ("40 N·m + 90°", 1), ("40 N·m + 90° ±5", 1)),
])  # fmt: skip
def test_a_sentence_is_said_where_it_is_needed_and_only_there(
    said: str, needs: tuple[str, int], does_not: tuple[str, int] | None
) -> None:
    for words in (job_words, card_words):
        assert said in words(*needs)
        assert does_not is None or said not in words(*does_not)


def test_a_trim_band_is_glued_after_its_end_has_been_judged() -> None:
    for spec, first in (("40 N·m + 90° ±5", "the band"), ("45 N·m, 60° ±10, 60° ±5", "the band for stage 1")):
        job = OUTPUTS["job"]
        words = words_of(job.draw(job.plan(job.read(spec, 6, "1/2", od_range="24 mm..30 mm"))))
        assert f"Take {first} whose rows hold that OD and cut along the OD's row:" in words
        steps = ("inside the OK bracket. If not,", "Cut another band", "Glue the tab under the end. Tape the band")
        places = [words.index(step) for step in steps]
        assert places == sorted(places)


@each(
    ("ods", "heading", "remedies"), [("24 mm..40 mm", "What it rests on", 0), ("12 mm..48 mm", "What can prove it", 1)]
)
def test_what_can_prove_a_window_is_said_once_for_equal_stages(ods: str, heading: str, remedies: int) -> None:
    job = OUTPUTS["job"]
    words = words_of(
        job.draw(job.plan(job.read("40 N·m, 90° +10/-0, 90° +10/-0", 6, "1/2", od_range=ods, paper="letter")))
    )
    assert heading in words
    assert words.count("what can:") == remedies


def test_the_reading_error_of_equal_stages_is_said_once() -> None:
    words = job_words("60 N·m, 90° +10/-0, 45° ±5, 90° +10/-0", 1)
    assert "Band, stages 1, 3: aim at 95°" in words
    assert "Band, stage 2: aim at 45°" in words
    assert words.count("Band, stage") == 2
    assert "Band: aim at 95°" in job_words("60 N·m, 90° +10/-0", 1)


def test_fitting_a_band_is_said_on_the_job_alone() -> None:
    for said in (
        "flush with the socket's mouth", "Tape the band to the socket", "they only help to find the place again",
        "never shift a band for one", "at most 1 mm from the band's edge", "inside the OK bracket",
    ):  # fmt: skip
        assert said in job_words("40 N·m + 90° ±5", 1)
        assert said not in card_words("40 N·m + 90° ±5", 1)


@each("name", ["job", "disc", "mat", "blank", "tape", "record"])
def test_no_paper_speaks_of_options_or_of_the_trade_of_measuring(name: str) -> None:
    """The narrowest drive with the narrowest window: the sheets say what else could prove it."""
    output = OUTPUTS[name]
    given: dict[str, dict[str, Any]] = {
        "job": {"spec": "9 N·m + 90° +10/-0", "points": 6, "drive": "1/4", "od": "12 mm"},
        "disc": {"spec": "9 N·m + 90° ±1", "drive": "1/4"}, "mat": {"spec": "9 N·m + 90° ±3", "drive": "1/4"},
        "blank": {"points": 12, "drive": "1/2"}, "tape": {}, "record": {"spec": "9 N·m + 90° ±3", "fasteners": 4},
    }  # fmt: skip
    words = words_of(output.draw(output.plan(output.read(**given[name])))).lower()
    for leak in (" --", "stock", "k = 2", "budget", "shaded"):
        assert leak not in words


@each("thread", ["right", "left"])
@each(
    ("name", "more"),
    [("record", {"fasteners": 8}), ("disc", {"drive": "1/2"}), ("mat", {"drive": "1/2", "od": "28 mm"})],
)
def test_the_head_of_every_sheet_of_a_left_hand_thread_says_so(name: str, more: dict[str, Any], thread: str) -> None:
    made = OUTPUTS[name]
    document = made.draw(made.plan(made.read(spec="60 N·m + 90° ±5", thread=thread, title="W" * 60, **more)))
    check(document)
    for page in document.pages:
        boxes = [text for text in placed_texts(page) if text.role == "left-hand" and text.y > 0.93 * page.height_mm]
        assert len(boxes) == (thread == "left")


@each(("ods", "said"), [
    ("24 mm..40 mm", "Aim at the aim line, 90°."), ("12 mm..40 mm", "Aim at the aim line, 90°, where there is one."),
    ("12 mm..16 mm", ""),
])  # fmt: skip
def test_the_card_of_trim_bands_tells_to_aim_as_its_bands_do(ods: str, said: str) -> None:
    job = OUTPUTS["job"]
    plan = job.plan(job.read("40 N·m + 90° ±5", 6, "1/2", od_range=ods))
    words = words_of(job.draw(plan))
    aimed = [bool(marks.aim_label) for part in plan.parts for band in part.bands for marks in band.stages]
    assert said.endswith("one.") is (any(aimed) and not all(aimed))
    assert said in words if any(aimed) else "aim line, 90°" not in words


@each("words", [job_words, card_words])
def test_what_to_do_short_of_the_window_stands_before_a_torque_that_ends_the_turn(words: Callable[..., str]) -> None:
    said = words("40 N·m + 90° ±5, 60 N·m", 2)
    assert said.index("Short of the window") < said.index("has to come off before") < said.index("no longer counts")


def test_a_ring_is_changed_with_its_band() -> None:
    job = OUTPUTS["job"]
    plan = job.plan(
        job.read("40 N·m + 45° ±5, loosen, 20 N·m + 90° ±5", 6, "1/2", od="40 mm", ring="full", height="20 mm")
    )
    assert len(plan.bands) > 1
    assert "Take off band and ring for stage 1" in words_of(job.draw(plan))


@each("words", [job_words, card_words])
def test_the_record_asks_for_the_line_where_there_is_no_window(words: Callable[..., str]) -> None:
    assert "in window" not in words("40 N·m + 1/2 turn", 2)
    assert "at line" in words("40 N·m + 1/2 turn", 2)
    both = words("40 N·m + 90° ±5, then 60°", 2)
    assert "in window 1" in both
    assert "at line 2" in both
    assert "at line 1" not in both


@each(("rings", "change"), [
    ((), "Take off the band for stage 1 and fit the band for stage 2 in the same way."),
    ((1, 2), "Take off band and ring for stage 1 and fit those for stage 2 in the same way."),
    ((1,), "Take off band and ring for stage 1 and fit the band for stage 2 in the same way: it has no ring."),
    ((2,), "Its ring is taped on beside the fresh mark, ZERO at START. Read the band with the witness mark, the ring "
     "with START: it ends in the ring's bracket."),
])  # fmt: skip
def test_bands_are_changed_with_the_rings_that_their_stages_have(rings: tuple[int, ...], change: str) -> None:
    spec = OUTPUTS["record"].read("45 N·m, 60° ±10, 60° ±5", 1).spec
    steps = use_steps(spec, (), None, 1, (0, 1), rings)
    assert [step for step in steps if step.endswith(change)]
    assert any("Or tape on the ring" in step for step in steps) is (1 in rings)
    read = [number for number, step in enumerate(steps) if "the ring with START" in step]
    (changed,) = [number for number, step in enumerate(steps) if "Take off" in step]
    assert len(read) == bool(rings)
    assert all((number < changed) is (1 in rings) for number in read), "no ring is read in a stage that has none"


def test_a_ring_of_the_first_stage_alone_is_not_looked_for_in_the_second() -> None:
    words = job_words("45 N·m, 60° ±10, 60° ±5", 1, "24 mm", ring="full")
    assert "Lay the band for stage 1 with its scale's edge" in words
    assert "fit the band for stage 2 in the same way: it has no ring." in words
    assert words.count("Part ring, bore") == 1
    assert "Part ring, stage 1: aim at 60°" in words
    assert "Part ring: " not in words
