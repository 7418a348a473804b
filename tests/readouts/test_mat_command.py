"""A mat with a job, in a list and of its own: the command, its numbers and its refusals."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from kit.commands import Run
from kit.each import each
from kit.mat import SPEC, a_plan, printed
from kit.measure import a_job, assert_refused
from kit.sets import a_set, an_item
from marking.errors import LayoutError
from marking.fastening.spec import Window
from marking.marks.reading_error import ErrorModel
from marking.outputs.job.plan import plan_extra
from marking.readouts.mat.error import mat_budget

# -- ink


def test_sheet_terminal_and_json_agree_from_which_od_on_there_is_an_aim(run: Run) -> None:
    ranged = (*MAT, "--thread", "left", "-o", "m.pdf")
    done, data = run(*ranged), json.loads(run(*ranged, "--json").stdout)
    (from_mm,) = data["mat"]["aim_from_od_mm"]
    below, above = (mat_budget(1, 90, Window(90, 100), od, ErrorModel()).verdict for od in (from_mm - 0.2, from_mm))
    assert (below != "aim", above) == (True, "aim")
    assert [data[name][0]["verdict"] for name in ("budgets", "budgets_at_largest")] == ["unproved", "aim"]
    said = (
        f"marks from this mat aim at 95° from an OD of {from_mm:g} mm on (no aim line is drawn: smaller sockets have no"
    )
    plan = a_plan(thread="left", points=None)
    for words in (done.stdout, done.stderr, data["warnings"][0], printed(plan)):
        assert said in " ".join(words.split())
    known = json.loads(run(*MAT, "--od", "48 mm", "-o", "m.pdf", "--json").stdout)
    assert (known["mat"]["aim_from_od_mm"], known["budgets"][0]["verdict"]) == ([None], "aim")


# -- with jobs and in lists


def test_a_mat_goes_with_a_job_for_its_own_od_or_its_range() -> None:
    known = plan_extra("mat", a_job(thread="left"))
    assert (known.layout.low_od_mm, known.layout.high_od_mm, known.layout.clockwise) == (27.8, 27.8, False)
    ranged = plan_extra("mat", a_job(), (24.0, 32.0))
    assert (ranged.layout.low_od_mm, ranged.layout.high_od_mm) == (27.8, 32.0), "from the job's own smallest OD"
    with pytest.raises(LayoutError, match="a mat does not go on label stock"):
        plan_extra("mat", a_job(paper="62mm x roll"))


@pytest.mark.parametrize(
    ("socket", "ods"), [(("--od", "27.8 mm"), (27.8, 27.8)), (("--od-range", "24 mm..32 mm"), (24, 32))]
)
def test_a_mat_comes_with_the_job_when_asked_for(
    run: Run, tmp_path: Path, socket: tuple[str, ...], ods: tuple[float, float]
) -> None:
    done = run("job", SPEC, "--points", "12", "--drive", "1/2", *socket, "--with", "mat", "-o", "x.svg", "--json")
    found = json.loads(done.stdout)["mat"]
    assert (found["low_od_mm"], found["high_od_mm"]) == pytest.approx(ods)
    assert [budget["readout"] for budget in found["budgets"]] == ["mat"]
    assert sum('class="mat"' in path.read_text("utf-8") for path in tmp_path.glob("x*.svg")) == 1


def test_a_list_has_mats_with_and_without_an_od() -> None:
    items = [an_item(id="A", kind="mat"), an_item(id="B", kind="mat", od=None, points=None, row=3)]
    plan = a_set(items)
    assert [part.socket_line for part in plan.parts] == [
        "6-point · 1/2 in drive · OD 28 mm", "1/2 in drive · OD 12.5–48 mm",
    ]  # fmt: skip


# -- the command


MAT = ("mat", SPEC, "--drive", "1/2")


def test_json_is_one_object_with_every_number(run: Run) -> None:
    data = json.loads(run(*MAT, "--points", "12", "--od", "28 mm", "-o", "mat.svg", "--json").stdout)
    assert set(data) == {
        "format", "spec", "socket", "mat", "marks", "budgets", "budgets_at_largest", "warnings", "files",
    }  # fmt: skip
    assert {m["kind"]: m["deg"] for m in data["marks"]} == pytest.approx(
        {"start": 0, "stop-low": 90, "stop-high": 100, "aim": 95}
    )
    assert data["marks"][1]["where"] == "on corner 4"
    assert data["marks"][1]["mm"] == pytest.approx(math.pi * 7)
    assert [budget["readout"] for budget in data["budgets"]] == ["mat"]
    assert data["mat"]["circles_mm"] == [28, 30, 32]
    ranged = json.loads(run(*MAT, "-o", "mat.svg", "--json").stdout)
    assert ranged["socket"] | {"od_mm": None, "od_source": "range", "points": None} == ranged["socket"]
    assert {m["mm"] for m in ranged["marks"]} == {None}
    low, high = ranged["budgets"][0]["U_deg"], ranged["budgets_at_largest"][0]["U_deg"]
    assert low / high == pytest.approx(48 / 12.5, rel=0.01), "all but the print scale goes by the diameter"


@each(
    ("option", "value"),
    [("--witness-error", "1 mm"), ("--stop-error", "1 mm"), ("--view-angle", "20°"), ("--gap", "3 mm"),
     ("--unequal-scale", "3 %"), ("--centring-error", "1 mm"), ("--pen-error", "1 mm"), ("--opening", "19 mm"),
     ("--sideways-error", "1 mm")],
)  # fmt: skip
def test_every_assumption_is_an_option(run: Run, option: str, value: str) -> None:
    data = json.loads(run(*MAT, "--od", "28 mm", option, value, "-o", "x.pdf", "--json").stdout)
    usual = mat_budget(1, 90, Window(90, 100), 28.0, ErrorModel()).expanded_deg
    assert data["budgets"][0]["U_deg"] > usual + 0.05


@each(
    ("arguments", "reason"),
    [
        (("--od", "160 mm"), "choose a larger --paper"),
        (("--od-range", "40 mm..160 mm"), "give the socket's own --od or a smaller --od-range"),
        (("--od", "28 mm", "--od-range", "24 mm..32 mm"), "an OD range is for a diameter that is not known"),
        (("--od", "28"), "has no unit"),
        (("--od", "20 mm", "--opening", "19 mm"), "cannot hold an opening"),
        (("--od-range", "20 mm..30 mm", "--opening", "19 mm"), "cannot hold an opening"),
        (("--pen-error", "11 mm"), "0 to 10"),
        (("--paper", "62mm x roll"), "label stock"),
        (("--title", "漢字"), "U+6F22"),
    ],
)
def test_refusals_say_why_and_leave_no_file(run: Run, tmp_path: Path, arguments: tuple[str, ...], reason: str) -> None:
    assert_refused(run(*MAT, *arguments, "-o", "x.pdf"), 1, reason, tmp_path)
