"""Kept defaults: what counts when nothing is said, said on the terminal and in full on the sheet."""

from __future__ import annotations

import io
import shlex
from pathlib import Path

import pypdf
import pytest

from kit.commands import Run
from kit.each import each
from marking import MarkingError
from marking.files.carried import carried_command
from marking.printers.defaults import defaults_path, keep_default, load_defaults, remove_default

SPEC = "110 N·m + 90° +10/-0"
JOB = ("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "27.8 mm")
KEPT = {"paper": "letter", "unit": "in", "stock": "0.11 mm", "thread": "left"}
WORDS = [word for name, value in KEPT.items() for word in (f"--{name}", value)]


def keep(run: Run, **defaults: str) -> None:
    for name, value in defaults.items():
        assert run("defaults", "set", name, value).returncode == 0


def test_defaults_are_kept_shown_replaced_and_forgotten(run: Run) -> None:
    assert "no defaults yet" in run("defaults").stderr
    keep(run, **KEPT)
    assert run("defaults").stdout.split("\n")[:4] == [f"{name:8} {value}" for name, value in KEPT.items()]
    keep(run, paper="a5", thread="LH")
    assert run("defaults", "unset", "unit").stdout == "forgotten: unit\n"
    assert '"paper": "a5"' in run("defaults", "--json").stdout
    assert load_defaults() == {"paper": "a5", "stock": "0.11 mm", "thread": "left"}
    assert run("defaults", "unset", "unit").returncode == 1


def test_a_default_counts_as_if_it_had_been_typed_and_is_said(run: Run, tmp_path: Path) -> None:
    run(*JOB, *WORDS, "-o", "typed.pdf")
    keep(run, **KEPT)
    done = run(*JOB, "-o", "kept.pdf")
    assert done.stderr.splitlines()[0] == ("turnband: your defaults: paper letter, unit in, stock 0.11 mm, thread left")
    assert (tmp_path / "kept.pdf").read_bytes() == (tmp_path / "typed.pdf").read_bytes()


def test_options_go_before_defaults_and_nothing_is_said_of_those(run: Run, tmp_path: Path) -> None:
    run(*JOB, "-o", "plain.pdf")
    keep(run, **KEPT)
    usual = ("--paper", "a4", "--unit", "mm", "--stock", "", "--thread", "right")
    done = run(*JOB, *usual, "-o", "same.pdf")
    assert "your defaults" not in done.stderr
    pages = [pypdf.PdfReader(tmp_path / name).pages[0] for name in ("plain.pdf", "same.pdf")]
    assert pages[0].mediabox == pages[1].mediabox
    text = [page.extract_text().partition("turnband ")[0] for page in pages]
    assert text[0] == text[1]


@pytest.mark.parametrize("options", [(), ("--paper", "a4"), ("--unit", "mm", "--stock", "", "--thread", "RH")])
def test_the_command_of_a_sheet_makes_it_with_these_defaults_with_others_and_without(
    run: Run, tmp_path: Path, options: tuple[str, ...]
) -> None:
    keep(run, **KEPT)
    run(*JOB, *options, "-o", "x.pdf")
    _, *words = shlex.split(carried_command(str(tmp_path / "x.pdf")))
    sheet = (tmp_path / "x.pdf").read_bytes()
    for others in (KEPT, {"paper": "a3", "unit": "mm", "stock": "0.2 mm", "thread": "right"}):
        keep(run, **others)
        assert run(*words).returncode == 0
        assert (tmp_path / "again.pdf").read_bytes() == sheet
    for name in KEPT:
        run("defaults", "unset", name)
    run(*words)
    without = pypdf.PdfReader(tmp_path / "again.pdf").pages[0]
    before = pypdf.PdfReader(io.BytesIO(sheet)).pages[0]
    assert without.mediabox == before.mediabox
    assert without.extract_text().partition("turnband ")[0] == before.extract_text().partition("turnband ")[0]


def test_a_printer_is_kept_and_the_environment_goes_before_it(run: Run) -> None:
    for name, x in (("office", "159.4 mm"), ("bench", "160.6 mm")):
        run("printer", "add", name, "--x", x, "--y", "240.5 mm")
    keep(run, printer="office")
    tape = ("tape", "-o", "x.pdf")
    assert run(*tape).stderr == "turnband: your defaults: printer office\n"
    assert run(*tape, TURNBAND_PRINTER="bench").stderr == ""
    assert run(*tape, "--printer", "").stderr == ""
    assert run("proof", "-o", "x.pdf").stderr == "", "a proof is never corrected"


def test_bare_numbers_of_a_list_get_no_unit_from_a_default(run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("spec,points,drive,od\n90° ±5,12,1/2,27\n", "utf-8")
    keep(run, unit="in")
    done = run("set", "list.csv", "-o", "x.pdf")
    assert done.returncode == 1
    assert "unit" in done.stderr


@each(
    ("name", "value", "words"),
    [
        ("paper", "foolscap", "paper size 'foolscap' is not known"), ("unit", "ft", "mm or in"),
        ("printer", "office", "no printer is called 'office'"), ("stock", "3 m", "stock"), ("thread", "up", "thread"),
        ("copies", "3", "has no default; expected paper, unit, printer, stock, thread"), ("paper", "", "paper"),
    ],
)  # fmt: skip
def test_what_cannot_be_a_default_is_not_kept(run: Run, name: str, value: str, words: str) -> None:
    done = run("defaults", "set", name, value)
    assert done.returncode == 1
    assert words in done.stderr
    assert not defaults_path().exists()


@pytest.mark.parametrize(
    "content", ["paper = 3", "papr = 'a4'", "paper = ", "[paper]\nx = 1", "\0", "paper='a4'\n" * 5000]
)
def test_a_broken_file_is_named_and_never_overwritten(run: Run, content: str) -> None:
    defaults_path().parent.mkdir(parents=True)
    defaults_path().write_text(content, "utf-8")
    for arguments in (("proof", "-o", "x.pdf"), ("defaults", "set", "paper", "a5"), ("defaults",)):
        done = run(*arguments)
        assert done.returncode == 1
        assert "defaults.toml" in done.stderr
    assert defaults_path().read_text("utf-8") == content
    assert run("proof", "--help").returncode == 0


def test_without_a_home_folder_it_is_said_and_everything_works(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    import platformdirs

    def homeless(*_: object, **__: object) -> Path:
        raise RuntimeError("no home")

    monkeypatch.delenv("TURNBAND_CONFIG_DIR")
    monkeypatch.setattr(platformdirs, "user_config_path", homeless)
    assert run("proof", "-o", "x.pdf").returncode == 0
    shown = run("defaults")
    assert shown.returncode == 0
    assert "your home folder is not known" in shown.stderr
    assert run("defaults", "set", "paper", "a5").returncode == 1


def test_in_python_defaults_are_kept_and_count_for_nothing_by_themselves() -> None:
    from marking import OUTPUTS

    keep_default("paper", "letter")
    tape = OUTPUTS["tape"]
    assert "letter" not in tape.command()
    assert tape.data(tape.plan(tape.read())) == tape.data(tape.plan(tape.read(paper="a4")))
    remove_default("paper")
    with pytest.raises(MarkingError):
        remove_default("paper")


@pytest.mark.parametrize(("name", "offered"), [("paper", "letter"), ("thread", "left"), ("unit", "in")])
def test_a_shell_offers_the_values_of_what_is_kept(run: Run, name: str, offered: str) -> None:
    words = f"turnband defaults set {name} {offered[0]}"
    assert f"plain,{offered}" in run(_TURNBAND_COMPLETE="bash_complete", COMP_WORDS=words, COMP_CWORD="4").stdout
