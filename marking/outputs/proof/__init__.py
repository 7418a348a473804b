"""The page by which a printer is measured."""

from ...fields import PAPER
from .. import Output

OUTPUT = Output(
    "proof",
    f"{__name__}.sheet",
    """Print a page of lengths to measure, for the printer's true scale.

Print it at 100 %, measure its lengths with a steel rule, and keep them with `turnband printer add`: the page says
how.""",
    (PAPER,),
    ("proof -o proof.pdf", "proof --paper letter -o proof.svg"),
    then="let it rest, then measure A–B and B–C with a steel rule.",
)
