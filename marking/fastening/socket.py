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
from .hexagons import parse_opening
from .opening import Opening, opening_of

UNITS = ("mm", "in")
OdSource = Literal["measured", "around"]

MIN_OD_MM, MAX_OD_MM = 6.0, 300.0
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
        whole, _, part = self.inch.rpartition("-")
        return float(Fraction(whole or 0) + Fraction(part))

    @property
    def usual_ods_mm(self) -> tuple[float, float]:
        """The range of ODs that sockets of the drive usually have."""
        return USUAL_ODS_MM[self.inch]

    @property
    def usual_torque_nm(self) -> float:
        """The largest torque of hand tools with this square, as far as known: endless otherwise."""
        return _USUAL_TORQUES_NM.get(self.inch, math.inf)

    def usual_od(self, mm: float) -> bool:
        """Tell whether sockets of the drive usually have such an OD."""
        low, high = self.usual_ods_mm
        return low <= mm <= high


_USUAL_TORQUES_NM = {row["inch"]: float(row["tool_max_nm"]) for row in rows("drive_torques")}

USUAL_ODS_MM = {
    "1/4": (6.5, 21.0), "3/8": (9.0, 33.0), "1/2": (12.5, 48.0), "3/4": (24.0, 76.0), "1": (36.0, 110.0),
    "1-1/2": (54.0, 150.0),
}  # fmt: skip
"""ODs that sockets of a drive usually have (our choice, from memory: from the slimmest to what workshops have)."""

MM_NAMES = {
    "1/4": (6.3, 6.35), "3/8": (9.5, 9.525, 10.0), "1/2": (12.5, 12.7), "3/4": (19.0, 19.05, 20.0),
    "1": (25.0, 25.4), "1-1/2": (38.0, 38.1, 40.0),
}  # fmt: skip
"""What drives are called in mm: their nominal size (ISO 1174-1), and the inch size exactly or rounded."""

DRIVES = tuple(Drive(row["inch"], float(row["nominal_mm"]), float(row["male_max_mm"])) for row in rows("drive_squares"))


@lru_cache(maxsize=256)
def parse_drive(text: str) -> Drive:
    """Read a drive by its inch name, or its nominal or true size in mm: `1/2`, `1/2 in`, `½"`, `12.5`, `12.7 mm`.

    Raises TextInputError for what cannot be read, SocketError for a size that no drive has.
    """
    scan = Scanner(text, "drive", example="1/2")
    value, tidy = scan.number("a drive such as 1/2")
    if scan.at_end():
        wanted, units = float(value), "in or mm"
    else:
        length = parse_length(text, "drive")
        wanted, units = length.mm / MM_PER_IN if length.unit == "in" else length.mm, length.unit
    for drive in DRIVES:
        if "in" in units and math.isclose(wanted, drive.size_in, rel_tol=1e-6):
            return drive
        if "mm" in units and any(math.isclose(wanted, mm, rel_tol=1e-6) for mm in MM_NAMES[drive.inch]):
            return drive
    known = ", ".join(f"{drive.inch} in ({drive.nominal_mm:g})" for drive in DRIVES)
    raise SocketError(f"no drive has the size {tidy}", f"one of {known}", value=text, field="drive")


class Play(NamedTuple):
    """How far a fastener turns freely in the opening, degrees each way, at the worst of the tables' limits."""

    deg: float
    fastener: str
    opening_max_mm: float
    fastener_min_mm: float

    @property
    def sideways_mm(self) -> float:
        """How far the socket moves sideways on the fastener, each way: half the largest gap between their flats."""
        return (self.opening_max_mm - self.fastener_min_mm) / 2


