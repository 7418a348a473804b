"""However a run ends: signals, streams that are full, closed or short of signs, processes that die."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from hostile.signals import family, kills
from kit.commands import Run
from kit.each import each
from marking.printers.store import profiles_path
from turnband.streams import spell_plainly, write_all

SPEC = "110 N·m + 90° +10/-0"
SOCKET = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")
ENDINGS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL)


def turnband(*arguments: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "turnband", *arguments], stderr=subprocess.PIPE, **more
    )


@contextmanager
def long_set(folder: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A run that draws with two processes for some seconds, caught while they draw."""
    rows = "".join(f"B{k},60 N·m + {30 + k}° ±5,12,1/2,{36 + k} mm,99\n" for k in range(10))
    (folder / "list.csv").write_text(f"id,spec,points,drive,od,copies\n{rows}", "utf-8")
    run = subprocess.Popen(
        [sys.executable, "-m", "turnband", "set", "list.csv", "--jobs", "2", "-o", "o.pdf"],
        cwd=folder, start_new_session=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    try:
        while len(family(run.pid)) < 3:
            assert run.poll() is None, "it was done before anything could be tried"
            time.sleep(0.05)
        yield run
    finally:
        for process in family(run.pid):
            os.kill(process, signal.SIGKILL)
        run.communicate()


@pytest.mark.parametrize("sent", ENDINGS[1:])
def test_processes_that_draw_end_with_the_one_that_started_them(tmp_path: Path, sent: signal.Signals) -> None:
    with long_set(tmp_path) as run:
        run.send_signal(sent)
        code = run.wait(10)
        until = time.monotonic() + 5
        while family(run.pid):
            assert time.monotonic() < until, "orphans"
            time.sleep(0.02)
        said = run.communicate()[1].decode()
    if sent == signal.SIGKILL:
        return
    assert (code, said.strip()) == (128 + sent, "Aborted!")
    assert os.listdir(tmp_path) == ["list.csv"]


def test_a_process_that_draws_and_dies_is_said_in_words(tmp_path: Path) -> None:
    with long_set(tmp_path) as run:
        os.kill(max(family(run.pid)), signal.SIGKILL)
        said = run.communicate()[1].decode()
    assert run.returncode == 1
    assert said.startswith("turnband: one of 2 processes that draw ended before its work was done; try again")
    assert os.listdir(tmp_path) == ["list.csv"]


def test_runs_ended_at_random_moments_leave_old_or_new_files_and_nothing_else() -> None:
    assert len(kills(4, seed=2, kinds=("job svg",))) == 4


@pytest.mark.parametrize("sent", ENDINGS[:2])
def test_a_signal_while_the_program_loads_ends_it_like_any_other(tmp_path: Path, sent: signal.Signals) -> None:
    (tmp_path / "click.py").write_text(f"import os\nos.kill(os.getpid(), {int(sent)})\nimport time\ntime.sleep(9)")
    done = turnband("--help", env={**os.environ, "PYTHONPATH": str(tmp_path)}, check=False)
    assert (done.returncode, done.stderr) == (128 + sent, b"Aborted!\n")


def test_a_signal_that_comes_where_python_can_raise_nothing_still_ends_the_run(tmp_path: Path) -> None:
    """A library may have Python call it when a process is forked, as logging does."""
    (tmp_path / "click.py").write_text(
        "import os, signal, time\n"
        "os.register_at_fork(after_in_parent=lambda: os.kill(os.getpid(), signal.SIGTERM))\n"
        "child = os.fork() or os._exit(0)\ntime.sleep(9)\n"
    )
    done = turnband("--help", env={**os.environ, "PYTHONPATH": str(tmp_path)}, check=False)
    assert (done.returncode, done.stderr) == (128 + signal.SIGTERM, b"Aborted!\n")


def test_a_run_that_shall_outlive_its_terminal_does(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(
        "import os, signal\nsignal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "import atexit, click\nreal = click.echo\n"
        "click.echo = lambda *a, **m: (os.kill(os.getpid(), signal.SIGHUP), real(*a, **m))\n"
    )
    done = turnband("explain", SPEC, *SOCKET, env={**os.environ, "PYTHONPATH": str(tmp_path)}, stdout=subprocess.PIPE)
    assert done.returncode == 0
    assert done.stdout


@each("encoding", ["cp1252", "cp437", "ascii", "latin-1", "cp850"])
def test_what_an_encoding_lacks_is_spelled_plainly(encoding: str) -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    spell_plainly(stream)
    stream.write("−5° ±1 × π · “é” … µ Σ\N{SNOWMAN} Ж")
    stream.flush()
    text = raw.getvalue().decode(encoding)
    plain = {"−": "-", "°": " deg", "±": "+/-", "×": "x", "π": "pi", "·": ".", "“": '"', "”": '"', "…": "...", "µ": "u"}
    for sign, spelled in {**plain, "é": "e", "Σ": "sum ", "Ж": "\\u0416", "\N{SNOWMAN}": "\\u2603"}.items():
        try:
            sign.encode(encoding)
        except UnicodeEncodeError:
            assert spelled in text
        else:
            assert sign in text
    assert "?" not in text


def test_a_command_answers_in_ascii_where_it_must(run: Run) -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = turnband("explain", SPEC, *SOCKET, env=environment, stdout=subprocess.PIPE, check=True)
    assert "110 N.m + 90 deg +10/-0" in done.stdout.decode("ascii")
    done = turnband("explain", SPEC, *SOCKET, "--json", env=environment, stdout=subprocess.PIPE, check=True)
    assert json.loads(done.stdout.decode("ascii"))["spec"]["text"] == SPEC, "what would be spelled otherwise is escaped"
    assert f'"text": "{SPEC}"' in run("explain", SPEC, *SOCKET, "--json").stdout


def test_all_of_a_pdf_goes_through_a_stream_that_takes_little_at_a_time() -> None:
    class Short(io.RawIOBase):
        taken = b""

        def write(self, content: object) -> int:
            part = bytes(content)[:7]  # type: ignore[call-overload]
            self.taken += part
            return len(part)

    stream = Short()
    write_all(stream, b"a longer text than seven bytes")
    assert stream.taken == b"a longer text than seven bytes"


@pytest.mark.parametrize(("unbuffered", "arguments"), [("", ("explain",)), ("1", ("job", "-o", "-"))])
def test_a_full_stdout_is_said_in_words(unbuffered: str, arguments: tuple[str, ...]) -> None:
    command, *more = arguments
    with open("/dev/full", "wb") as full:
        environment = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
        done = turnband(command, "110 N·m + 90° ±20", *SOCKET, *more, stdout=full, env=environment, check=False)
    assert done.returncode == 1
    assert done.stderr.decode().startswith("turnband: cannot write to stdout: no space left on device")
    assert done.stderr.count(b"\n") == 1


def test_a_closed_stdout_is_said_in_words() -> None:
    shell = f"{sys.executable} -m turnband proof -o - >&-"
    done = subprocess.run(["sh", "-c", shell], stderr=subprocess.PIPE, check=False)
    assert (done.returncode, done.stderr) == (1, b"turnband: cannot write to stdout: it is closed; use -o FILE\n")


def test_without_a_home_only_printer_profiles_are_refused(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(*_: object, **__: object) -> Path:
        raise RuntimeError("could not determine the home directory")

    monkeypatch.setattr("platformdirs.user_config_path", unknown)
    monkeypatch.delenv("TURNBAND_CONFIG_DIR")
    assert run("explain", SPEC, *SOCKET).returncode == 0
    done = run("explain", SPEC, *SOCKET, "--printer", "office")
    assert done.returncode == 1
    assert done.stderr.startswith("turnband: there is no place for printer profiles: your home folder is not known")
    with pytest.raises(OSError, match="TURNBAND_CONFIG_DIR"):
        profiles_path()


def test_a_deleted_working_folder_does_not_matter_to_a_full_name(tmp_path: Path) -> None:
    (tmp_path / "gone").mkdir()
    shell = 'rmdir ../gone && "$0" -m turnband tape -o "$1"'
    command = ["sh", "-c", shell, sys.executable, str(tmp_path / "o.pdf")]
    subprocess.run(command, cwd=tmp_path / "gone", check=True, stdout=subprocess.PIPE)
    assert (tmp_path / "o.pdf").exists()


def test_a_warning_of_the_library_is_one_of_the_command(run: Run, tmp_path: Path) -> None:
    (tmp_path / "o-3.svg").write_text("old")
    job = ("job", "110 N·m + 90° ±20", *SOCKET, "--with", "disc", "-o", "o.svg")
    done = run(*job)
    assert done.returncode == 0
    assert done.stderr.startswith("turnband: warning: 'o-3.svg' in")
    assert done.stderr.count("\n") == 1, "nothing else is to be warned of"
    done = run(*job, "--json")
    assert json.loads(done.stdout)["files"] == ["o-1.svg", "o-2.svg"]
