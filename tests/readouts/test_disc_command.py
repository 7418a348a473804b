"""A drive disc of its own and with a job: the command, its numbers and its refusals."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from kit.collisions import check
from kit.commands import Run
from kit.drive_disc import SPEC, a_budget
from kit.each import each
from kit.measure import a_job, assert_refused, placed_texts
from marking.drawing.primitives import Document
from marking.errors import LayoutError
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.plan import plan_extra
from marking.outputs.job.request import read_job
from marking.outputs.job.sheet import draw as job_document
from marking.readouts.drive_disc.sheet import put_disc
from marking.sheets.sheet import Sheet

# -- with a job


def test_a_jobs_disc_goes_on_the_jobs_sheets() -> None:
    plan = plan_extra("disc", a_job(thread="left"))
    assert (plan.job.size_mm, plan.job.spec.thread, plan.job.points) == (70, "left", 12)
    sheet = Sheet(plan.job.paper, ("Title",))
    sheet.new_page()
    put_disc(sheet, plan)
    check(Document(sheet.pages()))
    with pytest.raises(LayoutError, match="label stock"):
        plan_extra("disc", a_job(paper="62mm x roll"))


# -- the command


DISC = ("disc", SPEC, "--drive", "1/2")


def test_the_command_writes_the_sheet_and_says_so(run: Run, tmp_path: Path) -> None:
    told = run(*DISC).stdout
    assert list(tmp_path.iterdir()) == [], "without -o the numbers alone"
    done = run(*DISC, "-o", "disc.pdf")
    wrote = "wrote disc.pdf: 1 page, A4. Print at 100 %, then measure both rulers.\n"
    assert (done.returncode, done.stdout, done.stderr) == (0, told + wrote, "")
    assert (tmp_path / "disc.pdf").read_bytes().startswith(b"%PDF")


def test_json_is_one_object_with_every_number(run: Run) -> None:
    data = json.loads(run(*DISC, "--points", "12", "--diameter", "80 mm", "-o", "disc.svg", "--json").stdout)
    assert set(data) == {"format", "spec", "disc", "discs", "marks", "budgets", "warnings", "files"}
    assert data["disc"] == pytest.approx({"diameter_mm": 80, "drive_in": 0.5, "hole_mm": 13.0})
    assert {m["kind"]: m["deg"] for m in data["marks"]} == pytest.approx(
        {"start": 0, "stop-low": 90, "stop-high": 100, "aim": 95}
    )
    assert data["marks"][1]["where"] == "on corner 4"
    assert data["marks"][1]["mm"] == pytest.approx(math.pi * 20)
    (budget,) = data["budgets"]
    squares = sum((c["half_width"] * c["sensitivity"]) ** 2 / 3 for c in budget["contributions"])
    assert budget["U_deg"] == pytest.approx(2 * math.sqrt(squares))
    assert data["files"] == ["disc.svg"]
    assert data["warnings"] == []


def test_it_warns_as_a_job_does(run: Run) -> None:
    done = run("disc", "90°", "--drive", "1/2", "-o", "x.pdf")
    assert done.returncode == 0
    assert "no snug torque" in done.stderr
    assert "ask the manual's maker for a tolerance" in done.stderr
    assert "a disc of at least" in run("disc", "1 N·m + 90° +5/-0", "--drive", "1/2", "-o", "x.pdf").stderr


@each(
    ("option", "value"),
    [("--witness-error", "1 mm"), ("--stop-error", "1 mm"), ("--view-angle", "20°"), ("--disc-gap", "5 mm"),
     ("--sway-error", "1 mm"), ("--unequal-scale", "2 %")],
)  # fmt: skip
def test_every_assumption_is_an_option(run: Run, option: str, value: str) -> None:
    data = json.loads(run(*DISC, option, value, "-o", "x.pdf", "--json").stdout)
    assert data["budgets"][0]["U_deg"] > a_budget().expanded_deg + 0.05


@each(
    ("code", "arguments", "reason"),
    [
        (1, (*DISC, "--diameter", "30 mm", "-o", "x.pdf"), "41.38 mm to 280 mm"),
        (1, (*DISC, "--diameter", "12 in", "-o", "x.pdf"), "check --diameter"),
        (1, (*DISC, "--diameter", "70", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--diameter", "250 mm", "-o", "x.pdf"), "larger --paper"),
        (1, (*DISC, "--paper", "62mm x roll", "-o", "x.pdf"), "label stock"),
        (1, (*DISC, "--disc-gap", "3", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--unequal-scale", "0.2", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--witness-error", "11 mm", "-o", "x.pdf"), "0 to 10"),
        (1, (*DISC, "-o", "x.bmp"), ".pdf"),
        (1, (*DISC, "--title", "漢字", "-o", "x.pdf"), "U+6F22"),
        (1, ("disc", SPEC, "--drive", "5/8", "-o", "x.pdf"), "check --drive"),
        (1, ("disc", "110 N·m", "--drive", "1/2", "-o", "x.pdf"), "110 N·m"),
        (1, ("disc", "90° + 60°", "--drive", "1/2", "--witness", "first", "-o", "x.pdf"), "turns that grow"),
        (2, ("disc", SPEC, "-o", "x.pdf"), "--drive"),
        (2, (*DISC, "--points", "5", "-o", "x.pdf"), "--points"),
        (2, (*DISC, "--copies", "0", "-o", "x.pdf"), "--copies"),
    ],
)
def test_refusals_say_why_and_leave_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...], reason: str
) -> None:
    assert_refused(run(*arguments), code, reason, tmp_path)


def test_help_shows_examples(run: Run) -> None:
    done = run("disc", "--help")
    assert done.returncode == 0
    assert "Examples:" in done.stdout


def test_the_record_has_no_box_for_a_mark_that_is_not_made() -> None:
    marked_by: dict[str, list[str]] = {"first": ["marked 1"], "fresh": ["marked 1", "marked 2"]}
    for witness, marked in marked_by.items():
        document = job_document(
            plan_job(read_job("110 N·m + 90° ±5 + 180° ±5", 12, "1/2", od="27.8 mm", witness=witness))
        )
        titles = {text.text for page in document.pages for text in placed_texts(page)}
        assert sorted(title for title in titles if title.startswith("marked")) == marked
        assert {"reading 1", "reading 2"} <= titles
