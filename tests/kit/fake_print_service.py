"""Programs named like those of CUPS that note what they are given: what reaches a printer, without one."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import NamedTuple

NOTE = """#!/bin/sh
number=$(ls {folder} | grep -c args)
printf '%s\\n' "$@" > {folder}/$number.args
/bin/cat > {folder}/$number.pdf
echo "request id is office-$number (1 file(s))"
"""


class FakeService(NamedTuple):
    """A folder of programs for PATH, and the folder of what they noted."""

    programs: Path
    noted: Path

    @property
    def path(self) -> str:
        return f"{self.programs}:/usr/bin:/bin"

    @property
    def jobs(self) -> list[tuple[list[str], bytes]]:
        """Arguments and document of every job."""
        notes = sorted(self.noted.glob("*.args"), key=lambda note: int(note.stem))
        return [(note.read_text("utf-8").splitlines(), note.with_suffix(".pdf").read_bytes()) for note in notes]

    def program(self, name: str, script: str) -> None:
        program = self.programs / name
        program.write_text(script, "utf-8")
        program.chmod(0o755)


def fake_service(folder: Path, *queues: str) -> FakeService:
    """Make `lp` and `lpstat` for these queues."""
    service = FakeService(folder / "programs", folder / "noted")
    for made in service:
        made.mkdir(parents=True)
    service.program("lp", NOTE.format(folder=shlex.quote(str(service.noted))))
    service.program("lpstat", f"#!/bin/sh\nprintf '%s\\n' {' '.join(queues)}\n")
    return service
