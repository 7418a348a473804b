"""The committed samples are what their commands draw today, and the documents' commands work as printed."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pikepdf
import pytest

from kit.commands import Run
from kit.each import each
from tools.redraw import PICTURES, SAMPLES, commands, picture

ROOT = Path(__file__).parent.parent


def pages(path: Path) -> list[tuple[list[float], bytes]]:
    """Size and uncompressed content of every page: two compressors may pack the same page differently."""
    found = []
    with pikepdf.open(path) as document:
        for page in document.pages:
            page.contents_coalesce()
            found.append(([float(x) for x in page.MediaBox], page.Contents.read_bytes()))
    return found


def content(path: Path) -> object:
    return pages(path) if path.suffix == ".pdf" else path.read_bytes()


DRAWN = commands((SAMPLES / "README.md").read_text("utf-8"))
SUFFIXES = (".pdf", ".svg")


def target(arguments: list[str]) -> Path:
    return Path(arguments[arguments.index("-o") + 1])


def made_for(arguments: list[str], folder: Path) -> list[str]:
    """The files that belong to the targets of a command, an SVG's pages with it."""
    targets = [Path(arguments[k + 1]) for k, word in enumerate(arguments) if word in ("-o", "--key")]
    name = re.compile("|".join(rf"{re.escape(one.stem)}(-\d+)?{re.escape(one.suffix)}" for one in targets))
    return sorted(path.name for path in folder.iterdir() if name.fullmatch(path.name))


@pytest.mark.parametrize("arguments", DRAWN, ids=" ".join)
def test_samples_are_what_their_commands_draw_today(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    for path in SAMPLES.glob("*.csv"):
        shutil.copy(path, tmp_path)
    done = run(*arguments)
    assert done.returncode == 0, done.stderr
    names = made_for(arguments, tmp_path)
    assert names
    assert names == sorted(path.name for path in tmp_path.iterdir() if path.suffix != ".csv")
    assert names == made_for(arguments, SAMPLES)
    for name in names:
        assert content(tmp_path / name) == content(SAMPLES / name), name


@each("suffix", SUFFIXES)
def test_there_are_samples_and_none_is_left_over(suffix: str) -> None:
    there = sorted(path.name for path in SAMPLES.glob(f"*{suffix}"))
    assert len(there) >= 3
    assert there == sorted(name for one in DRAWN if target(one).suffix == suffix for name in made_for(one, SAMPLES))


@each("name", PICTURES)
def test_pictures_show_the_samples(name: str) -> None:
    from PIL import Image

    kept = np.asarray(Image.open(SAMPLES / name).convert("L"), dtype=float)
    drawn = np.asarray(picture(name, SAMPLES).convert("L"), dtype=float)
    assert kept.shape == drawn.shape
    assert np.abs(kept - drawn).mean() < 0.5, "of 255 levels of grey"


@each("name", sorted(path.name for path in SAMPLES.glob("*.svg")))
def test_samples_say_that_they_are_demo_data(name: str) -> None:
    assert "demo data, not for real equipment" in (SAMPLES / name).read_text("utf-8")


SHOWN = commands((ROOT / "README.md").read_text("utf-8"))
INSTALLED = [next(one for one in SHOWN if name in one) for name in ("bracket.pdf", "hub.svg", "stock.pdf")]


@pytest.mark.long
@each("arguments", [one for one in SHOWN if one not in INSTALLED])
def test_the_readmes_commands_work_as_printed(run: Run, arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("arguments", INSTALLED, ids=" ".join)
def test_the_installed_command_writes_and_says_what_it_does_in_this_process(
    run: Run, tmp_path: Path, arguments: list[str]
) -> None:
    """A job as PDF and as SVG, and a set, by the program that a user starts: so the other tests may do without it."""
    (tmp_path / "own").mkdir()
    program = Path(sys.executable).with_name("turnband")
    done = subprocess.run(
        [program, *arguments], cwd=tmp_path / "own", capture_output=True, encoding="utf-8", check=False
    )
    here = run(*arguments)
    assert here.returncode == 0, here.stderr
    assert (done.returncode, done.stdout, done.stderr) == (here.returncode, here.stdout, here.stderr)
    written, expected = (
        {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
        for folder in (tmp_path / "own", tmp_path)
    )
    assert written
    assert written == expected


def test_the_readmes_python_works_as_printed(tmp_path: Path) -> None:
    (code,) = re.findall(r"^```python\n(.*?)^```", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE | re.DOTALL)
    subprocess.run([sys.executable, "-c", code], cwd=tmp_path, check=True, capture_output=True)
    assert any(tmp_path.iterdir())


def test_continuous_integration_runs_the_readmes_test_command() -> None:
    readme, script = ((ROOT / name).read_text("utf-8") for name in ("README.md", ".ci/run"))
    (command,) = re.findall(r"^(python3 -m venv .*pytest)$", readme, re.MULTILINE)
    assert command in script


def test_documents_link_to_files_that_exist() -> None:
    for name in ("README.md", "DEVELOPERS.md", "samples/README.md"):
        document = ROOT / name
        for target in re.findall(r"\]\(([^)#]+)\)", document.read_text("utf-8")):
            assert (document.parent / target).exists(), f"{name} links to {target}"
