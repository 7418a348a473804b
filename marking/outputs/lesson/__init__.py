"""Handout, worksheets, practice pages and answer key of one seed."""

from ...fields import PAGES, POINTS, SPEC, THREAD, TITLE, Field
from .. import Output

USUAL_TRAINEES = 12

TRAINEES = Field(  # our choice: two school classes
    "trainees", "count", "Number of worksheets.", usual=f"as many as {{@names}}, or {USUAL_TRAINEES}", low=1, high=60
)
UNITS = Field(
    "units", "choice", "Screws and torques of the worksheets.", "both", choices=("metric", "inch", "both")
)  # fmt: skip
THREADS = Field(
    "threads", "choice", "Threads of the worksheets; of both, every third is left-hand.", "both",
    choices=("right", "left", "both"),
)  # fmt: skip
NAMES = Field(
    "names", "lines", "Names of the trainees, one a line, or a table with a column “name”: one for each sheet."
)  # fmt: skip
KEY = Field(
    "key", "target", "Put the answer key into a file of its own; else it is the last pages.", example="key.pdf"
)  # fmt: skip
NO_PRACTICE = Field("no_practice", "flag", "Leave out the practice pages: band, mat and protractor card.")
SEED = Field("seed", "count", "Same seed, same worksheets.", 1, low=0, high=999_999)  # six digits: typed without a slip

OUTPUT = Output(
    "lesson",
    __name__,
    """Print a lesson on {@spec}: handout, worksheets, practice pages and answer key.

SPEC is the worked example. Each worksheet has numbers of its own, which are invented; a practice page has a band, a mat
and a protractor card to try them with, and columns for what it should be and what it is. The key shows every result
with its working. An SVG goes to NAME-1.svg, NAME-2.svg, …""",
    (
        SPEC,
        POINTS._replace(required=False, default="12", help="Corners of the worked example's socket."),
        THREAD._replace(help="Thread of the worked example."),
        TRAINEES,
        NAMES,
        UNITS,
        THREADS,
        KEY,
        NO_PRACTICE,
        SEED,
        *PAGES,
        TITLE,
    ),
    (
        'lesson "110 N·m + 90° +10/-0" --trainees 12 --seed 7 --key key.pdf -o lesson.pdf',
        'lesson "60 lb-ft, 1/4 turn ±5" --points 6 --names class.csv --units inch --paper letter -o lesson.pdf',
    ),
)
