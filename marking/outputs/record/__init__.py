"""The record card with the tightening order."""

from ...fields import FLATS, PAGES, PATTERN, ROWS, SPEC, THREAD, TITLE, WITNESS, Field
from .. import Output

FASTENERS = Field("fasteners", "count", "How many fasteners.", low=1, high=200, required=True)

OUTPUT = Output(
    "record",
    __name__,
    """Print a record card for {@spec}, with the tightening order.

It shows a plan of the fasteners and has boxes for each pass and stage. The manual's order comes first: the order on the
card is common practice, for manuals that give none.""",
    (
        SPEC,
        FASTENERS,
        PATTERN,
        ROWS,
        FLATS._replace(group=""),
        THREAD,
        WITNESS,
        *PAGES,
        TITLE._replace(help="Title of the card."),
    ),
    (
        'record "110 N·m + 90° +10/-0" --fasteners 8 -o card.pdf',
        'record "60 lb-ft, 1/4 turn ±5" --fasteners 10 --pattern rows --paper letter -o card.svg',
    ),
)
