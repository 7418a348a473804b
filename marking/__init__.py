"""turnband's library: paper marks that turn any socket into an angle gauge.

    from marking import OUTPUTS, save

    job = OUTPUTS["job"]
    plan = job.plan(job.read(spec="110 N·m + 90° +10/-0", points=12, drive="1/2", od="27.8 mm"))
    save(job.draw(plan), "bracket.pdf")

`OUTPUTS` holds everything that can be printed, by the names of the commands; `fields` tells what an output asks for.
Sets that are split into several files are written by `write_sets`; `add_profile` and its like keep printer profiles.
A length may be a quantity of pint instead of a text, `od=27.8 * ureg.mm`, and `plan.job.length.quantity` is one.
Nothing is loaded before it is used: reportlab loads when a PDF is written, pint when a quantity is wanted.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from .outputs import OUTPUTS, Output

if TYPE_CHECKING:
    from .errors import MarkingError
    from .fastening.socket import Socket
    from .fastening.spec import TighteningSpec
    from .files.formats import save
    from .outputs.sets.files import write_sets
    from .printers.profile import Profile, read_profile
    from .printers.store import add_profile, load_profiles, remove_profile

_HOMES = {
    "MarkingError": ".errors",
    "Profile": ".printers.profile",
    "Socket": ".fastening.socket",
    "TighteningSpec": ".fastening.spec",
    "add_profile": ".printers.store",
    "load_profiles": ".printers.store",
    "read_profile": ".printers.profile",
    "remove_profile": ".printers.store",
    "save": ".files.formats",
    "write_sets": ".outputs.sets.files",
}

__all__ = [
    "OUTPUTS", "MarkingError", "Output", "Profile", "Socket", "TighteningSpec", "add_profile", "load_profiles",
    "read_profile", "remove_profile", "save", "write_sets",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name], __name__), name)
