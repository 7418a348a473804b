"""The wall chart of common turns."""

from ...fields import PAGES, PAPER, THREAD, TITLE
from .. import Output

OUTPUT = Output(
    "chart",
    __name__,
    """Print a wall chart of where common turns end on every opening.

One page with sockets seen from above, degrees as parts of a turn, flats and notches, torque in all units, the method in
short and the cautions. Larger paper enlarges it.""",
    (
        THREAD,
        PAPER._replace(help="a4, letter, a3, legal or a larger WIDTHxHEIGHT."),
        *PAGES[1:],
        TITLE._replace(help="Title of the chart."),
    ),
    ("chart --paper a3 -o chart.pdf", 'chart --thread left --title "Tram depot, bogie bay" -o left.svg'),
)
