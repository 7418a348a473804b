"""The files of a set: one, or one for each key that it is split by."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext, suppress
from pathlib import Path
from typing import Any

from ...errors import OutputError
from ...files.formats import warn_of_stale, writers
from ...files.whole import Writer, write_whole
from .pages import set_document
from .plan import SetsPlan


def write_sets(
    sets: SetsPlan,
    output: str,
    jobs: int = 1,
    made: Callable[[int], None] | None = None,
    command: str = "",
    **asked: Any,
) -> dict[str, list[str]]:
    """Write the files of planned sets, all of them or none; return for each key its files.

    `command` stands at the foot of every page, `asked` tells how files are written, as `save` takes it. A folder that
    is not there is made for a set that is split.

    Raises OutputError for a name without a known suffix, or that cannot be written, and LayoutError for a set without
    parts; warns with OutputWarning of pages that older, longer sets of the same names have left.
    """
    target = Path(output)
    targets = {key: str(target.with_stem(f"{target.stem}-{key}") if key else target) for key in sets.plans}
    files: dict[Path, Writer] = {}
    written: dict[str, list[str]] = {}
    for key, plan in sets.plans.items():
        own = writers(set_document(plan, jobs, made, command), targets[key], **asked)
        files |= own
        written[key] = [str(path) for path in own]
    with _folder(target.parent) if list(sets.plans) != [""] else nullcontext():
        write_whole(files)
    warn_of_stale(targets.values(), files)
    return written


@contextmanager
def _folder(path: Path) -> Iterator[None]:
    """Make a folder, and take it away again when what was to be written into it has failed. Raises OutputError."""
    missing = [folder for folder in (path, *path.parents) if not folder.exists()]
    try:
        path.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        what = f"cannot make the folder {str(path)!r}: {reason}"
        raise OutputError(what, "", "choose another", field="output") from error
    try:
        yield
    except BaseException:
        with suppress(OSError):
            for folder in missing:
                folder.rmdir()
        raise
