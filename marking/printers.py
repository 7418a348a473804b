"""Printer profiles: what a printer really prints for lengths of the proof page, kept in one file of the user's.

The file is `printers.toml` in the user's configuration folder, or in the folder that the environment variable
TURNBAND_CONFIG_DIR names. It is written whole or not at all, and never over one that cannot be understood.
"""

from __future__ import annotations

import os
import stat
import tomllib
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from .errors import CharacterError, MarkingError, OutputError, RangeError, shortened, shown
from .fonts import printable
from .paper import MAX_SIDE_MM
from .quantities import parse_length, plain_number, trimmed
from .render.files import write_whole
from .socket import MAX_STOCK_MM, parse_stock

CONFIG_VARIABLE = "TURNBAND_CONFIG_DIR"

X_NOMINAL_MM, Y_NOMINAL_MM = 160.0, 240.0
"""Lengths of the proof page on A4 and letter paper, across and along the sheet."""

MAX_OFF = 0.05
"""Largest error of scale believed (our choice): "fit to page" gives 2 to 6 %, a printer's own error is below 1 %."""

MIN_NOMINAL_MM, MAX_NOMINAL_MM = 50.0, MAX_SIDE_MM
"""A shorter length says too little about the scale: 0.1 mm misread on 50 mm is 0.2 % (our choice)."""

MAX_NAME, MAX_FILE_BYTES, MAX_LINE_BYTES = 40, 40_000, 500
"""Longest name, file and line read (our choice: more than 200 printers, three times their longest line). Keys of many
dots take tomllib time and memory that grow with the square of their number, and a key ends with its line."""

LOCK_TIMEOUT_S = 10.0
"""How long to wait while another process changes the file (our choice: a change takes some milliseconds)."""

FILE_HEAD = "# Printer profiles of turnband: what each printer prints for nominal lengths, in mm.\n\n"


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
                "check --stock", self.stock_mm,
            )  # fmt: skip

    @property
    def x_scale(self) -> float:
        """Printed mm per drawn mm across the sheet: 159.4 mm measured for 160 mm is 0.99625."""
        return self.x_measured_mm / self.x_nominal_mm

    @property
    def y_scale(self) -> float:
        """Printed mm per drawn mm along the sheet."""
        return self.y_measured_mm / self.y_nominal_mm


_VALUES = tuple(field.name for field in fields(Profile) if field.name != "name")
_REQUIRED = tuple(name for name in _VALUES if name != "stock_mm")


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
    if not MIN_NOMINAL_MM <= nominal <= MAX_NOMINAL_MM:
        raise RangeError(
            f"the nominal length {way} the sheet is {plain_number(nominal)} mm",
            f"{MIN_NOMINAL_MM:g} to {MAX_NOMINAL_MM:g} mm", f"check --{axis}-nominal, which the proof page states",
            nominal,
        )  # fmt: skip
    if not abs(measured - nominal) <= MAX_OFF * nominal:
        off = abs(measured / nominal - 1)
        raise RangeError(
            f"{plain_number(measured)} mm were measured {way} the sheet for {plain_number(nominal)} mm: "
            f"{trimmed(100 * off, 1)} % off", f"at most {100 * MAX_OFF:g} %",
            f"check --{axis} and --{axis}-nominal; the usual cause is “fit to page” in the print dialog: print the "
            "proof again at 100 % and measure again", measured,
        )  # fmt: skip


def read_profile(
    name: str, x: str, y: str, *, x_nominal: str | None = None, y_nominal: str | None = None, stock: str | None = None
) -> Profile:
    """Return the profile described by texts: lengths measured across and along the sheet for the nominal ones.

    The nominal lengths are those of the proof page on A4 and letter, 160 mm and 240 mm, unless given. Raises a
    MarkingError that says which text is at fault.
    """
    return Profile(
        _composed(name),
        parse_length(x, "length measured across").mm,
        X_NOMINAL_MM if x_nominal is None else parse_length(x_nominal, "nominal length across").mm,
        parse_length(y, "length measured along").mm,
        Y_NOMINAL_MM if y_nominal is None else parse_length(y_nominal, "nominal length along").mm,
        None if stock is None else parse_stock(stock),
    )


def _composed(name: str) -> str:
    """The name in composed form (NFC), so that é typed in two ways is one name."""
    return unicodedata.normalize("NFC", name)


def profiles_path() -> Path:
    """Return where the profiles are kept, whether the file exists or not. Raises OutputError if nothing tells."""
    folder = os.environ.get(CONFIG_VARIABLE)
    if folder:
        return Path(folder) / "printers.toml"
    import platformdirs  # loaded here because most runs use no profile

    try:
        return platformdirs.user_config_path("turnband", appauthor=False) / "printers.toml"
    except RuntimeError as error:
        raise OutputError(
            "there is no place for printer profiles: your home folder is not known", "",
            f"name a folder for them in {CONFIG_VARIABLE}",
        ) from error  # fmt: skip


def load_profiles() -> dict[str, Profile]:
    """Return all profiles by name, in the order in which they were added; none if there is no file.

    Raises ProfileError for a file that cannot be understood, naming it and what is wrong, and OutputError for one that
    cannot be read.
    """
    path = profiles_path()
    found: dict[str, Profile] = {}
    for name, entry in _tables(path).items():
        try:
            found[name] = _profile_of(name, entry)
        except MarkingError as error:
            raise _broken(path, f"printer {shown(name)}: {error.what}", error.expected) from error
    return found


