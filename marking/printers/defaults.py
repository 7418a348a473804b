"""Defaults of the user's own, kept beside the printer profiles in `defaults.toml` and as safely."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from ..errors import KindError, OutputError, shown
from ..fastening.hand import read_thread
from ..fastening.socket import parse_stock
from ..fields import PAPER, PRINTER, STOCK, THREAD, UNIT
from ..sheets.paper import parse_paper
from .profile import ProfileError, composed
from .store import broken, kept_path, kept_tables, locked, profile, write_tables

FILE_HEAD = "# Defaults of turnband, as its options take them.\n\n"

FIELDS = {field.name: field for field in (PAPER, UNIT, PRINTER, STOCK, THREAD)}
"""What may have a default of the user's own."""

_READERS: dict[str, Callable[[str], object]] = {
    "paper": parse_paper,
    "unit": lambda text: UNIT.check(text),
    "printer": lambda text: profile(text, "printer"),
    "stock": parse_stock,
    "thread": read_thread,
}


def defaults_path() -> Path:
    """Return where the defaults are kept, whether the file exists or not. Raises OutputError if nothing tells."""
    return kept_path("defaults.toml", "defaults")


def load_defaults() -> dict[str, str]:
    """Return the kept defaults by name, as they were typed, in the order of `FIELDS`; none where there is no file.

    Without a place for them there are none either. Raises ProfileError for a file that cannot be understood, and
    OutputError for one that cannot be read.
    """
    try:
        path = defaults_path()
    except OutputError:
        return {}
    return _checked(path, kept_tables(path))


def _checked(path: Path, found: Mapping[str, object]) -> dict[str, str]:
    for name, value in found.items():
        if name not in FIELDS:
            raise broken(path, f"{shown(name)} has no default", ", ".join(FIELDS))
        if not isinstance(value, str):
            raise broken(path, f"{name} is {shown(value)}", "a text in quotes, as the option takes it")
    return {name: str(found[name]) for name in FIELDS if name in found}


def keep_default(name: str, value: str) -> str:
    """Keep a default, in place of any before, and return it. Raises a MarkingError that tells what is at fault."""
    _known(name)
    read = _READERS[name](value)
    value = str(read) if name == "thread" else composed(value.strip())
    path = defaults_path()
    with locked(path):
        write_tables(path, FILE_HEAD, load_defaults() | {name: value})
    return value


def remove_default(name: str) -> None:
    """Forget a default. Raises ProfileError for one that is not kept."""
    _known(name)
    if name not in load_defaults():  # so that no folder is made for a refusal
        raise ProfileError(f"no default is kept for {name}", "", "see what is kept with `turnband defaults`", name)
    path = defaults_path()
    with locked(path):
        write_tables(path, FILE_HEAD, {key: value for key, value in load_defaults().items() if key != name})


def _known(name: str) -> None:
    if name not in FIELDS:
        raise KindError(f"{shown(name)} has no default", ", ".join(FIELDS), value=name, field="name")
