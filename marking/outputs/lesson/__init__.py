"""Handout, worksheets and answer key of one seed."""

from ...fields import PAGES, POINTS, SPEC, THREAD, TITLE, Field
from .. import Output

TRAINEES = Field("trainees", "count", "Number of worksheets.", 12, low=1, high=60)  # our choice: two school classes
SEED = Field("seed", "count", "Same seed, same worksheets.", 1, low=0, high=999_999)  # six digits: typed without a slip

OUTPUT = Output(
    "lesson",
    __name__,
    """Print a lesson on {@spec}: handout, worksheets and answer key.

SPEC is the worked example. Each worksheet has numbers of its own, which are invented; the key shows every result with
its working. An SVG goes to NAME-1.svg, NAME-2.svg, …""",
    (
        SPEC,
        POINTS._replace(required=False, default="12", help="Corners of the worked example's socket."),
        THREAD._replace(help="Thread of the worked example."),
        TRAINEES,
        SEED,
        *PAGES,
        TITLE,
    ),
    (
        'lesson "110 N·m + 90° +10/-0" --trainees 12 --seed 7 -o lesson.pdf',
        'lesson "60 lb-ft, 1/4 turn ±5" --points 6 --thread left --paper letter -o lesson.pdf',
    ),
)
