"""The command line as its users meet it: what it prints, what it writes, how it refuses."""

from __future__ import annotations

import importlib.metadata
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from kit.commands import Run
from kit.each import each
from kit.measure import assert_in_words

MEASURE = "Print at 100 %, then measure both rulers."
SPEC = "110 N·m + 90° +10/-0"
SOCKET = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")


RING_LEFT_OUT = "turnband: warning: the part ring is left out: it is read to ±4.9°, too coarse for the window 90–100°\n"


def test_job_writes_the_sheet_and_says_so(run: Run, tmp_path: Path) -> None:
    for ring, warning in ((), ""), (("--ring", "full"), RING_LEFT_OUT):
        done = run("job", SPEC, *SOCKET, "--opening", "19 mm", *ring, "-o", f"{len(ring)}.pdf")
        said = f"wrote {len(ring)}.pdf: 1 page, A4. {MEASURE}\n"
        assert (done.returncode, done.stdout, done.stderr) == (0, said, warning)
    assert (tmp_path / "0.pdf").read_bytes().startswith(b"%PDF")


def test_an_svg_of_several_pages_gets_a_number_a_page(run: Run, tmp_path: Path) -> None:
    done = run("job", SPEC, *SOCKET, "--with", "disc", "-o", "bracket.SVG")
    assert done.returncode == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bracket-1.SVG", "bracket-2.SVG"]


def test_a_dash_puts_the_pdf_on_stdout(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "turnband", "job", SPEC, *SOCKET, "-o", "-"],
        cwd=tmp_path,
        capture_output=True,
        check=True,
    )
    assert done.stdout.startswith(b"%PDF")
    assert done.stdout.rstrip().endswith(b"%%EOF")
    assert list(tmp_path.iterdir()) == []


KEYS = {
    "": {"format", "spec", "socket", "band", "bands", "features", "marks", "budgets", "warnings", "files"},
    "spec": {
        "text",
        "read_as",
        "thread",
        "counted_from",
        "snug_torque_nm",
        "hand_tight",
        "steps",
        "stages",
    },
    "socket": {"points", "drive_in", "opening_mm", "od_mm", "od_source", "play_deg"},
    "band": {"stock_mm", "length_mm", "mm_per_degree", "seam_deg", "pieces", "closure_mm"},
}


def test_json_is_one_object_with_every_number_unrounded(run: Run) -> None:
    done = run("job", SPEC, *SOCKET, "-o", "bracket.svg", "--json")
    data = json.loads(done.stdout)
    assert set(data) == KEYS.pop("")
    for name, keys in KEYS.items():
        assert set(data[name]) == keys
    assert data["files"] == ["bracket.svg"]
    assert data["spec"]["stages"] == [
        {"turn_deg": 90.0, "low_deg": 90.0, "high_deg": 100.0, "total_from_snug_deg": 90.0}
    ]
    assert data["socket"]["drive_in"] == 0.5
    assert data["band"]["length_mm"] == pytest.approx(3.141592653589793 * 27.9, rel=1e-15)
    assert [set(f) for f in data["features"]] == [{"kind", "index", "deg", "mm"}] * 24
    assert {m["kind"]: m["deg"] for m in data["marks"]} == pytest.approx(
        {"start": 0, "stop-low": 90, "stop-high": 100, "aim": 95}
    )
    assert data["marks"][1]["where"] == "on corner 4"
    assert data["marks"][0]["stage"] is None
    (budget,) = data["budgets"]
    assert budget["readout"] == "band"
    assert set(budget) == {
        "readout", "stage", "contributions", "u_deg", "U_deg", "expanded_deg", "k", "verdict", "aim_low_deg",
        "aim_high_deg", "aim_deg",
    }  # fmt: skip
    assert [set(c) for c in budget["contributions"]] == [{"name", "half_width", "unit", "sensitivity", "u_deg"}] * 7
    squares = sum((c["half_width"] * c["sensitivity"]) ** 2 / 3 for c in budget["contributions"])
    assert budget["u_deg"] == pytest.approx(squares**0.5)
    assert budget["U_deg"] == pytest.approx(2 * squares**0.5)


def test_explain_reads_well_in_80_columns(run: Run) -> None:
    for more in ((), ("--opening", "19 mm"), ("--thread", "left", "--start", "flat")):
        done = run("explain", "110 N·m + 60° ±4 + 450° +10/-0", *SOCKET, *more)
        assert done.returncode == 0
        assert max(map(len, done.stdout.splitlines())) <= 80
        for words in ("closed length 87.65 mm", "stop-low", "1 full turn, then", "expanded, U (k = 2)"):
            assert words in done.stdout


