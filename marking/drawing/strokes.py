"""The look of every role: width, dash and grey of its stroke."""

from __future__ import annotations

from typing import Literal, NamedTuple, get_args


class Stroke(NamedTuple):
    """Line width and dash pattern in mm; `grey` from 0 (black) to 1 (white), or a colour as red, green and blue."""

    width_mm: float
    dash_mm: tuple[float, ...] = ()
    grey: float = 0.0
    colour: tuple[float, float, float] | None = None


HAIR, FINE, THIN, STRONG = Stroke(0.12), Stroke(0.15), Stroke(0.25), Stroke(0.35)

CUT = Stroke(0.15, (1.6, 0.8))

Layer = Literal["cut", "fold", "mark", "text"]
"""What becomes of a thing at a machine: cut through, scored for a fold, or engraved, as a mark or as a letter."""

STROKES: dict[str, Stroke] = {
    "start": STRONG, "stop-low": STRONG, "stop-high": STRONG, "stop": STRONG, "zero": STRONG,
    "row-mark": Stroke(0.6),
    "ends-low": STRONG, "ends-high": STRONG, "ends": STRONG, "ends-bracket": STRONG,
    "aim": Stroke(0.3, (2.6, 0.7, 0.4, 0.7)),
    "hatch": HAIR,
    "corner": THIN, "mid-flat": FINE, "degree": FINE,
    "drive-edge": CUT, "fastener-edge": CUT, "seam": CUT, "tab-edge": CUT, "cut": CUT,
    "inner-edge": CUT, "outer-edge": CUT, "bore": CUT, "tab-line": CUT, "slit": CUT, "square-hole": CUT,
    "row": Stroke(0.12, (), 0.45), "degree-guide": Stroke(0.12, (0.5, 0.9), 0.3),
    "closure": Stroke(0.15, (0.3, 0.5)), "ok-bracket": Stroke(0.6, (0.6, 0.6)), "closure-scale": FINE,
    "splice": THIN, "splice-edge": CUT,
    "underline": THIN, "arrow": THIN, "witness": Stroke(0.2), "fold": Stroke(0.2, (0.3, 0.7)),
    "cut-line": Stroke(0.1, colour=(1, 0, 0)),
    "fold-line": Stroke(0.1, colour=(0, 0, 1)), "dash": THIN,
    "graduation": FINE, "vernier": FINE, "index": THIN, "reading-edge": HAIR, "scale-line": HAIR,
    "enlarged": THIN, "enlarged-index": Stroke(0.5),
    "ruler-x": FINE, "ruler-y": FINE,
    "proof-x": FINE, "proof-y": FINE, "proof-diagonal": FINE, "proof-cross": FINE,
    "od-circle": FINE, "od-circle-fine": Stroke(0.12, (), 0.5), "own-circle": STRONG, "leader": FINE,
    "socket": Stroke(0.5), "opening": Stroke(0.25, (1.4, 0.7)), "drive-square": Stroke(0.25, (), 0.45),
    "turn": STRONG, "turn-leader": FINE,
    "rule": Stroke(0.15, (), 0.35), "rule-strong": THIN, "box": FINE,
    "axis": FINE, "axis-tick": FINE, "guide": Stroke(0.12, (0.5, 0.9), 0.3), "stage-end": FINE, "key-edge": STRONG,
    "low-friction": Stroke(0.4), "high-friction": Stroke(0.4, (2.0, 0.9)), "tensile-load": THIN,
    "yield-load": Stroke(0.25, (0.5, 0.7)), "torque-snug": Stroke(0.15, (3.0, 0.7, 0.5, 0.7)), "torque-alone": FINE,
    "tension-range": Stroke(1.0, (), 0.45), "tension-end": THIN,
    "card-edge": Stroke(0.6, (4.0, 1.6)),
    "fastener": THIN, "part-outline": Stroke(0.15, (), 0.35), "box-strong": STRONG,
}  # fmt: skip
"""How each role of stroke looks: cut lines dashed, aims dash-dot, marks 0.35 mm, ticks 0.25 and 0.15, hatch 0.12 mm."""

CUTS = frozenset(
    {
        "drive-edge", "fastener-edge", "seam", "tab-edge", "cut", "inner-edge", "outer-edge", "slit", "square-hole",
        "splice-edge", "reading-edge", "card-edge", "cut-line",
    }
)  # fmt: skip
"""The roles of lines that scissors follow. A row or a bore, of which each socket has its own, is for the hand alone."""

FOLDS = frozenset({"fold", "fold-line"})

LAYERS: tuple[Layer, ...] = get_args(Layer)


def layer_of(role: str) -> Layer:
    """Return the layer of a stroke or fill by its role."""
    return "cut" if role in CUTS else "fold" if role in FOLDS else "mark"
