"""How long sets take, against a bare loop that draws the same lines and texts one call at a time.

Run `python tests/bench/sets.py [rows]` (2000 by default). All figures come from one run on one machine; what
counts are the ratios. Memory is the peak of a process of its own; up to some 5,000 rows it also fills what is kept at
hand however long a list is (outlines of 4,096 items, widths of words: 10 MB). From some 2,600 rows on diameters come
again, so that sockets have several bands and are laid out in blocks.
"""

from __future__ import annotations

import gc
import io
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable
from dataclasses import replace

from marking.drawing.primitives import Arc, Line, Page, Polyline, Text, primitives
from marking.files.pdf import PT_PER_MM, write_pdf
from marking.lists.items import Item
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import plan_set
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper


def different(count: int) -> list[Item]:
    """Bands that all differ: by spec, points and diameter."""
    return [
        Item(
            id=f"B{k:05d}",
            spec=f"{60 + k % 40} N·m + {40 + k % 80}° ±{4 + k % 5}",
            points=(6, 12)[k % 2],
            drive="1/2",
            opening=None,
            od=f"{20 + (k * 37 % 2600) * 0.01:.2f} mm",
            around=None,
            row=k + 2,
        )
        for k in range(count)
    ]


def whole(items: list[Item], jobs: int = 1) -> tuple[float, int]:
    """Seconds from items to the PDF file, and how many bytes it has; nothing planned before counts."""
    with tempfile.TemporaryFile() as file:
        begin = time.perf_counter()
        write_pdf(set_document(plan_set(items, SetOptions(Paper(*SIZES["a4"])), jobs), jobs), file)
        return time.perf_counter() - begin, file.tell()


def bare(pages: Iterable[Page]) -> float:
    """Seconds of a loop that calls the canvas once for each line, shape and text of the pages."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 1  # as the library comes
    canvas = Canvas(io.BytesIO(), invariant=1, pageCompression=1)
    pages = list(pages)
    begin = time.perf_counter()
    for page in pages:
        canvas.setPageSize((page.width_mm * PT_PER_MM, page.height_mm * PT_PER_MM))
        for placed in page.placed:
            x, y = placed.x, placed.y
            for item in primitives(placed.drawing.content):
                if isinstance(item, Line):
                    ends = (x + item.x1, y + item.y1, x + item.x2, y + item.y2)
                    canvas.line(*(end * PT_PER_MM for end in ends))
                elif isinstance(item, Text):
                    canvas.setFont(f"turnband-{item.weight}", item.size_pt)
                    canvas.drawString((x + item.x) * PT_PER_MM, (y + item.y) * PT_PER_MM, item.text)
                elif isinstance(item, Polyline):
                    path = canvas.beginPath()
                    for number, (px, py) in enumerate(item.points):
                        (path.lineTo if number else path.moveTo)((x + px) * PT_PER_MM, (y + py) * PT_PER_MM)
                    canvas.drawPath(path, stroke=int(item.fill is None), fill=int(item.fill is not None))
                elif isinstance(item, Arc):
                    canvas.circle((x + item.cx) * PT_PER_MM, (y + item.cy) * PT_PER_MM, item.radius * PT_PER_MM)
        canvas.showPage()
    canvas.save()
    return time.perf_counter() - begin


def own_peak_mb() -> float:
    """Peak memory of this process: of its own, not of the one that started it, which rusage would count in."""
    with open("/proc/self/status", encoding="ascii") as status:
        return next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmHWM"))


def peak_mb(count: int) -> float:
    """Peak memory in MB of a process that makes a set of `count` different bands."""
    done = subprocess.run([sys.executable, __file__, "--peak", str(count)], capture_output=True, text=True, check=True)
    return float(done.stdout.split()[-1])


def main(count: int) -> None:
    gc.set_threshold(100_000)  # as the command line does
    whole(different(20))  # loads everything once
    items = different(count)
    ours, size = whole(items)
    document = set_document(plan_set(items, SetOptions(Paper(*SIZES["a4"]))))
    loop = bare(document.pages)
    print(f"{count} different bands: {ours:.2f} s, bare loop {loop:.2f} s, ratio {ours / loop:.2f} (limit 0.8)")
    copies, _ = whole([replace(items[0], copies=count)])
    print(f"{count} copies of one: {copies:.2f} s, bare loop {loop:.2f} s, {loop / copies:.1f} times faster (limit 10)")
    two, _ = whole(items, jobs=2)
    print(f"two processes: {two:.2f} s, {ours / two:.2f} times faster")
    (few, small), (many, large) = whole(different(count // 2)), whole(different(count * 5))
    print(f"{count * 5} rows against {count // 2}: {many / few:.2f} times the time for 10 times the rows (limit 10.5)")
    low, high = peak_mb(count // 2), peak_mb(count * 5)
    print(f"peak memory: {low:.0f} MB and {high:.0f} MB (limit 400 MB): {high - low:.0f} MB more for a file that is")
    print(f"{(large - small) / 1e6:.1f} MB larger ({size / 1e6:.1f} MB for {count} rows)")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--peak"]:
        whole(different(int(sys.argv[2])))
        print(own_peak_mb())
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