def _tables(path: Path) -> dict[str, object]:
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # opening a pipe would wait for ever
            raise _broken(path, "it is no ordinary file")
        with path.open("rb") as file:
            content = file.read(MAX_FILE_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except OSError as error:
        raise OutputError(f"cannot read {str(path)!r}: {_reason(error)}", "", "check its permissions") from error
    if len(content) > MAX_FILE_BYTES:
        raise _broken(path, "it is too large", f"at most {MAX_FILE_BYTES // 1000} kB")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _broken(path, f"byte {error.start + 1} is no UTF-8 text") from error
    for number, line in enumerate(content.split(b"\n"), 1):
        if len(line) > MAX_LINE_BYTES:
            raise _broken(path, f"line {number} is too long", f"at most {MAX_LINE_BYTES} bytes a line")
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # broken TOML, a number of thousands of digits, endless nesting
        raise _broken(path, shortened(str(error).removesuffix("."))) from error


def _profile_of(name: str, entry: object) -> Profile:
    if not isinstance(entry, dict):
        raise ProfileError("is a value of its own", f"a table of {', '.join(_REQUIRED)}")
    for key in [*(key for key in entry if key not in _VALUES), *(key for key in _REQUIRED if key not in entry)]:
        raise ProfileError(f"{shown(key)} is {'not known' if key in entry else 'missing'}", ", ".join(_VALUES))
    for key, value in entry.items():
        if type(value) not in (int, float):
            raise ProfileError(f"{key} is {shown(value)}", "a number of mm, without quotes or unit")
    return Profile(name, **{key: _as_float(value) for key, value in entry.items()})


def _as_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:  # a whole number of more than 308 digits
        return float("inf")


def _broken(path: Path, what: str, expected: str = "") -> ProfileError:
    return ProfileError(
        f"the file {str(path)!r} cannot be used: {what}", expected,
        "mend it, or move it away and add the printers again", path,
    )  # fmt: skip


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def profile(name: str) -> Profile:
    """Return the profile called `name`. Raises ProfileError, listing the known names, if there is none."""
    return _known(load_profiles(), name)


def _known(profiles: dict[str, Profile], name: str) -> Profile:
    found = profiles.get(_composed(name))
    if found is None:
        names = ", ".join(sorted(profiles))
        raise ProfileError(
            f"no printer is called {shown(name)}", f"one of: {names}" if names else "",
            "check the name" if names else "add a printer first: print `turnband proof`, then `turnband printer add`",
            name,
        )  # fmt: skip
    return found


def add_profile(profile: Profile, replace: bool = False) -> None:
    """Keep `profile`; of several processes that add at the same time, none loses what another added.

    Raises ProfileError for a name that exists, unless `replace`; OutputError when the file cannot be written.
    """
    path = profiles_path()
    with _locked(path):
        profiles = load_profiles()
        if profile.name in profiles and not replace:
            raise ProfileError(
                f"there is a printer called {shown(profile.name)} already", "",
                "choose another name, or give --replace", profile.name,
            )  # fmt: skip
        _write(path, {**profiles, profile.name: profile})


def remove_profile(name: str) -> None:
    """Forget the profile called `name`. Raises ProfileError, listing the known names, if there is none."""
    profile(name)  # so that no folder is made for a refusal
    path = profiles_path()
    with _locked(path):
        profiles = load_profiles()
        del profiles[_known(profiles, name).name]
        _write(path, profiles)


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Hold the lock beside the file; makes the folder when it is missing."""
    import filelock  # loaded here because reading needs none

    lock = filelock.FileLock(f"{path}.lock", timeout=LOCK_TIMEOUT_S)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except filelock.Timeout as error:
        raise OutputError(
            f"cannot change {str(path)!r}: another process has held it for {LOCK_TIMEOUT_S:g} s", "",
            f"try again once that has ended; its lock is {str(lock.lock_file)!r}",
        ) from error  # fmt: skip
    except OSError as error:
        raise _unwritable(f"cannot write {str(path)!r}: {_reason(error)}") from error
    try:
        yield
    finally:
        lock.release()


def _write(path: Path, profiles: dict[str, Profile]) -> None:
    import tomli_w

    tables = {
        name: {key: value for key, value in asdict(profile).items() if key != "name" and value is not None}
        for name, profile in profiles.items()
    }
    try:
        content = (FILE_HEAD + tomli_w.dumps(tables)).encode()
        write_whole({path: lambda file: file.write(content)})
    except OutputError as error:
        raise _unwritable(error.what) from error


def _unwritable(what: str) -> OutputError:
    return OutputError(
        what, "a folder that may be written to", f"check its permissions, or name another folder in {CONFIG_VARIABLE}"
    )


def profile_data(profile: Profile) -> dict[str, str | float | None]:
    """Return a profile as JSON data: its fields and both scales, unrounded."""
    return {**asdict(profile), "x_scale": profile.x_scale, "y_scale": profile.y_scale}


def profile_text(profile: Profile) -> str:
    """Return a profile as lines to read, its name first."""
    lines = [profile.name]
    for way, measured, nominal, scale in (
        ("across", profile.x_measured_mm, profile.x_nominal_mm, profile.x_scale),
        ("along", profile.y_measured_mm, profile.y_nominal_mm, profile.y_scale),
    ):
        lines.append(f"  {way:6}  {trimmed(measured, 3)} mm for {trimmed(nominal, 3)} mm: {trimmed(100 * scale, 3)} %")
    lines.append(
        "  stock   " + ("not given" if profile.stock_mm is None else f"{trimmed(profile.stock_mm, 4)} mm thick")
    )
    return "\n".join(lines)
