"""The files of a set: one, or one for each key that it is split by."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ...files.formats import warn_of_stale, writers
from ...files.whole import Writer, write_whole
from .pages import set_document
from .plan import SetsPlan


def write_sets(
    sets: SetsPlan, output: str, jobs: int = 1, made: Callable[[int], None] | None = None, command: str = ""
) -> dict[str, list[str]]:
    """Write the files of planned sets, all of them or none; return for each key its files.

    `command` stands at the foot of every page.

    Raises OutputError for a name without a known suffix, or that cannot be written, and LayoutError for a set without
    parts; warns with OutputWarning of pages that older, longer sets of the same names have left.
    """
    target = Path(output)
    targets = {key: str(target.with_stem(f"{target.stem}-{key}") if key else target) for key in sets.plans}
    files: dict[Path, Writer] = {}
    written: dict[str, list[str]] = {}
    for key, plan in sets.plans.items():
        own = writers(set_document(plan, jobs, made, command), targets[key])
        files |= own
        written[key] = [str(path) for path in own]
    write_whole(files)
    warn_of_stale(targets.values(), files)
    return written
