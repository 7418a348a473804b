"""A job printed again from what its sheet carries, with what is to be different; and nothing else that a file asks."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.commands import Run
from kit.each import each
from kit.fake_print_service import fake_service
from marking import OUTPUTS

SPEC = "110 N·m + 90° +10/-0"
SOCKET = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")
HELD = '<svg><metadata><turnband:command xmlns:turnband="urn:turnband">{}</turnband:command></metadata></svg>'

DRAWN = {
    "job": ("job", SPEC, *SOCKET, "--title", 'Bracket "7" & co', "--ring", "sector", "--with", "disc", "--unit", "in"),
    "disc": ("disc", SPEC, "--drive", "1/2"),
    "mat": ("mat", SPEC, "--drive", "1/2"),
    "tape": ("tape", "--from", "3/8 in", "--to", "1 in"),
    "blank": ("blank", "--points", "12", "--drive", "1/2"),
    "proof": ("proof",),
    "set": ("set", "list.csv", "--unit", "mm"),
    "record": ("record", SPEC, "--fasteners", "8"),
    "chart": ("chart", "--paper", "a3"),
    "stretch": ("stretch", "20 N·m + 60° ±3", "--screw", "M12x1.75", "--class", "10.9", "--grip", "120 mm"),
    "lesson": ("lesson", SPEC, "--points", "12", "--trainees", "2", "--seed", "7"),
}


def test_everything_that_writes_pages_is_tried() -> None:
    assert set(DRAWN) == {name for name in OUTPUTS if OUTPUTS[name].writes != "never"}


@pytest.mark.parametrize("name", DRAWN)
def test_every_sheet_is_printed_again_alike(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "list.csv").write_text("spec,points,drive,od\n90° ±5,12,1/2,27\n", "utf-8")
    assert run(*DRAWN[name], "-o", "x.pdf").returncode == 0
    done = run("again", "x.pdf", "-o", "y.pdf")
    assert done.returncode == 0, done.stderr
    assert "\nwrote y.pdf" in f"\n{done.stdout}"
    assert done.stderr.startswith(f"again: turnband {name} ")
    assert (tmp_path / "x.pdf").read_bytes() == (tmp_path / "y.pdf").read_bytes()


@pytest.mark.parametrize(
    ("changes", "same"),
    [
        (("--paper", "letter"), ("job", SPEC, *SOCKET, "--ring", "full", "--paper", "letter")),
        (("100 N·m + 60° ±5",), ("job", "100 N·m + 60° ±5", *SOCKET, "--ring", "full")),
        (("--around", "87 mm"), ("job", SPEC, *SOCKET[:4], "--around", "87 mm", "--ring", "full")),
        (("--od", "1.1 in"), ("job", SPEC, *SOCKET[:4], "--od", "1.1 in", "--ring", "full")),
        (("--without", "ring"), ("job", SPEC, *SOCKET)),
        (("--without", "--ring", "--thread", "LH"), ("job", SPEC, *SOCKET, "--thread", "left")),
    ],
    ids=str,
)
def test_what_is_different_is_as_if_it_had_been_asked_for(
    run: Run, tmp_path: Path, changes: tuple[str, ...], same: tuple[str, ...]
) -> None:
    run("job", SPEC, *SOCKET, "--ring", "full", "-o", "x.svg")
    assert run("again", "x.svg", *changes, "-o", "y.pdf").returncode == 0
    run(*same, "-o", "z.pdf")
    assert (tmp_path / "y.pdf").read_bytes() == (tmp_path / "z.pdf").read_bytes()


def test_nothing_is_written_unless_it_is_said_where(run: Run, tmp_path: Path) -> None:
    run("disc", SPEC, "--drive", "1/2", "-o", "again.pdf")
    before = (tmp_path / "again.pdf").read_bytes()
    run("job", SPEC, *SOCKET, "-o", "x.pdf")
    done = run("again", "x.pdf")
    assert done.returncode == 2
    assert "--output (or --print) is missing" in done.stderr
    assert (tmp_path / "again.pdf").read_bytes() == before


def test_it_goes_to_stdout_or_a_printer_as_well(
    run: Run, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    service = fake_service(tmp_path_factory.mktemp("cups"), "office")
    run("job", SPEC, *SOCKET, "-o", "x.pdf")
    done = run("again", "x.pdf", "--print", "office", PATH=service.path)
    assert done.stdout.startswith("sent to office: 1 page, A4")
    assert service.jobs[0][1] == (tmp_path / "x.pdf").read_bytes()
    assert '"spec"' in run("again", "x.pdf", "-o", "y.pdf", "--json").stdout


@each(
    "command",
    [
        "rm -rf x", "turnband", "turnband page", "turnband printer remove office", "turnband again x.pdf",
        "turnband defaults set paper letter", "turnband job 90° --points 12 --drive 1/2 --print office",
        "turnband job 90° --points 12 --drive 1/2 --open", "turnband set --template list.csv", "turnband job 'x",
        "turnband set /etc/passwd", "turnband set ../list.csv", "turnband set list.csv --sockets /etc/passwd",
        "turnband job --help", "turnband job -h", "turnband job 90° --newer-option 3", "turnband job -ho y.pdf",
    ],
)  # fmt: skip
def test_a_file_cannot_ask_for_anything_but_pages(
    run: Run, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, command: str
) -> None:
    service = fake_service(tmp_path_factory.mktemp("cups"), "office")
    (tmp_path / "x.svg").write_text(HELD.format(command), "utf-8")
    done = run("again", "x.svg", "-o", "y.pdf", PATH=service.path)
    assert (done.returncode, done.stdout) == (1, "")
    assert "is not one that this version writes" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["x.svg"]
    assert service.jobs == []


def test_a_further_file_is_written_only_where_that_is_said(run: Run, tmp_path: Path) -> None:
    lesson = ("lesson", SPEC, "--points", "12", "--trainees", "1", "--seed", "7")
    run(*lesson, "--key", "key.pdf", "-o", "x.pdf")
    (tmp_path / "key.pdf").write_text("precious")
    done = run("again", "x.pdf", "-o", "y.pdf")
    assert (done.returncode, sorted(path.name for path in tmp_path.iterdir())) == (2, ["key.pdf", "x.pdf"])
    assert "--key key.pdf, a file of its own: say with --key where it goes now" in " ".join(done.stderr.split())
    assert run("again", "x.pdf", "--key", "new.pdf", "-o", "y.pdf").returncode == 0
    assert (tmp_path / "key.pdf").read_text() == "precious"
    assert run("again", "x.pdf", "--without", "key", "-o", "z.pdf").returncode == 0
    run(*lesson, "-o", "w.pdf")
    assert (tmp_path / "z.pdf").read_bytes() == (tmp_path / "w.pdf").read_bytes()


def test_the_file_name_that_a_file_carries_counts_for_nothing(run: Run, tmp_path: Path) -> None:
    line = "turnband disc '90° ±5' --drive 1/2 -o victim.pdf"
    (tmp_path / "x.svg").write_text(HELD.format(line), "utf-8")
    assert run("again", "x.svg", "-o", "y.pdf").returncode == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["x.svg", "y.pdf"]


def test_what_it_means_by_itself_is_not_changed_by_kept_defaults(run: Run, tmp_path: Path) -> None:
    run("job", SPEC, *SOCKET, "-o", "x.pdf")
    for name, value in (("paper", "letter"), ("thread", "left"), ("stock", "0.2 mm"), ("unit", "in")):
        run("defaults", "set", name, value)
    done = run("again", "x.pdf", "-o", "y.pdf")
    assert "your defaults" not in done.stderr
    assert (tmp_path / "x.pdf").read_bytes() == (tmp_path / "y.pdf").read_bytes()


def test_help_tells_what_may_be_different(run: Run) -> None:
    run("job", SPEC, *SOCKET, "-o", "x.pdf")
    shown = run("again", "x.pdf", "--help").stdout
    assert "--without OPTION" in shown
    assert "--opening LENGTH" in shown
    assert "[CHANGED OPTIONS]" in run("again", "--help").stdout


def test_mistakes_are_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "other.pdf").write_bytes(b"%PDF-1.6\n%%EOF\n")
    run("job", SPEC, *SOCKET, "-o", "x.pdf")
    for arguments, words in (
        (("other.pdf", "-o", "y.pdf"), "carries no command"),
        (("none.pdf", "-o", "y.pdf"), "cannot read 'none.pdf': no such file"),
        (("x.pdf", "--without", "wings", "-o", "y.pdf"), "has no option --wings"),
        (("x.pdf", "--sides", "6", "-o", "y.pdf"), "--points"),
        (("--paper", "letter", "x.pdf"), "the file stands first"),
        (("x.pdf", "--od", "27.8 mm", "--around", "87 mm", "-o", "y.pdf"), "--around"),
    ):
        done = run("again", *arguments)
        assert done.returncode in (1, 2)
        assert words in done.stderr
        assert not (tmp_path / "y.pdf").exists()
