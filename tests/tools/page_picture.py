"""Takes samples/page.png anew: run `PYTHONPATH=tests python tests/tools/page_picture.py`, then look.

It needs Chromium and the extra `browser`.
"""

from __future__ import annotations

import io
import os
import tempfile
from pathlib import Path

from PIL import Image

from kit.browser import chromium
from kit.served import served
from turnband.page.forms import example_query

PICTURE = Path(__file__).parents[2] / "samples" / "page.png"
WIDTH_PX, HEIGHT_PX = 1300, 1240


def main() -> None:
    """Take what a window of that size shows of the first example."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["TURNBAND_CONFIG_DIR"] = folder  # no printers of whoever runs it
        with served() as address, chromium() as browser:
            page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
            page.goto(f"{address}/job?{example_query('job')}")
            page.wait_for_load_state("networkidle")
            taken = page.screenshot()
    Image.open(io.BytesIO(taken)).convert("L").quantize(16).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
