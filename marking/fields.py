"""The fields of an output: what it asks for, by name, with kind, default, limits and help. They feed every way in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, NamedTuple

from .errors import KindError, Namer, RangeError, named, plain_name, shown
from .fastening.hand import THREADS, read_thread
from .fastening.opening import OPENINGS

Kind = Literal[
    "spec", "text", "length", "angle", "percent", "choice", "count", "several", "flag", "file", "lines", "target"
]
"""What is given in a field: counts and flags as themselves, `several` as a tuple of choices, all else as a text that
the output itself reads strictly. A `file` is read under its name, a `target` written. `lines` are typed as one text of
several lines, or they are a file that a path, never a text, names: whoever types cannot read the files of a server."""


class Field(NamedTuple):
    """One thing that an output asks for.

    `help` and `usual` name other fields as errors do, `{@od}`, and are told with the reader's own words by `told`.
    `default` counts when nothing is given; `usual` says in words what counts where that depends on something else.
    `choices` belong to a choice, `low` and `high` to a count. `metavar` names what is typed, `option` is the name on a
    command line where it is not the field's own, `variable` an environment variable that may give it, `group` the
    heading it stands under. `reader` turns other words into a choice, "LH" into "left", or raises a MarkingError.
    `kept` ones may have a default of the user's own; where one counts, `explicit` has their value told in full.
    """

    name: str
    kind: Kind
    help: str
    default: Any = None
    usual: str = ""
    choices: tuple[str, ...] = ()
    low: int | None = None
    high: int | None = None
    required: bool = False
    metavar: str = ""
    option: str = ""
    variable: str = ""
    group: str = ""
    example: str = ""
    reader: Callable[[Any], Any] | None = None
    kept: bool = False
    explicit: bool = False

    @property
    def flag(self) -> str:
        """The option on a command line: "--od-range"."""
        return self.option or f"--{self.name.replace('_', '-')}"

    @property
    def positional(self) -> bool:
        """Whether it stands on a command line without its name."""
        return self.kind in ("spec", "file") and not self.option and (self.required or self.name == "list_file")

    def told(self, name: Namer = plain_name) -> str:
        """Return the help, with the reader's own words for fields."""
        return named(self.help, name)

    def check(self, value: Any) -> None:
        """Raise KindError for what is not of the field's kind, RangeError for a count or choice out of its limits.

        Lengths, angles and shares may be texts, quantities (whatever has a `magnitude`) or lengths that were read; a
        choice of digits may be a number.
        """
        expected = self._kind_in_words(value)
        if expected:
            what = f"{plain_name(self.name)} is {shown(value)}"
            raise KindError(what, expected, value=value, field=self.name)
        if self.kind == "several":
            for one in value:
                self._replace(kind="choice").check(one)
        elif self.choices and self.reader is None and str(value) not in self.choices:
            what = f"the {plain_name(self.name)} is {shown(value)}"
            raise RangeError(what, " or ".join(self.choices), value=value, field=self.name)
        if self.kind == "count" and not (self.low or 0) <= value <= (self.high or value):
            what = f"{value} {self.name.replace('_', ' ')}"
            raise RangeError(what, f"{self.low} to {self.high}", value=value, field=self.name)

    def _kind_in_words(self, value: Any) -> str:
        """What is expected instead of a value of the wrong kind; "" when its kind is right."""
        if isinstance(value, str) and self.kind not in ("count", "flag", "several"):
            return ""
        number = isinstance(value, int) and not isinstance(value, bool)
        if number and self.kind in ("count", "choice"):
            return ""
        measure = hasattr(value, "magnitude") or hasattr(value, "mm")
        by_kind = {
            "count": (number, "a whole number, such as 6"),
            "flag": (isinstance(value, bool), "True or False"),
            "several": (isinstance(value, (tuple, list)), f"some of: {', '.join(self.choices)}"),
            "file": (hasattr(value, "read_bytes"), "the name of a file"),
            "lines": (hasattr(value, "read_bytes"), "a text of several lines, or the path of a file"),
            "choice": (number, " or ".join(self.choices)),
        } | dict.fromkeys(
            ("length", "angle", "percent"), (measure, "a text with a unit, such as '27.8 mm', or a pint quantity")
        )
        read_before = self.name == "paper" and hasattr(value, "corrected")
        example = f" such as {self.example!r}" if self.example else ""
        right, expected = by_kind.get(self.kind, (read_before, f"a text{example}"))
        return "" if right else expected


FIRST_LENGTHS = ("od", "around", "od_range", "opening")
"""The fields of which the first one on a command line gives the unit of computed lengths."""

INSTEAD = (frozenset({"od", "around", "od_range"}),)
"""Fields of which one stands for the others."""

SOCKET, PAGE, SHEET, ERRORS, FILE = "Socket", "Page", "Sheet", "Reading error", "File"
"""Headings of fields."""

