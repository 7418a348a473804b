"""What any strip is drawn from: the rows of its marks and words, and the room they need."""

from __future__ import annotations

from typing import Protocol

from ..marks.places import Feature
from ..marks.stage_marks import StageMarks, stage_arc

TAB_MM = 10.0

TOP_MARGIN = 0.7

ROW_PITCH_MM, LEAST_ROW_PITCH_MM = 2.5, 2.0

SIDE = 0.9
"""Least distance of a text from a mark or a cut line, in mm."""

LABEL_PT = 5.5


class StripLayout(Protocol):
    """What a strip is laid out from; heights y are in mm above the fastener edge."""

    @property
    def height_mm(self) -> float:
        """Height of the strip."""

    @property
    def clockwise(self) -> bool:
        """True when the socket turns clockwise, seen from its drive end."""

    @property
    def features(self) -> tuple[Feature, ...]:
        """Corners and mid-flats."""

    @property
    def stages(self) -> tuple[StageMarks, ...]:
        """The stop marks."""

    @property
    def spec_line(self) -> str:
        """The spec in words."""

    @property
    def socket_line(self) -> str:
        """The socket in words."""

    @property
    def foot_mm(self) -> float:
        """Where START's flag points to."""

    @property
    def edge_notes(self) -> tuple[str, ...]:
        """Words for the edge at the fastener, the longest first."""

    @property
    def number_rows_mm(self) -> tuple[float, ...]:
        """Baselines of the rows of numbers: corners first, then degrees if there is room for them."""

    @property
    def text_bottom_mm(self) -> float:
        """Where the words begin."""

    def x_of(self, deg: float, y: float = 0.0) -> float:
        """Where an angle lies at height y."""

    def ends(self, y: float) -> tuple[float, float]:
        """Where the strip begins and ends at height y."""

    def reserved(self, y: float) -> tuple[float, float] | None:
        """Space at height y that is taken by something else."""


def span(plan: StripLayout, stage: StageMarks, y: float = 0.0) -> tuple[float, float]:
    """Return the left and right end of a stage's stop marks at height y."""
    begin, arc = stage_arc(stage.stage)
    a, b = plan.x_of(begin, y), plan.x_of(begin + arc, y)
    return min(a, b), max(a, b)


def row_counts(plan: StripLayout) -> range:
    """Return how many rows of words to try: at least those of the numbers, at most what is legible."""
    room_mm, least = plan.height_mm - TOP_MARGIN - plan.text_bottom_mm, len(plan.number_rows_mm)
    most = max(least, int(room_mm / LEAST_ROW_PITCH_MM))
    return range(min(most, max(least, round(room_mm / ROW_PITCH_MM))), most + 1)