def test_explain_gives_the_same_numbers_as_job(run: Run) -> None:
    explained = json.loads(run("explain", SPEC, *SOCKET, "--json").stdout)
    drawn = json.loads(run("job", SPEC, *SOCKET, "--json", "-o", "x.pdf").stdout)
    assert explained["files"] == []
    assert explained == {**drawn, "files": []}


def test_lengths_appear_in_the_unit_that_was_typed_first(run: Run) -> None:
    inches = run("explain", SPEC, "--points", "6", "--drive", "1/2", "--opening", "3/4 in", "--od", "28 mm").stdout
    metric = run("explain", SPEC, "--points", "6", "--drive", "1/2", "--od", "28 mm", "--opening", "3/4 in").stdout
    assert "closed length 3.476 in" in inches
    assert "closed length 88.28 mm" in metric


def test_warnings_go_to_stderr(run: Run) -> None:
    done = run("explain", "90°", *SOCKET, "--json")
    assert "warning: the spec has no snug torque" in done.stderr
    assert "ask the manual's maker for a tolerance" in done.stderr
    assert json.loads(done.stdout)["warnings"]


@each("arguments", [(), ("job",), ("explain",)])
def test_every_help_text_shows_examples(run: Run, arguments: tuple[str, ...]) -> None:
    done = run(*arguments, "--help")
    assert done.returncode == 0
    assert "Examples:" in done.stdout
    assert "turnband " in done.stdout


def test_the_version_is_the_installed_one(run: Run) -> None:
    assert run("--version").stdout == f"turnband {importlib.metadata.version('turnband')}\n"


def test_shell_completion_offers_commands_and_choices(run: Run) -> None:
    offered = run(_TURNBAND_COMPLETE="bash_complete", COMP_WORDS="turnband j", COMP_CWORD="1").stdout
    assert "job" in offered
    offered = run(_TURNBAND_COMPLETE="bash_complete", COMP_WORDS="turnband job --thread l", COMP_CWORD="3").stdout
    assert "left" in offered


