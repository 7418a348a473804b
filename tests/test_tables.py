"""A new readout, output or format is one file and one line of a table: the commands, lists and sheets then have it."""

from __future__ import annotations

import importlib
import json
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest

import marking.outputs.job
import marking.outputs.sets
from kit.commands import Run
from marking.fastening.opening import OPENINGS, opening_of
from marking.files.formats import FORMATS, Format
from marking.lists.cells import tried
from marking.outputs import OUTPUTS, Output
from marking.readouts import READOUTS, Readout

READOUT = """
from functools import partial
from typing import NamedTuple

from marking.drawing.primitives import Drawing, Group, Polyline, Text
from marking.readouts import Outline
from marking.remarks import Template


class Plan(NamedTuple):
    spec: str
    budgets: tuple = ()
    warnings: tuple = (Template("nothing", "a toy proves nothing")(),)


def drawing(words):
    square = Polyline(((0, 0), (50, 0), (50, 20), (0, 20)), "cut", True)
    return Drawing(50.0, 20.0, Group("toy", (square, Text(2.0, 8.0, words, 8.0))))


def pieces(plan):
    for stage in plan.job.spec.stages:
        words = f"toy for {stage.read_as} on {plan.job.socket.points} points"
        yield Outline(plan.job.spec.read_as, "a toy socket", 50.0, 20.0, partial(drawing, words))


def remedy(unproved):
    return Template("a-toy", "a toy")()


def plan_for(job, ods):
    return Plan(job.spec.read_as)


def put(sheet, plan):
    sheet.put(drawing(f"toy beside {plan.spec}"))


def data(plan):
    return {"toy of": plan.spec}
"""

OUTPUT = """
from typing import NamedTuple

from marking.drawing.primitives import Document, Drawing, Group, Page, Placed, Text
from marking.fields import SPEC, TITLE
from marking.outputs import Output

OUTPUT = Output("toy", __name__, "Print a toy for SPEC.", (SPEC, TITLE))


class Plan(NamedTuple):
    words: str
    warnings: tuple = ()


def read(spec, title=""):
    return f"{title}: {spec}"


def plan(request):
    return Plan(request)


def draw(plan, command=""):
    text = Drawing(90.0, 10.0, Group("toy", (Text(1.0, 3.0, f"{plan.words} {command}", 8.0),)))
    return Document((Page(100.0, 50.0, (Placed(text, 5.0, 5.0),)),), plan.words)


def data(plan, files=()):
    return {"words": plan.words, "files": list(files)}
"""

FORMAT = """
def write(document, file):
    file.write(f"{len(document.pages)} of {document.subject}".encode())


def page(page, document):
    return f"{page.width_mm:g} mm of {document.subject}".encode()
"""

JOB = ("job", "110 N·m + 90° +10/-0", "--points", "12", "--drive", "1/2", "--od", "27.8 mm")


def put_file(folder: Path, monkeypatch: pytest.MonkeyPatch, name: str, code: str) -> str:
    """Make a module of its own; return its name."""
    (folder / f"{name}.py").write_text(code, "utf-8")
    monkeypatch.syspath_prepend(str(folder))
    importlib.invalidate_caches()
    monkeypatch.delitem(importlib.import_module("sys").modules, name, raising=False)
    return name


def read_anew() -> None:
    """Load the outputs again whose fields and help are made of the table of readouts."""
    importlib.reload(marking.outputs.job)
    importlib.reload(marking.outputs.sets)


@pytest.fixture
def toy_readout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    home = put_file(tmp_path, monkeypatch, "toy_readout", READOUT)
    with monkeypatch.context() as line:
        line.setitem(READOUTS, "toy", Readout("toy", home, extra="a toy"))
        read_anew()
        yield
    read_anew()
    tried.cache_clear()  # lists remember which cells they could read


def words_of(path: Path) -> str:
    """All texts of a PDF."""
    with pypdfium2.PdfDocument(path) as document:
        return " ".join(page.get_textpage().get_text_bounded() for page in document)


def a_list(folder: Path) -> str:
    (folder / "list.csv").write_text(
        "id,spec,points,drive,od,kind\nA,90° ±5,6,1/2,27.8 mm,band\nB,120° ±5,12,1/2,27.8 mm,toy\n", "utf-8"
    )
    return "list.csv"


@pytest.mark.usefixtures("toy_readout")
def test_a_readout_of_the_table_is_a_kind_of_lists(run: Run, tmp_path: Path) -> None:
    done = run("set", a_list(tmp_path), "-o", "set.pdf", "--json")
    kinds = {piece["id"]: piece["kind"] for piece in json.loads(done.stdout)["pieces"]}
    assert kinds == {"A": "band", "B": "toy"}
    assert "toy for 120° ±5 on 12 points" in words_of(tmp_path / "set.pdf")
    assert "toy" in run("set", "--help").stdout.split("kind (")[1].split(")")[0]


def test_a_readout_that_no_table_holds_is_no_kind_of_lists(run: Run, tmp_path: Path) -> None:
    done = run("set", a_list(tmp_path), "-o", "set.pdf")
    assert done.returncode == 1
    assert f"toy is no kind of piece; expected one of: {', '.join(READOUTS)}" in done.stderr


