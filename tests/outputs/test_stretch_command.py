"""The report on the terminal, and the command."""

from __future__ import annotations

import json
from typing import Any

import pytest

from kit.commands import Run
from kit.each import each
from kit.stretch import BEYOND, ELASTIC, a_plan
from marking import MarkingError
from marking.outputs.stretch.report import data as stretch_data
from marking.outputs.stretch.report import text as as_stretch_text

# -- the text


def test_the_text_is_in_the_units_of_thread_and_grip() -> None:
    metric = as_stretch_text(a_plan())
    assert "proof load   70 kN (15700 lbf), at 830 MPa" in metric
    assert "0.219 mm" in metric
    inch = as_stretch_text(a_plan("30 lbf·ft + 30° ±3", "1/2-13", "8", "4 in"))
    assert "proof load   17000 lbf (75.7 kN), at 120 ksi (827 MPa)" in inch
    assert "0.0064 in" in inch
    mixed = as_stretch_text(a_plan("30 lbf·ft + 30° ±3", "1/2-13", "8", "100 mm"))
    assert "grip 100 mm" in mixed
    assert "17000 lbf" in mixed


def test_the_text_states_what_was_assumed_and_that_the_manual_decides() -> None:
    text = " ".join(as_stretch_text(a_plan()).split())
    for words in ("thread through the whole grip", "our choice", "VDI 2230 Part 1 (from memory)", "eq. 8-17",
                  "ISO 16047", "Left out: bending", "bolt (screw)", "settling at most 11 µm",
                  "teaching numbers, not tightening instructions", "manual decides"):  # fmt: skip
        assert words in text
    unlisted = as_stretch_text(a_plan("40 N·m + 45°", "M12x1", "10.9", "120 mm"))
    assert "(by formula: not in the tables)" in " ".join(unlisted.split())


def test_what_each_part_adds_is_told_with_its_share() -> None:
    """M12 with 30 of 60 mm shank: 0.26 µm a kN for the head at 207 GPa, 6 % of all."""
    text = as_stretch_text(a_plan(*BEYOND, shank="30 mm"))
    table = [line.split() for line in text.split("µm per kN")[1].split("\n\n")[0].splitlines()[1:]]
    assert [row[0] for row in table] == ["shank", "free", "head", "engaged", "nut", "parts", "all"]
    assert [row[-3] for row in table] == ["1.28", "1.9", "0.26", "0.38", "0.21", "0.55", "4.57"]
    assert [int(row[-2]) for row in table][-1] == 100
    assert sum(int(row[-2]) for row in table[:-1]) == 100


def test_a_given_reading_error_is_told_as_given_and_that_of_several_stages_as_a_sum() -> None:
    assert "±1.5°, U (k = 2), as given" in as_stretch_text(a_plan(reading_error="1.5°"))
    assert "±3° in all" in as_stretch_text(a_plan("40 N·m + 20° + 20°", *ELASTIC[1:], reading_error="1.5°"))


# -- the command


def command(*texts: str) -> list[str]:
    spec, screw, strength, grip = texts or ELASTIC
    return ["stretch", spec, "--screw", screw, "--class", strength, "--grip", grip]


def test_the_command_prints_the_text_and_writes_nothing(run: Run, tmp_path: Any) -> None:
    done = run(*command())
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == as_stretch_text(a_plan()) + "\n"
    assert list(tmp_path.iterdir()) == []


def test_the_command_writes_the_sheet_too(run: Run, tmp_path: Any) -> None:
    for name in ("chart.pdf", "chart.svg"):
        done = run(*command(), "-o", name)
        assert done.stdout.endswith("2 pages, A4.\n")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["chart-1.svg", "chart-2.svg", "chart.pdf"]


def test_json_is_one_object_with_every_number_unrounded(run: Run) -> None:
    done = run(*command(*BEYOND), "--json", "-o", "chart.svg")
    data = json.loads(done.stdout)
    keys = (
        "spec screw joint friction wrench_percent reading elastic snug stages comparison beyond_yield may_yield notes "
        "warnings files"
    )
    assert set(data) == {"format", *keys.split()}
    assert data["files"] == ["chart-1.svg", "chart-2.svg"]
    assert data["elastic"]["n_per_degree"] == a_plan(*BEYOND).job.fastening.n_per_deg
    assert data["stages"][0]["tension_mid_n"] is None


def test_warnings_go_to_stderr(run: Run) -> None:
    done = run(*command("hand tight + 30°", *ELASTIC[1:]))
    assert done.returncode == 0
    assert "warning: hand tight: the tension after snug is taken as zero" in done.stderr


HOSTILE = [
    "",
    "nan",
    "inf",
    "-1",
    "1e999",
    "9" * 300,
    "\u202e12",
    "<b>",
    "M12;x",
    "12 mm\n",
    "½½",
    "漢",
    "\\",
    "{}",
    "0",
]


@each("place", range(1, 5))
def test_no_text_that_a_user_types_ends_in_a_traceback(place: int) -> None:
    for text in HOSTILE:
        texts = [*ELASTIC]
        texts[place - 1] = text
        with pytest.raises(MarkingError):
            a_plan(*texts)


@each(
    "name",
    [
        "shank",
        "joint_modulus",
        "friction",
        "thread_friction",
        "head_friction",
        "bearing",
        "hole",
        "paper",
        "margin",
        "waist",
        "washers",
        "settling",
        "wrench",
        "socket_od",
        "reading_error",
    ],
)
def test_no_option_that_a_user_types_ends_in_a_traceback(name: str) -> None:
    for text in HOSTILE:
        if text == "0" and name in ("shank", "settling"):  # nothing at all: a plain 0 needs no unit
            continue
        with pytest.raises(MarkingError):
            a_plan(**{name: text})


def test_a_refusal_says_why_on_stderr_and_exits_with_one(run: Run) -> None:
    done = run(*command("120 N·m + 30°", "M12", "8.8", "60 mm"))
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.startswith("turnband: the snug torque 120 N·m")
    assert run("stretch", "90°").returncode == 2
    assert run(*command(), "-o", "-", "--json").returncode == 2


def test_every_option_of_the_command_reaches_the_numbers(run: Run) -> None:
    options: dict[str, Any] = {
        "shank": "20 mm", "waist": "30 mm x 9 mm", "head": "socket", "joint": "tapped", "washers": "2.5 mm",
        "joint_modulus": "70 GPa", "bearing": "20 mm", "hole": "13 mm", "seams": 2, "thread_friction": "0.1",
        "head_friction": "0.12..0.2", "wrench": "3 %", "readout": "mat", "socket_od": "30 mm",
    }  # fmt: skip
    flags: list[str] = []
    for name, value in options.items():
        flags += ["--od" if name == "socket_od" else f"--{name.replace('_', '-')}", str(value)]
    found = json.loads(run(*command(), *flags, "--json").stdout)
    assert found == json.loads(json.dumps({"format": 2, **stretch_data(a_plan(**options))}))
    for name in options:
        rest = {other: value for other, value in options.items() if other != name}
        assert stretch_data(a_plan(**rest))["stages"] != found["stages"], name
    exact = json.loads(run(*command(), "--reading-error", "0.5°", "--json").stdout)
    assert exact["stages"][0]["reading_U_deg"] == 0.5


def test_a_dash_puts_the_pdf_alone_on_stdout(run: Run, tmp_path: Any) -> None:
    done = run(*command(), "-o", "-")
    assert done.stdout.startswith("%PDF")
    assert done.stdout.rstrip().endswith("%%EOF")
    assert list(tmp_path.iterdir()) == []
