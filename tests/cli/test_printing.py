"""Straight to a printer: what reaches the print service, and what is said where there is none."""

from __future__ import annotations

import io
import itertools
import json
from pathlib import Path
from unittest.mock import Mock

import pypdf
import pytest

from kit.commands import Run
from kit.fake_print_service import FakeService, fake_service
from kit.sets import a_set, an_item
from marking.outputs.sets import pages
from marking.outputs.sets.pages import draw_page, set_document
from turnband.printing import send

SPEC = "110 N·m + 90° +10/-0"
JOB = ("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "27.8 mm")


@pytest.fixture
def service(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> FakeService:
    made = fake_service(tmp_path_factory.mktemp("cups"), "office", "bench")
    monkeypatch.setenv("PATH", made.path)
    return made


def options(arguments: list[str]) -> list[str]:
    return [value for name, value in itertools.pairwise(arguments) if name == "-o"]


def test_a_job_is_printed_whole_and_to_scale_and_leaves_no_file(run: Run, service: FakeService, tmp_path: Path) -> None:
    done = run(*JOB, "--print", "office")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "sent to office: 1 page, A4 (job office-0). Then measure both rulers.\n"
    assert list(tmp_path.iterdir()) == []
    [(arguments, content)] = service.jobs
    assert arguments[:2] == ["-d", "office"]
    assert options(arguments) == ["print-scaling=none", "sides=one-sided", "number-up=1", "media=iso_a4_210x297mm"]
    run(*JOB, "-o", "x.pdf")
    assert content == (tmp_path / "x.pdf").read_bytes()


def test_a_file_and_a_print_are_made_at_once(run: Run, service: FakeService, tmp_path: Path) -> None:
    said = run(*JOB, "--print", "office", "-o", "x.svg").stdout.splitlines()
    assert [line.partition(":")[0] for line in said] == ["wrote x.svg", "sent to office"]
    assert (tmp_path / "x.svg").exists()
    assert service.jobs[0][1].startswith(b"%PDF")


@pytest.mark.parametrize(
    ("paper", "media"),
    [
        ("letter", ["na_letter_8.5x11in"]),
        ("297x210", ["iso_a4_210x297mm"]),
        ("legal", ["na_legal_8.5x14in"]),
        ("tabloid", ["na_ledger_11x17in"]),
        ("200x300", ["Custom.200x300mm"]),
        ("62x150", ["Custom.62x150mm"]),
        ("24mm tape", ["Custom.24x97.65mm", "Custom.24x14mm", "Custom.24x30mm", "Custom.24x116mm"]),
    ],
)
def test_the_print_service_is_told_the_paper_of_every_page(
    run: Run, service: FakeService, paper: str, media: list[str]
) -> None:
    assert run(*JOB, "--paper", paper, "--print", "bench").returncode == 0
    told = []
    for arguments, content in service.jobs:
        told.append(options(arguments)[-1].removeprefix("media="))
        boxes = [page.mediabox for page in pypdf.PdfReader(io.BytesIO(content)).pages]
        assert len({(box.width, box.height) for box in boxes}) == 1, "one size a job"
    assert list(dict.fromkeys(told)) == media


def test_paper_that_the_queue_does_not_list_is_warned_of(run: Run, service: FakeService) -> None:
    service.program("lpoptions", "#!/bin/sh\necho 'PageSize/Media Size: *A4.Borderless Letter 11x17'\n")
    for paper in ("a4", "tabloid", "200x300"):
        assert run(*JOB, "--paper", paper, "--print", "office").stderr == ""
    done = run(*JOB, "--paper", "a3", "--print", "office")
    assert (done.returncode, len(service.jobs)) == (0, 4)
    assert "office has no A3 among its papers: the job may be cancelled without a word" in " ".join(done.stderr.split())
    service.program("lpoptions", "#!/bin/sh\necho 'PageSize/Media Size: *A4 Custom.WIDTHxHEIGHT'\n")
    assert run(*JOB, "--paper", "a3", "--print", "office").stderr == ""


def test_a_page_across_goes_on_the_same_paper(run: Run, service: FakeService) -> None:
    run("job", "600 N·m + 60° ±5", "--points", "6", "--drive", "1", "--od", "96 mm", "--print", "office")
    [(arguments, content)] = service.jobs
    boxes = [page.mediabox for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    assert {box.width > box.height for box in boxes} == {True, False}
    assert options(arguments)[-1] == "media=iso_a4_210x297mm"


def test_what_is_printed_is_corrected_by_the_profile_of_the_queue(run: Run, service: FakeService) -> None:
    for name, x in (("office", "159.4 mm"), ("other", "160.6 mm")):
        run("printer", "add", name, "--x", x, "--y", "240.5 mm")
    for more in ((), ("--printer", "other"), ("--printer", "office")):
        assert run(*JOB, "--print", "office", *more, TURNBAND_PRINTER="other").returncode == 0
    run(*JOB, "--print", "bench", TURNBAND_PRINTER="other")
    by_queue, by_option, office, by_environment = (content for _, content in service.jobs)
    assert by_queue == office
    assert by_queue != by_option
    assert by_environment == by_option
    assert "--printer office" in pypdf.PdfReader(io.BytesIO(by_queue)).pages[0].extract_text()


def test_the_proof_is_printed_as_the_printer_is(run: Run, service: FakeService) -> None:
    said = run("proof", "--print", "office").stdout
    run("printer", "add", "office", "--x", "159.4 mm", "--y", "240.5 mm")
    run("proof", "--print", "office")
    (_, before), (_, after) = service.jobs
    assert before == after
    assert said.endswith("Let it rest, then measure A–B and B–C with a steel rule.\n")


def test_sets_are_printed_too(run: Run, service: FakeService) -> None:
    turns = ("set", "--turns", "60° ±8, 90° ±5", "--points", "6", "--drive", "1/4")
    assert run(*turns, "--split-by", "turn", "--print", "office").stdout == (
        "sent to office: 2 pages, A4 (jobs office-0, office-1). Then measure both rulers.\n"
    )


def test_pages_of_a_set_are_drawn_once_to_be_printed(service: FakeService, monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = Mock(wraps=draw_page)
    monkeypatch.setattr(pages, "draw_page", drawn)
    plan = a_set([an_item(), an_item(id="Y", od="31 mm", drive="3/4", row=3)])
    assert send(set_document(plan), "office") == ["office-0"]
    assert drawn.call_count == len(plan.papers)


def test_numbers_asked_for_stay_alone_on_stdout(run: Run, service: FakeService) -> None:
    done = run(*JOB, "--print", "office", "--json")
    assert json.loads(done.stdout)["files"] == []
    assert done.stderr.startswith("sent to office:")
    disc = run("disc", SPEC, "--drive", "1/2", "--print", "office").stdout
    assert "sent to office: 1 page, A4" in disc.splitlines()[-1]
    assert len(service.jobs) == 2


def test_a_queue_that_is_not_there_names_those_that_are(run: Run, service: FakeService) -> None:
    done = run(*JOB, "--print", "ofice")
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == (
        "turnband: no print queue is called 'ofice'; expected one of: bench, office; check --print\n"
    )
    service.program("lpstat", "#!/bin/sh\n")
    assert "set the printer up in this system first" in run(*JOB, "--print", "office").stderr
    assert service.jobs == []


@pytest.mark.parametrize(
    ("program", "said"),
    [
        ("lp", 'lp: Destination "office" is not accepting jobs.'),
        ("lpstat", "lpstat: Scheduler is not running."),
    ],
)
def test_what_the_print_service_refuses_is_told(run: Run, service: FakeService, program: str, said: str) -> None:
    service.program(program, f"#!/bin/sh\necho '{said}' >&2\nexit 1\n")
    done = run(*JOB, "--print", "office")
    assert done.returncode == 1
    reason = said.partition(": ")[2].rstrip(".")
    assert f"turnband: --print cannot be used: {program} says '{reason}'" in done.stderr
    assert "write a file with -o" in done.stderr.replace("--output", "-o")


def test_without_the_print_service_it_says_how_to_get_it(
    run: Run, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path_factory.mktemp("empty")))
    done = run(*JOB, "--print", "office")
    assert done.returncode == 1
    assert "there is no `lp` here" in done.stderr
    assert "apt install cups-client" in done.stderr


def test_somewhere_has_to_be_said(run: Run) -> None:
    done = run(*JOB)
    assert done.returncode == 2
    assert "--output" in done.stderr
    assert "--print" in done.stderr
    assert run("disc", SPEC, "--drive", "1/2", "--open").returncode == 2


def test_a_printer_that_is_added_is_told_from_a_queue(run: Run, service: FakeService) -> None:
    lengths = ("--x", "159.4 mm", "--y", "240.5 mm")
    known, other = run("printer", "add", "office", *lengths), run("printer", "add", "copier", *lengths)
    assert known.stdout.endswith("What is printed with --print office is corrected by it from now on.\n")
    assert known.stderr == ""
    assert "no print queue is called copier: call it bench or office" in other.stderr
    service.program("lpstat", "#!/bin/sh\nexit 1\n")
    alone = run("printer", "add", "third", *lengths)
    assert (alone.returncode, alone.stderr) == (0, "")
