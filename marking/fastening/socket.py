"""The socket that carries the band: points, drive, opening, outside diameter, and whether it can exist."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal, NamedTuple

from ..errors import RangeError, SocketError, shown, within
from ..quantities.angles import od_from_around_mm
from ..quantities.parse import Length, computed_length, parse_length
from ..quantities.scanner import Scanner
from ..quantities.shown import shown_length
from ..quantities.units import MM_PER_IN, Given
from ..tables import rows
from .opening import Opening, opening_of

UNITS = ("mm", "in")
OdSource = Literal["measured", "around"]

MIN_OD_MM, MAX_OD_MM = 8.0, 300.0
"""Limits of our own choosing: below, no window is legible; above, a strip is no longer the tool for the job."""

DEFAULT_STOCK_MM = 0.1
"""Ordinary office paper of 80 g/m² is about 0.1 mm thick (common practice, no published source)."""

MAX_STOCK_MM = 1.0

SAME_SIZE_MM = 0.03
"""Widths across flats this close name the same nominal size (3/4 in is 19.05 mm, not 19 mm; the inch tables
round to 0.001 in)."""


class Drive(NamedTuple):
    """A driving square of ISO 1174-1: trade name in inches, nominal size and largest male square in mm."""

    inch: str
    nominal_mm: float
    male_max_mm: float

    @property
    def size_in(self) -> float:
        """The size in inches as a number: 0.5 for "1/2"."""
        return float(_inches(self.inch))

    @property
    def diagonal_mm(self) -> float:
        """The diagonal of the largest male square."""
        return self.male_max_mm * math.sqrt(2)


def _inches(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return Fraction(whole or 0) + Fraction(part)


DRIVES = tuple(Drive(row["inch"], float(row["nominal_mm"]), float(row["male_max_mm"])) for row in rows("drive_squares"))


@lru_cache(maxsize=256)
def parse_drive(text: str) -> Drive:
    """Read a drive by its inch name or its nominal in mm: `1/2`, `1/2 in`, `½"`, `12.5`, `12.5 mm`.

    Raises TextInputError for what cannot be read, SocketError for a size that no drive has.
    """
    scan = Scanner(text, "drive", example="1/2")
    value, tidy = scan.number("a drive such as 1/2")
    names = [f"{drive.inch} in ({drive.nominal_mm:g})" for drive in DRIVES]
    expected = f"one of {', '.join(names)}"
    if scan.at_end():
        wanted, units = float(value), "in or mm"
    else:
        length = parse_length(text, "drive")
        wanted, units = length.mm / MM_PER_IN if length.unit == "in" else length.mm, length.unit
    for drive in DRIVES:
        if "in" in units and math.isclose(wanted, drive.size_in, rel_tol=1e-6):
            return drive
        if "mm" in units and math.isclose(wanted, drive.nominal_mm, rel_tol=1e-6):
            return drive
    raise SocketError(f"no drive has the size {tidy}", expected, value=text, field="drive")


class Play(NamedTuple):
    """How far a fastener turns freely in the opening, degrees each way, at the worst of the tables' limits."""

    deg: float
    opening_max_mm: float
    fastener_min_mm: float
    fastener: str


