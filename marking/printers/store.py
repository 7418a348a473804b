"""The file that keeps printer profiles in the user’s configuration folder, and how any file there is kept."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, fields
from functools import lru_cache
from pathlib import Path

from ..errors import MarkingError, OutputError, shortened, shown
from ..files.whole import write_whole
from .profile import MAX_FILE_BYTES, MAX_LINE_BYTES, Profile, ProfileError, composed

CONFIG_VARIABLE = "TURNBAND_CONFIG_DIR"

LOCK_TIMEOUT_S = 10.0
"""How long to wait while another process changes the file (our choice: a change takes some milliseconds)."""

FILE_HEAD = "# Printer profiles of turnband: what each printer prints for nominal lengths, in mm.\n\n"

_VALUES = tuple(field.name for field in fields(Profile) if field.name != "name")

_REQUIRED = tuple(name for name in _VALUES if name != "stock_mm")


def profiles_path() -> Path:
    """Return where the profiles are kept, whether the file exists or not. Raises OutputError if nothing tells."""
    return kept_path("printers.toml", "printer profiles")


def kept_path(name: str, what: str) -> Path:
    """Return where a file of the user's is kept that holds `what`. Raises OutputError if nothing tells."""
    folder = os.environ.get(CONFIG_VARIABLE)
    if folder:
        return _within(folder, name)
    import platformdirs  # loaded here because its folder may be named

    try:
        return platformdirs.user_config_path("turnband", appauthor=False) / name
    except RuntimeError as error:
        raise OutputError(
            f"there is no place for {what}: your home folder is not known", "",
            f"name a folder for them in {CONFIG_VARIABLE}",
        ) from error  # fmt: skip


@lru_cache
def _within(folder: str, name: str) -> Path:
    return Path(folder, name)


def load_profiles() -> dict[str, Profile]:
    """Return all profiles by name, in the order in which they were added; none if there is no file.

    Raises ProfileError for a file that cannot be understood, naming it and what is wrong, and OutputError for one that
    cannot be read.
    """
    path = profiles_path()
    found: dict[str, Profile] = {}
    for name, entry in kept_tables(path).items():
        try:
            found[name] = _profile_of(name, entry)
        except MarkingError as error:
            raise broken(path, f"printer {shown(name)}: {error.what}", error.expected) from error
    return found


def kept_tables(path: Path) -> dict[str, object]:
    """Return what a file of the user's holds; nothing if there is none. Raises ProfileError and OutputError."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # opening a pipe would wait for ever
            raise broken(path, "it is no ordinary file")
        with path.open("rb") as file:
            content = file.read(MAX_FILE_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except OSError as error:
        raise OutputError(f"cannot read {str(path)!r}: {_reason(error)}", "", "check its permissions") from error
    if len(content) > MAX_FILE_BYTES:
        raise broken(path, "it is too large", f"at most {MAX_FILE_BYTES // 1000} kB")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise broken(path, f"byte {error.start + 1} is no UTF-8 text") from error
    for number, line in enumerate(content.split(b"\n"), 1):
        if len(line) > MAX_LINE_BYTES:
            raise broken(path, f"line {number} is too long", f"at most {MAX_LINE_BYTES} bytes a line")
    import tomllib  # loaded only for a file that is there

    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # broken TOML, a number of thousands of digits, endless nesting
        raise broken(path, shortened(str(error).removesuffix("."))) from error


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


def broken(path: Path, what: str, expected: str = "") -> ProfileError:
    """Return the error of a file of the user's that cannot be used."""
    again = "add the printers again" if path.name == "printers.toml" else "set the defaults again"
    return ProfileError(
        f"the file {str(path)!r} cannot be used: {what}", expected, f"mend it, or move it away and {again}", path
    )


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def profile(name: str, field: str = "name") -> Profile:
    """Return the profile called `name`. Raises ProfileError, listing the known names, if there is none."""
    return _known(load_profiles(), name, field)


def _known(profiles: dict[str, Profile], name: str, field: str = "name") -> Profile:
    found = profiles.get(composed(name))
    if found is None:
        names = ", ".join(sorted(profiles))
        raise ProfileError(
            f"no printer is called {shown(name)}", f"one of: {names}" if names else "",
            "check the name" if names else "add a printer first: print {@turnband proof}, then {@turnband printer add}",
            name, field,
        )  # fmt: skip
    return found


def add_profile(profile: Profile, replace: bool = False) -> None:
    """Keep `profile`; of several processes that add at the same time, none loses what another added.

    Raises ProfileError for a name that exists, unless `replace`; OutputError when the file cannot be written.
    """
    path = profiles_path()
    with locked(path):
        profiles = load_profiles()
        if profile.name in profiles and not replace:
            raise ProfileError(
                f"there is a printer called {shown(profile.name)} already", "",
                "choose another name, or give {@replace}", profile.name, "name",
            )  # fmt: skip
        _write(path, {**profiles, profile.name: profile})


def remove_profile(name: str) -> None:
    """Forget the profile called `name`. Raises ProfileError, listing the known names, if there is none."""
    profile(name)  # so that no folder is made for a refusal
    path = profiles_path()
    with locked(path):
        profiles = load_profiles()
        del profiles[_known(profiles, name).name]
        _write(path, profiles)


@contextmanager
def locked(path: Path) -> Iterator[None]:
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
    tables = {
        name: {key: value for key, value in asdict(profile).items() if key != "name" and value is not None}
        for name, profile in profiles.items()
    }
    write_tables(path, FILE_HEAD, tables)


def write_tables(path: Path, head: str, tables: Mapping[str, object]) -> None:
    """Write a file of the user's, whole, below a line that tells what it is. Raises OutputError."""
    import tomli_w

    try:
        content = (head + tomli_w.dumps(tables)).encode()
        write_whole({path: lambda file: file.write(content)})
    except OutputError as error:
        raise _unwritable(error.what) from error


def _unwritable(what: str) -> OutputError:
    return OutputError(
        what, "a folder that may be written to", f"check its permissions, or name another folder in {CONFIG_VARIABLE}"
    )