@pytest.mark.usefixtures("toy_readout")
@pytest.mark.parametrize("socket", [("--od", "27.8 mm"), ("--od-range", "24 mm..30 mm")])
def test_a_readout_of_the_table_goes_with_a_job(run: Run, tmp_path: Path, socket: tuple[str, ...]) -> None:
    done = run(*JOB[:-2], *socket, "--with", "toy", "--with", "disc", "-o", "job.pdf", "--json")
    data = json.loads(done.stdout)
    assert data["toy"] == {"toy of": "110 N·m, then 90° +10/−0"}
    assert data["disc"]["diameter_mm"] == 70
    assert "a toy proves nothing" in data["warnings"]
    assert "warning: a toy proves nothing" in done.stderr
    assert "toy beside 110 N·m, then 90° +10/−0" in words_of(tmp_path / "job.pdf")
    refused = run(*JOB, "--with", "toy", "--paper", "62mm x roll", "-o", "label.pdf")
    assert "a toy does not go on label stock" in refused.stderr


def test_a_readout_that_no_table_holds_goes_with_no_job(run: Run) -> None:
    assert run(*JOB, "--with", "toy", "-o", "job.pdf").returncode == 2
    assert run(*JOB, "--with", "ring", "-o", "job.pdf").returncode == 2


@pytest.mark.usefixtures("toy_readout")
def test_a_readout_of_the_table_is_asked_for_what_a_band_cannot_prove(run: Run) -> None:
    narrow = [text.replace("+10/-0", "+0.5/-0") for text in JOB]
    assert "what can: a toy" in run("explain", *narrow[1:]).stderr


def test_an_output_of_the_table_is_a_command(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert run("toy", "90°", "-o", "x.pdf").returncode == 2
    home = put_file(tmp_path, monkeypatch, "toy_output", OUTPUT)
    monkeypatch.setitem(OUTPUTS.modules, "toy", home)
    done = run("toy", "90° ±5", "--title", "Depot", "-o", "x.pdf", "--json")
    assert json.loads(done.stdout) == {"format": 2, "words": "Depot: 90° ±5", "files": ["x.pdf"]}
    assert words_of(tmp_path / "x.pdf").strip() == 'Depot: 90° ±5 turnband toy "90° ±5" --title Depot -o again.pdf'
    assert "Print a toy for SPEC." in run("--help").stdout


def test_a_format_of_the_table_is_written(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    refused = run(*JOB, "-o", "x.toy")
    assert (refused.returncode, "a name that ends in .pdf or .svg or .dxf or .png;" in refused.stderr) == (1, True)
    home = put_file(tmp_path, monkeypatch, "toy_format", FORMAT)
    monkeypatch.setitem(FORMATS, ".toy", Format(home, "write"))
    monkeypatch.setitem(FORMATS, ".leaf", Format(home, "page", a_page=True))
    assert run(*JOB, "-o", "x.toy").stdout.startswith("wrote x.toy: 1 page, A4.")
    assert run(*JOB, "--with", "disc", "-o", "x.leaf").stdout.startswith("wrote x-1.leaf, x-2.leaf: 2 pages, A4.")
    assert (tmp_path / "x.toy").read_text("utf-8").startswith("1 of 110 N·m")
    assert (tmp_path / "x-1.leaf").read_text("utf-8").startswith("210 mm of 110 N·m")
    assert (tmp_path / "x-2.leaf").read_text("utf-8").startswith("210 mm of 110 N·m")
    assert ".pdf, .svg, .dxf, .png, .toy, .leaf" in " ".join(run("job", "--help").stdout.split())
    assert ".pdf or .svg or .dxf or .png or .toy or .leaf" in run(*JOB, "-o", "x.bmp").stderr


def with_points(points: str) -> Output:
    """The output `job` with one more number of points to choose."""
    job = OUTPUTS["job"]
    choices = [field._replace(choices=(points,)) if field.name == "points" else field for field in job.fields]
    return job._replace(fields=tuple(choices))


def test_an_opening_of_the_table_can_be_chosen(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(ValueError, match="4, 6, 8 or 12 points"):
        opening_of(5)
    monkeypatch.setitem(OPENINGS, 5, OPENINGS[6]._replace(points=5, sides=5, flats_per_corners=0.8))
    monkeypatch.setattr("marking.outputs.job.OUTPUT", with_points("5"))
    job = ("job", "90° ±5", "--drive", "3/8", "--opening", "8 mm", "--points", "5", "-o", "x.pdf")
    assert run(*job, "--od", "20 mm").returncode == 0
    assert "more than 10 mm, the opening across its corners" in run(*job, "--od", "9.9 mm").stderr


def test_every_readout_of_the_table_answers_all_that_is_asked_of_it() -> None:
    for kind, readout in READOUTS.items():
        home = importlib.import_module(readout.home, "marking.readouts")
        own = ["plan_for", "joined" if readout.joins else "put", "data"] if readout.extra else []
        asked = ["pieces", "remedy", *own]
        assert [name for name in asked if not callable(getattr(home, name, None))] == [], kind
