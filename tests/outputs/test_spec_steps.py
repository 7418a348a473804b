"""What becomes of a spec's passes, loosenings and torques after a turn, read on the finished page."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pypdfium2
import pytest

from kit.collisions import placed_items
from kit.commands import Run
from kit.each import each
from kit.measure import assert_refused
from marking import OUTPUTS
from marking.drawing.primitives import Text

JOB = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")
LONG = "20 N·m, 40 N·m, 90° ±5, 120° ±5, loosen 180°, 30 N·m, 60° ±5, then 50 N·m"
HANDS = [("right", "clockwise", "counterclockwise"), ("left", "counterclockwise", "clockwise")]


def words_of(path: Path) -> str:
    with pypdfium2.PdfDocument(path) as document:
        return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)


def steps_of(words: str) -> str:
    """What the card tells to do, from the first step to the last."""
    return words[words.index("Measure both check rulers") : words.index("Reading error and aim")]


def pdf(run: Run, folder: Path, *arguments: str) -> str:
    done = run(*arguments, "-o", "x.pdf")
    assert done.returncode == 0, done.stderr
    return words_of(folder / "x.pdf")


KINDS = {
    r"Tighten all to the snug torque, (\S+) N·m": "snug", r"Tighten all to (\S+) N·m": "torque",
    r"Loosen all by (\S+):": "loosen", r"pull lightly, [^,.]+, to take up the slack": "slack",
    r"put the socket back": "put back", r"Put the witness mark": "the mark",
    r"Cross out the old mark and put a fresh one beside START": "fresh mark",
    r"Keep the same witness mark\. Turn on in (?:one )?smooth pull": "kept", r"Turn in (?:one )?smooth pull": "turn",
}  # fmt: skip


def those_that_turn(steps: str) -> list[tuple[str, str]]:
    """What each sentence that moves or marks something does, in short and which way, and all that is said with it."""
    hits = sorted((hit.start(), hit, kind) for pattern, kind in KINDS.items() for hit in re.finditer(pattern, steps))
    ends = [*(place for place, _, _ in hits[1:]), len(steps)]
    found = []
    for (place, hit, kind), end in zip(hits, ends, strict=True):
        said = steps[place:end]
        ways = re.findall(r"(?:counter)?clockwise", said)
        value = hit[1] if hit.groups() else ""
        found.append((" ".join(part for part in (kind, value, *ways[:1]) if part), said))
    return found


@pytest.mark.parametrize(("thread", "on", "back"), HANDS)
def test_a_job_says_every_step_in_order_and_which_way(
    run: Run, tmp_path: Path, thread: str, on: str, back: str
) -> None:
    words = pdf(run, tmp_path, "job", LONG, *JOB, "--thread", thread)
    steps = those_that_turn(steps_of(words))
    assert [short for short, _ in steps] == [
        f"torque 20 {on}", f"snug 40 {on}", f"slack {on}", "the mark", f"turn {on}", f"slack {on}",
        "fresh mark", f"turn {on}", f"loosen 180° {back}", f"snug 30 {on}", f"slack {on}",
        "fresh mark", f"turn {on}", f"torque 50 {on}",
    ]  # fmt: skip
    assert [short for short, said in steps if "The witness mark no longer counts." in said] == [
        f"loosen 180° {back}", f"torque 50 {on}",
    ]  # fmt: skip


@pytest.mark.parametrize(("thread", "on", "back"), HANDS)
def test_no_mark_is_kept_across_a_loosening_or_a_torque(
    run: Run, tmp_path: Path, thread: str, on: str, back: str
) -> None:
    words = pdf(run, tmp_path, "job", LONG, *JOB, "--thread", thread, "--witness", "first", "--od", "80 mm")
    assert [short for short, _ in those_that_turn(steps_of(words))] == [
        f"torque 20 {on}", f"snug 40 {on}", f"slack {on}", "the mark", f"turn {on}", "put back", f"kept {on}",
        f"loosen 180° {back}", f"snug 30 {on}", f"slack {on}", "fresh mark", f"turn {on}", f"torque 50 {on}",
    ]  # fmt: skip
    said = steps_of(words)
    assert "115–125° from snug" in said
    assert "55–65° from snug" not in said, "the first turn of a run counts from its own mark"


@pytest.mark.parametrize(("thread", "on", "back"), HANDS)
def test_a_disc_sets_its_pointer_anew_behind_a_loosening(
    run: Run, tmp_path: Path, thread: str, on: str, back: str
) -> None:
    words = pdf(run, tmp_path, "disc", LONG, "--drive", "1/2", "--thread", thread, "--witness", "first")
    assert words.count("set the pointer's tip at START") == 2
    assert words.count("leave the pointer as it is") == 1
    assert f"Loosen by 180°: turn {back}, seen from the drive end" in words
    assert words.count("The pointer's place no longer counts") == 2
    assert f"Tighten to 50 N·m (36.9 lbf·ft), {on}" in words


@pytest.mark.parametrize(("thread", "on", "back"), HANDS)
def test_the_record_has_a_column_for_every_step_in_order(
    run: Run, tmp_path: Path, thread: str, on: str, back: str
) -> None:
    words = pdf(run, tmp_path, "record", "20 N·m, 40 N·m, loosen, 30 N·m, 90° ±5, then 50 N·m", "--fasteners", "8",
                "--thread", thread)  # fmt: skip
    for titles in ("20 N·m 40 N·m loosened snug", "marked reading in window 50 N·m"):
        assert f"order place manual's {titles} initials checked audit" in words
    row = "20 N·m 40 N·m (14.8 lbf·ft) (29.5 lbf·ft)"
    assert all(part in words for part in row.split())
    assert f"Loosen all fully: turn {back}, seen from the drive end" in words
    assert f"Tighten all to 50 N·m (36.9 lbf·ft), {on}, seen" in words


def test_the_small_record_has_a_column_for_every_step_in_order(run: Run, tmp_path: Path) -> None:
    words = pdf(run, tmp_path, "job", "20 N·m, loosen, 30 N·m, 90° ±5, then 50 N·m", *JOB)
    assert "no. 20 N·m loosened snug marked reading in window 50 N·m initials checked audit" in words


def test_every_header_shows_the_spec_as_read_and_as_typed(run: Run, tmp_path: Path) -> None:
    typed = "Head bolts: torque to 40 Nm then a further 90 deg ±5"
    on_card = " Cut along the heavy line: the work card below it stays whole."
    for name, more in {
        "job": JOB, "disc": ("--drive", "1/2"), "mat": ("--drive", "1/2"), "record": ("--fasteners", "4"),
        "stretch": ("--screw", "M12", "--class", "10.9", "--grip", "60 mm"),
    }.items():  # fmt: skip
        words = pdf(run, tmp_path, name, typed, *more).replace(on_card, "")
        dot = "· " if name == "job" else ""
        said = f"Head bolts 40 N·m, then 90° ±5 {dot}as typed: {typed} "
        assert said in words, "the part's name is the title"
        assert name != "job" or f"{said}· 12-point · 1/2 in drive · OD 27.8 mm" in words
    told = run("explain", typed, *JOB).stdout
    assert "spec         40 N·m, then 90° ±5\nas typed     " in told
    assert "as typed" not in run("explain", "40 N·m, then 90° ±5", *JOB).stdout
    assert "Wheel 40 N·m" in pdf(run, tmp_path, "job", typed, *JOB, "--title", "Wheel").replace(on_card, "")


def test_growing_turns_are_warned_of_once_unless_it_is_said_how_they_count(run: Run) -> None:
    grown = run("explain", "40 N·m + 90° ±5 + 180° ±5", *JOB)
    assert grown.stderr.count("270° from snug in all; if the manual's turns are totals, say so") == 1
    assert "from snug in all: stage 1 90°, stage 2 270°" in " ".join(grown.stdout.split())
    for said in ("first", "fresh"):
        done = run("explain", "40 N·m + 90° ±5 + 180° ±5", *JOB, "--witness", said)
        assert "totals" not in done.stderr
    total = run("explain", "40 N·m + 90° ±5, then to 180° ±5 in all", *JOB, "--json")
    spec = json.loads(total.stdout)["spec"]
    assert spec["counted_from"] == "snug"
    assert [stage["total_from_snug_deg"] for stage in spec["stages"]] == [90, 180]


def test_json_tells_every_step_and_every_verdict(run: Run) -> None:
    data = json.loads(run("explain", LONG, *JOB, "--json").stdout)
    assert data["format"] == 2
    assert [step["kind"] for step in data["spec"]["steps"]] == [
        "torque", "torque", "turn", "turn", "loosen", "torque", "turn", "torque",
    ]  # fmt: skip
    assert data["spec"]["text"] == LONG
    assert {(budget["readout"], budget["verdict"]) for budget in data["budgets"] if budget["readout"] != "ring"} == {
        ("band", "aim")
    }
    other = json.loads(run("explain", "90° ±0.1 + 60°", *JOB, "--json").stdout)
    assert [budget["verdict"] for budget in other["budgets"]][:2] == ["unproved", "no tolerance"]
    left = json.loads(run("explain", "90° ±3", *JOB, "--json").stdout)
    assert left["budgets"][0]["verdict"] == "narrow"


@each("words", ["LH", "left hand", "Left-Hand", "l"])
def test_a_hand_is_read_in_its_usual_words(run: Run, words: str) -> None:
    done = run("explain", "40 N·m + 90° ±5", *JOB, "--thread", words, "--json")
    assert json.loads(done.stdout)["spec"]["thread"] == "left"


def test_an_unknown_hand_is_refused(run: Run) -> None:
    done = run("explain", "40 N·m + 90° ±5", *JOB, "--thread", "up")
    assert done.returncode == 2
    assert "'right', 'left'" in done.stderr


@pytest.mark.parametrize("spec", ["1.100 N·m + 90°", "40 N·m + 90° + 90° -5", "50 N·m, loosen, 90°", "110 mN·m + 90°"])
def test_a_refused_spec_leaves_no_file_and_a_row_says_the_same(run: Run, tmp_path: Path, spec: str) -> None:
    done = run("job", spec, *JOB, "-o", "x.pdf")
    assert_refused(done, 1, "the spec", tmp_path)
    assert "^" in done.stderr
    what = done.stderr.splitlines()[0].removeprefix("turnband: the spec ").rstrip(":")
    (tmp_path / "list.csv").write_text(
        f"id,spec,points,drive,od\nA,{spec!r},12,1/2,27.8 mm\n".replace("'", '"'), "utf-8"
    )
    listed = run("set", "list.csv", "-o", "y.pdf")
    assert listed.returncode == 1
    assert what in listed.stderr
    assert "spec" in listed.stderr


def test_the_index_of_a_set_shows_the_spec_as_read(run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("id,spec,points,drive,od\nA,40 Nm + 2 flats ±5°,4,1/2,27.8 mm\n", "utf-8")
    assert "40 N·m, then 2 flats (180°) ±5°" in pdf(run, tmp_path, "set", "list.csv")


def test_the_stretch_is_that_of_the_last_run(run: Run) -> None:
    screw = ("--screw", "M12", "--class", "10.9", "--grip", "60 mm", "--json")
    alone = json.loads(run("stretch", "30 N·m + 20° ±2", *screw).stdout)
    done = run("stretch", "60 N·m + 15° ±2, loosen, 30 N·m + 20° ±2, then 50 N·m", *screw)
    last = json.loads(done.stdout)
    assert last["snug"] == alone["snug"]
    assert last["stages"] == [alone["stages"][0] | {"stage": 2}]
    assert "what comes before it counts no more" in done.stderr
    assert "50 N·m, is not in the figures" in done.stderr


@each("thread", ["right", "left"])
def test_the_turn_since_snug_is_said_where_it_is_more_than_the_stage_s(thread: str) -> None:
    job = OUTPUTS["job"]
    for spec, said in (("20 N·m + 90° ±5, 60° ±5", True), ("20 N·m + 90° ±5, loosen, 30 N·m + 60° ±5", False)):
        document = job.draw(job.plan(job.read(spec, 6, "1/2", od="28 mm", thread=thread)))
        words = " ".join(item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
        assert ("By the spec: 150° from snug in all." in words) is said
