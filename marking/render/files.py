"""Writing files whole or not at all: temporary files beside the targets, fsync, rename, and back again on failure."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import IO

from ..errors import OutputError

Writer = Callable[[IO[bytes]], object]
"""Writes the content of one file to an open one."""


def write_whole(files: Mapping[Path, Writer]) -> None:
    """Write every file, or leave everything as it was. Existing files are replaced only when all are complete.

    The writers are called one after the other, in the order of `files`. A link is followed, so that its target is
    replaced and not the link. Raises OutputError.
    """
    fresh: dict[Path, Path] = {}
    try:
        for path, write in files.items():
            target = Path(os.path.realpath(path))
            if target.is_dir():
                raise OutputError(f"cannot write {str(path)!r}: it is a folder", "a file name", "check --output")
            fresh[target] = _written_beside(target, write)
        _swap_in(fresh)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        name = str(next(iter(files), ""))
        reason = (error.strerror or str(error)).lower()
        raise OutputError(
            f"cannot write {name!r}: {reason}", "a folder that exists and may be written to", "check --output"
        ) from error
    finally:
        for temporary in fresh.values():
            temporary.unlink(missing_ok=True)


def _written_beside(target: Path, write: Writer) -> Path:
    handle, name = tempfile.mkstemp(prefix=".turnband-", dir=target.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(_mode(target))
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _mode(target: Path) -> int:
    """The permissions of the file to be replaced, or those that a new file would get."""
    with contextlib.suppress(OSError):
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _swap_in(fresh: Mapping[Path, Path]) -> None:
    """Rename every new file to its target; if one rename fails, put back what the earlier ones replaced."""
    done: list[tuple[Path, Path | None]] = []
    try:
        for target, temporary in fresh.items():
            kept = _kept_aside(target) if len(fresh) > 1 and target.exists() else None
            done.append((target, kept))
            os.replace(temporary, target)
    except BaseException:
        for target, kept in reversed(done):
            if kept is not None:
                os.replace(kept, target)
            elif target in fresh and not fresh[target].exists():
                target.unlink(missing_ok=True)
        raise
    for _, kept in done:
        if kept is not None:
            kept.unlink(missing_ok=True)


def _kept_aside(target: Path) -> Path:
    """Keep the old file under a second name until all renames have succeeded."""
    handle, name = tempfile.mkstemp(prefix=".turnband-", dir=target.parent)
    os.close(handle)
    os.replace(target, name)
    return Path(name)
