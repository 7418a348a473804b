"""The grammar of specs against a corpus of sentences, against itself, and against joins of sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import ANY, examples
from kit.spec_corpus import READ, REFUSED, Sentence
from marking.errors import MarkingError, TextInputError
from marking.fastening.spec import (
    FROM_SNUG,
    NEW_MARK,
    HandTightStep,
    LoosenStep,
    Stage,
    Step,
    TighteningSpec,
    TorqueStep,
    TurnStep,
)  # fmt: skip
from marking.fastening.spec_grammar import parse_spec


def said(step: Step) -> str:
    """A step in the notation of the corpus."""
    match step:
        case TorqueStep(value, unit, plus, minus):
            window = [] if plus is None or minus is None else [value - minus, value + plus]
            return " ".join(["T", *(f"{x:g}" for x in (value, *window)), *([] if unit == "N·m" else [unit])])
        case LoosenStep(deg):
            return "L" if deg is None else f"L {deg:g}"
        case HandTightStep():
            return "H"
        case TurnStep(_, stage):
            return " ".join(["S", *(f"{x:g}" for x in (stage.turn_deg, *(stage.window or ())))])


def marks(spec: TighteningSpec) -> set[str]:
    found = {f"hint {code} {value:g}" for code, value in spec.hints}
    found |= {"snug"} if spec.counted_from == FROM_SNUG else set()
    return found | ({f"title {spec.title}"} if spec.title else set())


def test_the_corpus_is_large_and_says_nothing_twice() -> None:
    assert len(READ) >= 150
    assert len(REFUSED) >= 60
    assert len({(s.text, s.points) for s in READ + REFUSED}) == len(READ + REFUSED)


@each("sentence", READ)
def test_a_sentence_is_read_as_it_says(sentence: Sentence) -> None:
    spec = parse_spec(sentence.text, points=sentence.points)
    steps = [mark for mark in sentence.marks if mark[:2] in ("H", "L", "T ", "L ", "S ")]
    others = {mark for mark in sentence.marks if mark not in steps and not mark.startswith("points ")}
    assert [said(step) for step in spec.steps] == steps
    assert marks(spec) == others
    assert spec.text == sentence.text


@each("sentence", READ)
def test_what_was_read_reads_back_to_itself(sentence: Sentence) -> None:
    spec = parse_spec(sentence.text, points=sentence.points)
    again = parse_spec(spec.read_as)
    assert again == replace(spec, title="")
    assert again.read_as == spec.read_as


@each("sentence", REFUSED)
def test_a_sentence_is_refused_with_a_caret_under_the_fault(sentence: Sentence) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_spec(sentence.text, points=sentence.points)
    assert caught.value.position == sentence.caret, str(caught.value)


# --- properties of every spec ---------------------------------------------------------------------------------------

numbers = st.integers(1, 400).map(float) | st.floats(0.5, 400).map(lambda x: round(x, 4))
sides = st.none() | st.tuples(
    st.integers(0, 60).map(float) | st.floats(0, 60).map(lambda x: round(x, 4)), st.booleans()
)


def tolerance(value: float, most: float, side: tuple[float, bool] | None) -> tuple[float | None, float | None]:
    if side is None:
        return None, None
    amount = min(side[0], round(value * most, 4))
    return amount, (amount if side[1] else 0.0)


@st.composite
def torque_steps(draw: st.DrawFn) -> TorqueStep:
    value = draw(numbers)
    unit = draw(st.sampled_from(["N·m", "daN·m", "kgf·m", "kgf·cm", "lbf·ft", "lbf·in"]))
    return TorqueStep(value, unit, *tolerance(value, 0.9, draw(sides)))


@st.composite
def stages(draw: st.DrawFn, least: float = 0) -> Stage:
    turn = round(draw(numbers) + least, 4)
    return Stage(turn, *tolerance(turn, 0.9, draw(sides)))


@st.composite
def specs(draw: st.DrawFn) -> TighteningSpec:
    """Runs of turns, each from a torque, from hand tight or, the first, from nothing; some after a loosening."""
    steps: list[Step] = []
    counted_from = draw(st.sampled_from([NEW_MARK, FROM_SNUG]))
    loosenings = st.none() | numbers
    for run in range(draw(st.integers(1, 2))):
        if run and draw(st.booleans()):
            steps += [LoosenStep(draw(loosenings)), HandTightStep(draw(st.sampled_from(["hand tight", "snug tight"])))]
        elif run or draw(st.booleans()):
            unit = draw(st.sampled_from(["N·m", "lbf·ft"]))
            steps += [replace(draw(torque_steps()), unit=unit) for _ in range(draw(st.integers(1, 2)))]
        reached = 0.0
        for _ in range(draw(st.integers(1, 3))):
            stage = draw(stages(reached if counted_from == FROM_SNUG else 0))
            reached = stage.turn_deg
            steps.append(TurnStep(sum(isinstance(step, TurnStep) for step in steps) + 1, stage))
    return TighteningSpec(tuple(steps), draw(st.sampled_from(["right", "left"])), counted_from)


@examples(40)
@given(specs())
def test_every_spec_reads_back_from_its_print(spec: TighteningSpec) -> None:
    again = parse_spec(spec.read_as, spec.thread)
    assert again == spec
    assert again.read_as == spec.read_as


plain = [s for s in READ if "snug" not in s.marks and s.points == 6 and not any(m.startswith("title") for m in s.marks)]


@given(
    st.lists(st.sampled_from(plain), min_size=2, max_size=3), st.sampled_from([" + ", ", ", "; ", "\n", " then ", " "])
)
def test_joined_sentences_are_read_as_written_or_refused(parts: list[Sentence], joint: str) -> None:
    try:
        spec = parse_spec(joint.join(part.text for part in parts), points=6)
    except MarkingError:
        return
    alone = [parse_spec(part.text, points=6) for part in parts]
    assert [said(step) for step in spec.steps] == [said(step) for one in alone for step in one.steps]


@given(st.lists(st.tuples(st.sampled_from("+-±/ "), st.integers(0, 120), st.sampled_from(["", "°"])), max_size=6))
def test_rows_of_signs_and_numbers_never_lose_a_stage(parts: list[tuple[str, int, str]]) -> None:
    text = "40 N·m + 90°" + "".join(f" {sign} {number}{unit}" for sign, number, unit in parts)
    try:
        spec = parse_spec(text)
    except MarkingError:
        return
    typed = text.count("°")
    degrees_in_tolerances = sum(unit == "°" for sign, _, unit in parts if sign in "-±/")
    ranges = sum(stage.read_as.count("–") for stage in spec.stages)
    assert len(spec.stages) >= typed - degrees_in_tolerances - ranges
    for stage in spec.stages:
        if stage.plus_deg and stage.minus_deg is not None and "–" not in stage.read_as:
            assert stage.plus_deg < stage.turn_deg
            assert f"{stage.plus_deg:g}" in text


@given(st.text(ANY, max_size=450))
def test_any_text_is_read_or_refused_in_words_that_can_be_printed(text: str) -> None:
    message = ""
    try:
        parse_spec(text)
    except MarkingError as error:
        message = str(error)
    assert message.replace("\n", "").isprintable()


figures = ["0", "1", "2", "90", "1/4", "½", "°", "N·m", "lbf·ft", "turn", "flats"]
signs = [".", ",", ":", ";", "+", "-", "±", "/", "(", ")"]
spoken = ["then", "and", "to", "from", "snug", "hand", "tight", "loosen", "x"]


@given(st.lists(st.sampled_from(figures + signs + spoken), max_size=25), st.sampled_from(["", " "]))
def test_any_row_of_words_is_read_or_refused(row: list[str], blank: str) -> None:
    try:
        spec = parse_spec(blank.join(row), points=6)
    except MarkingError:
        return
    assert parse_spec(spec.read_as) == replace(spec, title="")
