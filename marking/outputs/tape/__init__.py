"""The diameter tape."""

from ...fields import PAGES, STOCK, Field
from .. import Output

OUTPUT = Output(
    "tape",
    __name__,
    """Print a paper tape that reads a socket's outside diameter (OD).

Wrapped round the socket it reads the OD to 0.1 mm or 0.005 in, ready for the option --od of the other commands. A long
tape comes in pieces to glue together. An SVG of several pages goes to NAME-1.svg, NAME-2.svg, …""",
    (
        Field("low", "length", "Smallest OD to read.", "8 mm", option="--from"),
        Field("high", "length", "Largest OD to read.", "60 mm", option="--to"),
        Field("unit", "choice", "Unit of the graduations.", usual="that of {@low}", choices=("mm", "in"), kept=True),
        STOCK,
        *PAGES,
    ),
    (
        "tape -o tape.pdf",
        'tape --from "3/8 in" --to "2 in" --paper letter -o tape.pdf',
        'tape --from "60 mm" --to "120 mm" --stock "0.2 mm" -o large.svg',
    ),
)