@dataclass(frozen=True)
class Socket:
    """A socket. `od_mm` is its outside diameter where the band sits; `drive_end_mm` that of its drive end.

    `od_source` is "measured" or "around" (from a strip of the same stock). Raises SocketError or RangeError for a
    socket that cannot exist.
    """

    points: int
    drive: Drive
    od_mm: float
    od_source: OdSource = "measured"
    opening: Length | None = None
    drive_end_mm: float | None = None
    unit: str = "mm"

    def __post_init__(self) -> None:
        opening_of(self.points)
        if self.unit not in UNITS:
            raise RangeError(f"the unit is {shown(self.unit)}", " or ".join(UNITS), value=self.unit, field="unit")
        field = "od" if self.od_source == "measured" else "around"
        within(
            "the outside diameter is {}", self.od_mm, MIN_OD_MM, MAX_OD_MM, field, self._shown,
            advice="check {@od} or {@around}",
        )  # fmt: skip
        corners_mm = self.shape.across_corners_mm(self.opening.mm) if self.opening else 0.0
        if self.opening and self.od_mm <= corners_mm:
            raise SocketError(
                f"an outside diameter of {self._shown(self.od_mm)} cannot hold an opening of {self.opening.text}",
                f"more than {self._shown(corners_mm)}, the opening across its corners",
                "check {@od} (outside) and {@opening} (across flats)",
                self.od_mm,
                "opening",
            )
        end_mm = self.od_mm if self.drive_end_mm is None else self.drive_end_mm
        if end_mm <= self.drive.diagonal_mm:
            given = self.drive_end_mm is not None
            raise SocketError(
                f"a {'drive end' if given else 'socket'} of {self._shown(end_mm)} cannot hold a "
                f"{self.drive.inch} in drive square",
                f"more than {self._shown(self.drive.diagonal_mm)}, the diagonal of the square",
                "check {@drive} and {@drive_end}"
                if given
                else "check {@drive} and {@od}; if the socket is thicker at its drive end, give that with {@drive_end}",
                end_mm,
                "drive",
            )

    @property
    def shape(self) -> Opening:
        """The kind of its opening."""
        return opening_of(self.points)

    def play(self) -> Play | None:
        """Return the largest play that the opening and hexagon tables allow, or None when they lack the size."""
        if self.opening is None or self.shape.sides != 6:
            return None
        mm = self.opening.mm
        openings = [r for r in rows("socket_openings") if abs(float(r["nominal_mm"]) - mm) < 1e-3]
        fasteners = [r for r in rows("hexagons") if abs(float(r["s_max_mm"]) - mm) < SAME_SIZE_MM]
        if not openings or not fasteners:
            return None
        widest = max(float(r["max_mm"]) for r in openings)
        slimmest = min(fasteners, key=lambda r: float(r["s_min_mm"]))
        narrow = float(slimmest["s_min_mm"])
        name = f"{slimmest['standard']} {slimmest['size']}"
        return Play(self.shape.play_deg(widest, narrow), widest, narrow, name)

    def printed(self) -> str:
        """The socket in words: "12-point · 1/2 in drive · 19 mm · OD 27.8 mm"."""
        opening = [self.opening.text] if self.opening else []
        return " · ".join([f"{self.points}-point", f"{self.drive.inch} in drive", *opening, self.od_text])

    @property
    def od(self) -> Length:
        """The outside diameter."""
        return computed_length(self.od_mm, self.unit)

    @property
    def od_text(self) -> str:
        """The outside diameter in words: "OD 27.8 mm"."""
        return f"OD {self.od.text}"

    def _shown(self, mm: float) -> str:
        return shown_length(mm, self.unit)


def parse_socket(
    points: int,
    drive: str,
    *,
    od: Given | Length | None = None,
    around: Given | None = None,
    opening: Given | None = None,
    drive_end: Given | Length | None = None,
    stock_mm: float = DEFAULT_STOCK_MM,
    unit: str | None = None,
) -> Socket:
    """Return the socket described by texts, lengths also as quantities; exactly one of `od` and `around` must be given.

    `around` is the length at which a strip of the same stock just closes round the socket. `unit` ("mm" or "in") is
    the unit that computed lengths are shown in; by default that of the OD. Raises TextInputError, RangeError or
    SocketError.
    """
    sizes = ((od, "od"), (around, "around"))
    given = [(size, subject) for size, subject in sizes if size is not None]
    if len(given) != 1:
        raise SocketError(
            "the socket needs its outside diameter or the length round it",
            "one of the two",
            'give {@od} "27.8 mm" (callipers) or {@around} "87.6 mm" (a strip of the same paper)',
            field="od",
        )
    size = parse_length(*given[0])
    od_mm = size.mm if od is not None else od_from_around_mm(size.mm, stock_mm)
    return Socket(
        points=points,
        drive=parse_drive(drive),
        od_mm=od_mm,
        od_source="measured" if od is not None else "around",
        opening=parse_length(opening, "opening") if opening is not None else None,
        drive_end_mm=parse_length(drive_end, "drive_end").mm if drive_end is not None else None,
        unit=unit or size.unit,
    )


def parse_stock(text: Given | None) -> float:
    """Return the thickness of the printed material in mm from its text, or the default for None."""
    if text is None:
        return DEFAULT_STOCK_MM
    stock = parse_length(text, "stock")
    if stock.mm > MAX_STOCK_MM:
        raise RangeError(
            f"the stock is {stock.text} thick", f"at most {MAX_STOCK_MM:g} mm", value=stock.mm, field="stock"
        )
    return stock.mm
