"""The committed samples are what their commands draw today, and the documents' commands work as printed."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from redraw import PICTURES, SAMPLES, commands, draw_samples, picture

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def redrawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("samples")
    draw_samples(folder)
    return folder


def drawn(folder: Path, suffix: str) -> list[str]:
    return sorted(path.name for path in folder.glob(f"*{suffix}"))


@pytest.mark.parametrize("suffix", [".pdf", ".svg"])
def test_there_are_samples_and_none_is_left_over(redrawn: Path, suffix: str) -> None:
    assert drawn(SAMPLES, suffix) == drawn(redrawn, suffix)
    assert len(drawn(redrawn, suffix)) >= 3


@pytest.mark.parametrize("name", drawn(SAMPLES, ".svg"))
def test_svg_samples_are_what_is_drawn_today(redrawn: Path, name: str) -> None:
    assert (SAMPLES / name).read_bytes() == (redrawn / name).read_bytes()


def pages(path: Path) -> list[tuple[list[float], bytes]]:
    """Size and uncompressed content of every page: two compressors may pack the same page differently."""
    found = []
    with pikepdf.open(path) as document:
        for page in document.pages:
            page.contents_coalesce()
            found.append(([float(x) for x in page.MediaBox], page.Contents.read_bytes()))
    return found


@pytest.mark.parametrize("name", drawn(SAMPLES, ".pdf"))
def test_pdf_samples_are_what_is_drawn_today(redrawn: Path, name: str) -> None:
    assert pages(SAMPLES / name) == pages(redrawn / name)


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_show_the_samples_of_today(redrawn: Path, name: str) -> None:
    from PIL import Image

    kept = np.asarray(Image.open(SAMPLES / name).convert("L"), dtype=float)
    today = np.asarray(picture(name, redrawn).convert("L"), dtype=float)
    assert kept.shape == today.shape
    assert np.abs(kept - today).mean() < 0.5, "of 255 levels of grey"


@pytest.mark.parametrize("name", drawn(SAMPLES, ".svg"))
def test_samples_say_that_they_are_demo_data(name: str) -> None:
    assert "demo data, not for real equipment" in (SAMPLES / name).read_text("utf-8")


@pytest.mark.parametrize("arguments", commands((ROOT / "README.md").read_text("utf-8")), ids=" ".join)
def test_the_readmes_commands_work_as_printed(tmp_path: Path, arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "turnband", *arguments], cwd=tmp_path, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr.decode()


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
