"""What the terminal says: what was written and what to do then, warnings and errors in its width."""

from __future__ import annotations

import contextlib
import fcntl
import os
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from kit.commands import Run
from kit.each import each
from turnband.delivery import say_written

SPEC = "110 N·m + 90° +10/-0"
SOCKET = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")
MEASURE = "Print at 100 %, then measure both rulers.\n"


def test_a_file_that_is_replaced_is_said_so(run: Run, tmp_path: Path) -> None:
    (tmp_path / "x-2.svg").touch()
    job = ("job", SPEC, *SOCKET, "--with", "disc", "-o", "x.svg")
    assert run(*job).stdout == f"wrote x-1.svg and replaced x-2.svg: 2 pages, A4. {MEASURE}"
    assert run(*job).stdout == f"replaced x-1.svg, x-2.svg: 2 pages, A4. {MEASURE}"


@pytest.mark.parametrize(
    ("paper", "said"),
    [
        ("letter", f"1 page, Letter. {MEASURE}"),
        ("297x210", f"1 page, A4. {MEASURE}"),
        ("200x300", f"1 page, 200 × 300 mm. {MEASURE}"),
        ("12mm x roll", f"3 pages, 97.7 × 12 mm, 116 × 12 mm. {MEASURE}"),
    ],
)
def test_paper_goes_by_its_name_and_rulers_by_their_number(run: Run, paper: str, said: str) -> None:
    assert run("job", SPEC, *SOCKET, "--paper", paper, "-o", "x.pdf").stdout == f"wrote x.pdf: {said}"


def test_a_corrected_page_goes_by_the_name_of_the_real_paper(run: Run) -> None:
    run("printer", "add", "office", "--x", "159.4 mm", "--y", "240.5 mm")
    for command in (("tape",), ("set", "--turns", "90° ±5", "--points", "6", "--drive", "1/2")):
        assert ", A4. Print" in run(*command, "--printer", "office", "-o", "x.pdf").stdout


def test_many_files_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    names = [f"x-{number}.pdf" for number in range(6)]
    say_written([f"split{os.sep}{name}" for name in names], set(), "6 pages, A4")
    say_written(names, set(names[:5]), "6 pages, A4", "Print.")
    assert capsys.readouterr().out.splitlines() == [
        f"wrote 6 files in split{os.sep}: 6 pages, A4.",
        "wrote x-5.pdf and replaced 5 files in this folder: 6 pages, A4. Print.",
    ]


def test_the_pages_of_all_files_of_a_set_are_counted(run: Run) -> None:
    done = run(
        "set", "--turns", "60° ±8, 90° ±5", "--points", "6", "--drive", "1/4", "--split-by", "turn", "-o", "x.pdf"
    )
    assert done.stdout.endswith(f".pdf: 2 pages, A4. {MEASURE}")


def test_of_a_list_with_faults_the_good_rows_are_counted(run: Run, tmp_path: Path) -> None:
    rows = ["id,spec,points,drive,od", "A,90° ±5,12,1/2,27 mm", "B,90°,5,1/2,27 mm", "C,90° ±5,12,1/2,", "D,90,6,1/2,"]
    (tmp_path / "list.csv").write_text("\n".join(rows), "utf-8")
    assert run("set", "list.csv", "-o", "x.pdf").stdout == ""
    assert run("set", "list.csv", "-o", "x.pdf", "--skip-bad").stdout.startswith(
        "wrote x.pdf: 2 of 4 rows, 2 pages, A4."
    )
    (tmp_path / "list.csv").write_text("\n".join(rows[:2]), "utf-8")
    assert run("set", "list.csv", "-o", "y.pdf", "--skip-bad").stdout == f"wrote y.pdf: 1 page, A4. {MEASURE}"


def on_terminal(columns: int, *arguments: str) -> list[str]:
    """What a command says on a terminal of a width."""
    master, slave = os.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    command = [sys.executable, "-m", "turnband", *arguments]
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=slave, check=False)
    os.close(slave)
    said = b""
    with contextlib.suppress(OSError):  # the end of a pseudo-terminal on Linux
        while chunk := os.read(master, 4096):
            said += chunk
    os.close(master)
    return said.decode().splitlines()


def test_messages_are_wrapped_at_words_on_a_terminal_only(run: Run) -> None:
    warned = ("explain", SPEC, *SOCKET[:-1], "16 mm")
    sentences = run(*warned).stderr.splitlines()
    assert max(map(len, sentences)) > 100, "one line a message where scripts read"
    lines = on_terminal(60, *warned)
    assert max(map(len, lines)) <= 60
    assert "\n".join(lines).replace("\n  ", " ").split("\n") == sentences


def test_the_caret_stays_where_it_points(run: Run) -> None:
    refused = ("explain", "110 N·m + 90° +2, and more words than fit on forty columns", *SOCKET)
    lines = on_terminal(40, *refused)
    assert lines[1:3] == run(*refused).stderr.splitlines()[1:3]
    assert lines[2].strip() == "^"
    assert max(map(len, lines[3:])) <= 40


@each("command", ["mat", "explain", "job"])
def test_advice_names_only_commands_and_options_that_there_are(run: Run, command: str) -> None:
    spec = "10 N·m + 90° +10/-0"
    files = () if command == "explain" else ("-o", "x.pdf")
    said = run(command, spec, "--drive", "1/4", "--points", "6", "--od", "7 mm", *files).stderr
    words = " ".join(said.split())
    assert "which turnband disc prints" in words
    assert "--with" not in words
    assert run("disc", spec, "--drive", "1/4", "-o", "d.pdf").returncode == 0
