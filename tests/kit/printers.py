"""Printer profiles, and the folder that keeps them."""

from __future__ import annotations

from pathlib import Path

from marking.printers.profile import Profile

OFFICE = Profile("office", 159.4, 160.0, 240.5, 240.0, 0.11)
BENCH = Profile("Büro 2.b_c-d", 119.8, 120.0, 160.1, 160.0)


def kept(folder: Path) -> dict[str, bytes]:
    """Every file of the configuration folder, but for the lock."""
    return {path.name: path.read_bytes() for path in folder.glob("*") if path.suffix != ".lock"}
