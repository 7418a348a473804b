"""Printer profiles: what a printer really prints for lengths of the proof page, kept in one file of the user's.

The file is `printers.toml` in the user's configuration folder, or in the folder that the environment variable
TURNBAND_CONFIG_DIR names. It is written whole or not at all, and never over one that cannot be understood.
"""

from __future__ import annotations

import unicodedata
from dataclasses import asdict, dataclass

from ..drawing.fonts import printable
from ..errors import CharacterError, MarkingError, RangeError, within
from ..fastening.socket import MAX_STOCK_MM, parse_stock
from ..quantities.parse import parse_length
from ..quantities.shown import plain_number, trimmed
from ..sheets.paper import MAX_SIDE_MM

X_NOMINAL_MM, Y_NOMINAL_MM = 160.0, 240.0
"""Lengths of the proof page on A4 and letter paper, across and along the sheet."""

MAX_OFF = 0.05
"""Largest error of scale believed (our choice): "fit to page" gives 2 to 6 %, a printer's own error is below 1 %."""

MIN_NOMINAL_MM, MAX_NOMINAL_MM = 50.0, MAX_SIDE_MM
"""A shorter length says too little about the scale: 0.1 mm misread on 50 mm is 0.2 % (our choice)."""

MAX_NAME, MAX_FILE_BYTES, MAX_LINE_BYTES = 40, 40_000, 500
"""Longest name, file and line read (our choice: more than 200 printers, three times their longest line). Keys of many
dots take tomllib time and memory that grow with the square of their number, and a key ends with its line."""


class ProfileError(MarkingError, ValueError):
    """A profile that is not there, or is there already, or a file of profiles that cannot be understood."""


@dataclass(frozen=True)
class Profile:
    """What one printer prints: the lengths measured (mm) for the nominal lengths drawn (mm), and its stock (mm).

    x is across the sheet and y along it, as the sheet is held upright. Raises CharacterError or RangeError for a name
    or a value outside its limits.
    """

    name: str
    x_measured_mm: float
    x_nominal_mm: float
    y_measured_mm: float
    y_nominal_mm: float
    stock_mm: float | None = None

    def __post_init__(self) -> None:
        check_name(self.name)
        _check_scale("x", "across", self.x_measured_mm, self.x_nominal_mm)
        _check_scale("y", "along", self.y_measured_mm, self.y_nominal_mm)
        if self.stock_mm is not None and not 0 < self.stock_mm <= MAX_STOCK_MM:
            raise RangeError(
                f"the stock is {plain_number(self.stock_mm)} mm thick", f"more than 0 and at most {MAX_STOCK_MM:g} mm",
                value=self.stock_mm, field="stock",
            )  # fmt: skip

    @property
    def x_scale(self) -> float:
        """Printed mm per drawn mm across the sheet: 159.4 mm measured for 160 mm is 0.99625."""
        return self.x_measured_mm / self.x_nominal_mm

    @property
    def y_scale(self) -> float:
        """Printed mm per drawn mm along the sheet."""
        return self.y_measured_mm / self.y_nominal_mm


def check_name(name: str) -> None:
    """Raise CharacterError unless `name` is 1–40 letters, digits, spaces, `.`, `_` or `-`, a letter or digit first."""
    expected = "letters, digits, spaces and . _ -, with a letter or a digit first"
    if not name or name != name.rstrip(" "):
        raise CharacterError("the printer's name " + ("ends with a space" if name else "is empty"), expected, "", name)
    printable(name, "printer's name", MAX_NAME)
    for place, char in enumerate(name):
        category = unicodedata.category(char)
        if not (category[0] == "L" or category == "Nd" or (place and char in " ._-")):
            where = "holds" if place else "begins with"
            raise CharacterError(
                f"the printer's name {where} {char!r}, U+{ord(char):04X} ({unicodedata.name(char, 'no name')})",
                expected, "choose another name", char,
            )  # fmt: skip


def _check_scale(axis: str, way: str, measured: float, nominal: float) -> None:
    within(
        f"the nominal length {way} the sheet is {{}} mm", nominal, MIN_NOMINAL_MM, MAX_NOMINAL_MM, f"{axis}_nominal",
        plain_number, " mm", f"check {{@{axis}_nominal}}, which the proof page states",
    )  # fmt: skip
    if not abs(measured - nominal) <= MAX_OFF * nominal:
        off = abs(measured / nominal - 1)
        raise RangeError(
            f"{plain_number(measured)} mm were measured {way} the sheet for {plain_number(nominal)} mm: "
            f"{trimmed(100 * off, 1)} % off", f"at most {100 * MAX_OFF:g} %",
            f"check {{@{axis}}} and {{@{axis}_nominal}}; the usual cause is “fit to page” in the print dialog: print "
            "the proof again at 100 % and measure again", measured, axis,
        )  # fmt: skip


def read_profile(
    name: str, x: str, y: str, *, x_nominal: str | None = None, y_nominal: str | None = None, stock: str | None = None
) -> Profile:
    """Return the profile described by texts: lengths measured across and along the sheet for the nominal ones.

    The nominal lengths are those of the proof page on A4 and letter, 160 mm and 240 mm, unless given. Raises a
    MarkingError that says which text is at fault.
    """
    return Profile(
        composed(name),
        parse_length(x, "x").mm,
        X_NOMINAL_MM if x_nominal is None else parse_length(x_nominal, "x_nominal").mm,
        parse_length(y, "y").mm,
        Y_NOMINAL_MM if y_nominal is None else parse_length(y_nominal, "y_nominal").mm,
        None if stock is None else parse_stock(stock),
    )


def composed(name: str) -> str:
    """The name in composed form (NFC), so that é typed in two ways is one name."""
    return unicodedata.normalize("NFC", name)


def profile_data(profile: Profile) -> dict[str, str | float | None]:
    """Return a profile as JSON data: its fields and both scales, unrounded."""
    return {**asdict(profile), "x_scale": profile.x_scale, "y_scale": profile.y_scale}


def profile_text(profile: Profile) -> str:
    """Return a profile as lines to read, its name first."""
    stock = "not given" if profile.stock_mm is None else f"{trimmed(profile.stock_mm, 4)} mm thick"
    ways = (
        ("across", profile.x_measured_mm, profile.x_nominal_mm, profile.x_scale),
        ("along", profile.y_measured_mm, profile.y_nominal_mm, profile.y_scale),
    )
    scales = (
        f"  {way:6}  {trimmed(measured, 3)} mm for {trimmed(nominal, 3)} mm: {trimmed(100 * scale, 3)} %"
        for way, measured, nominal, scale in ways
    )
    return "\n".join([profile.name, *scales, f"  stock   {stock}"])
