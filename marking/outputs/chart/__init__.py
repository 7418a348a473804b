"""The wall chart of common turns."""

from typing import Any

from ...fastening.hand import read_thread
from ...fields import PAGES, PAPER, THREAD, TITLE
from .. import Output

BOTH = "both"


def read_threads(text: Any) -> str:
    """Read the hand of a thread, or "both". Raises what `read_thread` raises."""
    return BOTH if isinstance(text, str) and text.strip().casefold() == BOTH else read_thread(text)


OUTPUT = Output(
    "chart",
    __name__,
    """Print a wall chart of where common turns end on every opening.

A page with sockets seen from above, degrees as parts of a turn, flats and notches, torque in all units, the method in
short and the cautions; a page for each thread with {@thread} both. Larger paper enlarges it.""",
    (
        THREAD._replace(
            choices=(*THREAD.choices, BOTH), reader=read_threads, help=f"{THREAD.help} Both: a page for each."
        ),
        PAPER._replace(help="a4, letter, a3, tabloid, legal or a larger WIDTHxHEIGHT."),
        *PAGES[1:],
        TITLE._replace(help="Title of the chart."),
    ),
    (
        "chart --paper a3 -o chart.pdf",
        'chart --thread left --title "Tram depot, bogie bay" -o left.svg',
        "chart --thread both --paper tabloid -o charts.pdf",
    ),
)