@dataclass(frozen=True)
class Socket:
    """A socket. `od_mm` is its outside diameter where the band sits, `around` the length round it where that was given.

    `hexagon` names the fastener from whose thread size the opening was looked up. Raises SocketError or RangeError for
    a socket that cannot exist. What only looks odd is for `sanity`: a socket may be slimmer at its mouth than its
    drive's square.
    """

    points: int
    drive: Drive
    od_mm: float
    around: Length | None = None
    opening: Length | None = None
    hexagon: str = ""
    unit: str = "mm"

    def __post_init__(self) -> None:
        opening_of(self.points)
        if self.unit not in UNITS:
            raise RangeError(f"the unit is {shown(self.unit)}", " or ".join(UNITS), value=self.unit, field="unit")
        if MIN_OD_MM <= self.od_mm <= MAX_OD_MM and (self.wall_mm is None or self.wall_mm > 0):
            return
        given = "an" if self.around is None else f"{self.around.text} round the socket make an"
        check = "{@od} (outside)" if self.around is None else "{@around} (round the socket)"
        advice = f"check {check} and {{@opening}} (across flats)" if self.opening else f"check {check}"
        if self.like_a_diameter and self.around:
            advice = f"{self.around.text} looks like a diameter: then give it with {{@od}}"
        od = f"{given} outside diameter of {self._shown(self.od_mm)}"
        within(od, self.od_mm, MIN_OD_MM, MAX_OD_MM, self.od_field, self._shown, advice=advice)
        if self.opening and self.wall_mm is not None:
            raise SocketError(
                f"{od}{'' if self.around is None else ', which'} cannot hold an opening of {self.opening.text}",
                f"more than {self._shown(self.od_mm - 2 * self.wall_mm)}, the opening across its corners",
                advice, self.od_mm, "opening",
            )  # fmt: skip

    @property
    def od_source(self) -> OdSource:
        """How the outside diameter was found."""
        return "measured" if self.around is None else "around"

    @property
    def od_field(self) -> str:
        """The field that the outside diameter came from."""
        return "od" if self.around is None else "around"

    @property
    def wall_mm(self) -> float | None:
        """The wall between the opening's corners and the outside, each side; None without an opening."""
        if self.opening is None:
            return None
        return (self.od_mm - self.shape.across_corners_mm(self.opening.mm)) / 2

    @property
    def like_a_diameter(self) -> bool:
        """Whether the length round it would be a usual OD, and the OD that it makes is none."""
        usual = self.drive.usual_od
        return self.around is not None and usual(self.around.mm) and not usual(self.od_mm)

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
        return Play(self.shape.play_deg(widest, narrow), name, widest, narrow)

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
    stock_mm: float = DEFAULT_STOCK_MM,
    unit: str | None = None,
) -> Socket:
    """Return the socket described by texts, lengths also as quantities; exactly one of `od` and `around` must be given.

    `around` is the length at which a strip of the same stock just closes round the socket. `unit` ("mm" or "in") is
    the unit that computed lengths are shown in; by default that of the OD. Raises TextInputError, RangeError or
    SocketError.
    """
    given = [(size, subject) for size, subject in ((od, "od"), (around, "around")) if size is not None]
    if len(given) > 1:
        what = "an outside diameter and a length round the socket are both given"
        raise SocketError(what, "one of the two", "leave out {@od} or {@around}", field="around")
    if not given:
        raise SocketError(
            "the socket needs its outside diameter or the length round it",
            "one of the two",
            'give {@od} "27.8 mm" (callipers) or {@around} "87.6 mm" (a strip of the same paper)',
            field="od",
        )
    size = parse_length(*given[0])
    across, hexagon = parse_opening(opening) if opening is not None else (None, "")
    if hexagon and opening_of(points).sides != 6:
        raise SocketError(
            f"a socket with {points} points does not hold the hexagon of {hexagon}", "6 or 12 points",
            "check {@points}, or give the width across flats with {@opening}", points, "opening",
        )  # fmt: skip
    return Socket(
        points=points,
        drive=parse_drive(drive),
        od_mm=size.mm if around is None else od_from_around_mm(size.mm, stock_mm),
        around=size if around is not None else None,
        opening=across,
        hexagon=hexagon,
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