def test_open_hands_the_finished_file_to_the_systems_viewer(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from turnband.main import main

    opened: list[str] = []
    monkeypatch.setattr("click.launch", opened.append)
    target = str(tmp_path / "x.pdf")
    done = CliRunner().invoke(main, ["job", SPEC, *SOCKET, "-o", target, "--open"])
    assert done.exit_code == 0, done.output
    assert opened == [target]


REFUSED = {
    1: [
        ("job", "110 N·m", *SOCKET, "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "-o", "x.bmp"),
        ("job", SPEC, *SOCKET, "-o", "x"),
        ("job", SPEC, *SOCKET, "-o", "missing/x.pdf"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--title", "a\u202eb"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--title", "漢字"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--paper", "b4"),
        ("job", SPEC, "--points", "12", "--drive", "5/8", "--od", "27.8 mm", "-o", "x.pdf"),
        ("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "27.8", "-o", "x.pdf"),
        ("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "5 mm", "-o", "x.pdf"),
        ("job", SPEC, "--points", "12", "--drive", "1/2", "--od-range", "32 mm..24 mm", "-o", "x.pdf"),
        ("job", SPEC, "--points", "12", "--drive", "1/2", "--paper", "24mm x roll", "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "--paper", "12mm x roll", "--height", "14 mm", "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "--printer", "nobody", "-o", "x.pdf"),
        ("job", "90° + 90° -0 + 3°", *SOCKET, "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "--gap", "1", "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--od-range", "24 mm..32 mm"),
        ("explain", SPEC, *SOCKET, "--trim-error", "1 mm"),
        ("explain", "$(reboot)", *SOCKET),
        ("explain", "9" * 5000, *SOCKET),
        ("explain", "(" * 150, *SOCKET),
        ("explain", "1°+" * 60 + "1°", *SOCKET),
    ],
    2: [
        ("job", SPEC, *SOCKET),
        ("job", SPEC, "--drive", "1/2", "--od", "27.8 mm", "-o", "x.pdf"),
        ("job", SPEC, "--points", "5", "--drive", "1/2", "--od", "27.8 mm", "-o", "x.pdf"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--copies", "0"),
        ("job", SPEC, *SOCKET, "-o", "-", "--json"),
        ("job", SPEC, *SOCKET, "-o", "-", "--open"),
        ("job", SPEC, *SOCKET, "-o", "x.pdf", "--thread", "both"),
        ("job",),
        ("explain",),
        ("paint",),
        ("--speed",),
    ],
}


@each(("code", "arguments"), [(c, a) for c, every in REFUSED.items() for a in every])
def test_refusals_say_why_and_leave_no_file(run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert_in_words(done, code)
    assert list(tmp_path.iterdir()) == []


def test_a_refused_character_is_named(run: Run) -> None:
    done = run("job", SPEC, *SOCKET, "-o", "x.pdf", "--title", "Bogie \u202e7")
    assert "U+202E (RIGHT-TO-LEFT OVERRIDE)" in done.stderr
    done = run("job", SPEC, *SOCKET, "-o", "x.pdf", "--title", "Bogie\n7")
    assert "U+000A (a control character)" in done.stderr


def test_markup_in_a_title_is_printed_and_not_obeyed(run: Run, tmp_path: Path) -> None:
    title = "<b>&amp;</b> %s {0} \\n ]]>"
    assert run("job", SPEC, *SOCKET, "-o", "x.svg", "--title", title).returncode == 0
    from xml.etree import ElementTree

    root = ElementTree.parse(tmp_path / "x.svg").getroot()
    assert title in [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]
    assert run("job", SPEC, *SOCKET, "-o", "x.pdf", "--title", title).returncode == 0
    import pypdf

    reader = pypdf.PdfReader(tmp_path / "x.pdf")
    assert title in reader.pages[0].extract_text()
    assert reader.metadata is not None
    assert reader.metadata.title == title


def test_an_existing_file_survives_a_refusal(run: Run, tmp_path: Path) -> None:
    (tmp_path / "x.pdf").write_text("precious")
    assert run("job", "110 N·m + 90", *SOCKET, "-o", "x.pdf").returncode == 1
    assert (tmp_path / "x.pdf").read_text() == "precious"


def test_a_full_disk_is_a_message_and_not_a_traceback() -> None:
    if not os.path.exists("/dev/full"):
        pytest.fail("this test needs /dev/full")
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "turnband", "job", SPEC, *SOCKET, "-o", "-"],
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            check=False,
        )
    assert done.returncode == 1
    assert "cannot write to stdout: no space left" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_terminal_that_knows_only_ascii_gets_an_answer(run: Run) -> None:
    for arguments in (("explain", SPEC, *SOCKET), ("explain", "ninety°", *SOCKET), ("job", "--help")):
        done = run(*arguments, PYTHONUTF8="0", PYTHONIOENCODING="ascii", LC_ALL="C", PYTHONCOERCECLOCALE="0")
        assert "Traceback" not in done.stderr
        assert "UnicodeEncodeError" not in done.stderr
        assert done.stdout or done.stderr


def test_bytes_that_are_no_text_are_refused() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "turnband", "explain", b"90\xff\xb0", *SOCKET], capture_output=True, check=False
    )
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("socket", [SOCKET, ("--points", "12", "--drive", "1/2", "--od-range", "24 mm..32 mm")])
def test_a_drive_disc_comes_with_the_job_when_asked_for(run: Run, tmp_path: Path, socket: tuple[str, ...]) -> None:
    done = run("job", SPEC, *socket, "--with", "disc", "-o", "x.svg", "--json")
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert data["disc"]["diameter_mm"] == 70
    assert data["disc"]["budgets"][0]["U_deg"] > 0
    pages = [path.read_text("utf-8") for path in sorted(tmp_path.glob("x-*.svg"))]
    assert sum('class="drive-disc"' in page for page in pages) == 1
    assert f"page {len(pages)} of {len(pages)}" in pages[-1]


def test_a_disc_does_not_come_with_label_stock(run: Run, tmp_path: Path) -> None:
    done = run("job", SPEC, *SOCKET, "--with", "disc", "--paper", "62mm x roll", "-o", "x.pdf")
    assert done.returncode == 1
    assert "label stock" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", ["tape", "proof", "disc", "mat"])
def test_every_drawing_command_writes_both_formats_and_stdout(run: Run, tmp_path: Path, command: str) -> None:
    arguments = (command, SPEC, "--drive", "1/2") if command in ("disc", "mat") else (command,)
    for name in ("x.pdf", "x.svg"):
        assert run(*arguments, "-o", name).returncode == 0
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")
    assert list(tmp_path.glob("x*.svg"))
    assert run(*arguments, "-o", "-").stdout.startswith("%PDF")
    assert run(*arguments, "-o", "x.bmp").returncode == 1
