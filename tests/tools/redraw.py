"""Makes everything in samples/ anew: run `python tests/tools/redraw.py` after a change to the sheets, then look."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

SAMPLES = Path(__file__).parents[2] / "samples"
READY = SAMPLES / "ready"

NOBODYS = {"TURNBAND_CONFIG_DIR": os.devnull, "TURNBAND_PRINTER": ""}
"""Samples know nothing of the defaults and printers of whoever draws them."""

PICTURES = {"band.png": (0, (17, 6, 120, 26), 220), "job.png": (0, (0, 0, 210, 297), 90)}
"""Name: page of the first sample, window (left, top, right, bottom) in mm, resolution in dots per inch."""


def commands(text: str) -> list[list[str]]:
    """Return the arguments of every turnband command in the code blocks of a Markdown text."""
    blocks = re.findall(r"^```[a-z]*\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    lines = "\n".join(blocks).replace("\\\n", " ").splitlines()
    return [shlex.split(line)[1:] for line in lines if line.startswith("turnband ")]


def draw_samples() -> None:
    """Run the commands of each README.md of samples where they are, beside the lists that they read."""
    for folder in (SAMPLES, READY):
        for arguments in commands((folder / "README.md").read_text("utf-8")):
            command = [sys.executable, "-m", "turnband", *arguments]
            subprocess.run(command, cwd=folder, check=True, capture_output=True, env=os.environ | NOBODYS)


def picture(name: str, folder: Path) -> Image.Image:
    """Return a window of a page of the first sample as a picture."""
    import pypdfium2

    page, (left, top, right, bottom), dpi = PICTURES[name]
    document = pypdfium2.PdfDocument(folder / "bogie-bracket.pdf")
    whole: Image.Image = document[page].render(scale=dpi / 72, grayscale=True).to_pil()
    document.close()
    px = dpi / 25.4
    return whole.crop((round(left * px), round(top * px), round(right * px), round(bottom * px)))


if __name__ == "__main__":
    draw_samples()
    for name in PICTURES:
        picture(name, SAMPLES).save(SAMPLES / name, optimize=True)