SPEC = Field("spec", "spec", "The tightening spec, as the manual writes it.", required=True, example="110 N·m + 90°")
POINTS = Field(
    "points", "choice", "Corners of the opening.", choices=tuple(map(str, OPENINGS)), required=True, group=SOCKET
)
DRIVE = Field(
    "drive",
    "text",
    "Driving square: 1/4, 3/8, 1/2, 3/4, 1, 1-1/2 (in).",
    required=True,
    metavar="SIZE",
    group=SOCKET,
    example="1/2",
)
OD = Field("od", "length", "Outside diameter where the band sits.", group=SOCKET)
AROUND = Field(
    "around", "length", "Instead of {@od}: length at which a strip of the same paper just closes round the socket.",
    group=SOCKET,
)  # fmt: skip
OD_RANGE = Field(
    "od_range", "text", 'Trim bands for a range of ODs: "24 mm..32 mm".', metavar="RANGE", group=SOCKET
)  # fmt: skip
OPENING = Field(
    "opening", "length", "Width across flats, or thread size (M14); adds the slack to the steps.", group=SOCKET
)
UNIT = Field(
    "unit", "choice", "Unit of computed lengths.", usual="that of the first length", choices=("mm", "in"), group=SOCKET,
    kept=True,
)  # fmt: skip
THREAD = Field(
    "thread", "choice", "Thread; RH, LH, left hand … are read too.", "right", choices=THREADS, group=SOCKET,
    reader=read_thread, kept=True,
)  # fmt: skip
WITNESS = Field(
    "witness", "choice", 'How turns count: "fresh", each from a mark of its own; "first", in all from the snug torque.',
    usual="as {@spec} says, or fresh", choices=("fresh", "first"),
)  # fmt: skip
FLATS = POINTS._replace(required=False, help="Corners of the opening: says what a flat in {@spec} is.")
COPIES = Field("copies", "count", "Copies.", low=1, high=50, group=SHEET)
FASTENERS = Field("fasteners", "count", "Pointers and record rows.", 4, low=1, high=200, group=SHEET)
PATTERN = Field(
    "pattern", "choice", "How they stand: numbered crosswise on a circle, from the middle outward in rows.", "circle",
    choices=("circle", "rows"),
)  # fmt: skip
ROWS = Field("rows", "count", "Equal rows of {@pattern} rows.", usual="2", low=1, high=6)
TITLE = Field("title", "text", "Title of the sheets.", "", group=SHEET)
STOCK = Field(
    "stock", "length", "Thickness of the printed material.", usual="the profile's, or 0.1 mm", group=PAGE, kept=True
)
PAPER = Field(
    "paper", "text", "a4, letter, a5, a3, legal, tabloid or WIDTHxHEIGHT.", "a4", metavar="SIZE", group=PAGE, kept=True
)  # fmt: skip
MARGIN = Field("margin", "length", "Margin kept free.", usual="6 mm; 1.5 mm on labels", group=PAGE)
PRINTER = Field(
    "printer", "text", "Printer profile that corrects the print (see {@turnband printer}).", metavar="NAME",
    variable="TURNBAND_PRINTER", group=PAGE, kept=True,
)  # fmt: skip
RULER = Field(
    "ruler", "text",
    "Instead of {@printer}: what the 100 mm rulers of a print measured, across the upright sheet and along it.",
    metavar="\"X x Y\"", group=PAGE, example="99.2 mm x 99.6 mm",
)  # fmt: skip
PAGES = (PAPER, MARGIN, PRINTER, RULER)
"""What every whole sheet asks for."""

WITNESS_ERROR = Field("witness_error", "length", "Half-width for the witness mark.", usual="0.25 mm", group=ERRORS)
STOP_ERROR = Field("stop_error", "length", "Half-width for reading the stop.", usual="0.25 mm", group=ERRORS)
SIDEWAYS_ERROR = Field(
    "sideways_error",
    "length",
    "How far the socket moves sideways on the fastener, each way.",
    usual="by {@opening}, or 0.2 mm",
    group=ERRORS,
)
GAP = Field("gap", "length", "Gap between mark and band, for parallax.", usual="1 mm", group=ERRORS)
UNEQUAL_SCALE = Field(
    "unequal_scale", "percent", "Half-width for scales that differ across and along the page.", usual="0.2 %",
    group=ERRORS,
)  # fmt: skip
VIEW_ANGLE = Field("view_angle", "angle", "How far from square one looks.", usual="10°", group=ERRORS)

PIECES = {
    "band": ("band", "trim-band"), "ring": ("part-ring",), "disc": ("drive-disc",), "mat": ("mat",),
    "pointer": ("witness-pointer",), "tape": ("diameter-tape",), "tag": ("tag", "card"),
}  # fmt: skip
"""What can be cut out alone, by name, and the groups that it is drawn as."""

FILE_FIELDS = (
    Field(
        "pieces", "text", f"Write only these pieces, for a cutter: {', '.join(PIECES)}, or all.", metavar="NAMES",
        group=FILE, example="band,ring",
    ),
    Field("kerf", "length", "Width of the cut: pieces grow by half of it, holes shrink.", usual="0 mm", group=FILE),
    Field(
        "text", "choice", "Letters of an SVG: live text, or outlines that need no font.", usual="live",
        choices=("live", "outlines"), group=FILE,
    ),
    Field("dpi", "count", "Dots per inch of a PNG.", usual="600", low=50, high=2400, group=FILE),
    Field("one_bit", "flag", "Only black and white in a PNG, no greys.", group=FILE),
)  # fmt: skip
"""How a finished file is written, of everything that has pages."""
