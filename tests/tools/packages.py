"""Compares the built packages in a folder with what is kept here: `python tests/tools/packages.py FOLDER`."""

from __future__ import annotations

import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]

MADE = ("PKG-INFO", "setup.cfg", "turnband.egg-info/")
"""What a source package holds beside the files that it was made from."""

NOT_HANDED_ON = (".gitignore",)


def tracked() -> set[str]:
    """Return the files that are kept in the repository."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, encoding="utf-8").stdout
    return set(listed.splitlines()) - set(NOT_HANDED_ON)


def in_source_package(path: Path) -> set[str]:
    """Return the files of a source package, without its own folder and what the build has added."""
    with tarfile.open(path) as archive:
        names = {one.name.partition("/")[2] for one in archive if one.isfile()}
    return {name for name in names if not name.startswith(MADE)}


def in_wheel(path: Path) -> set[str]:
    """Return the files of a wheel by their names here; its description apart, licences by their own."""
    with zipfile.ZipFile(path) as archive:
        names = set(archive.namelist())
    info = next(name.partition("/")[0] for name in names if ".dist-info/" in name)
    licences = {name.removeprefix(f"{info}/licenses/") for name in names if name.startswith(f"{info}/licenses/")}
    code = {name for name in names if not name.startswith(info)}
    return licences | {
        f"cli/{name.removeprefix('turnband/')}" if name.startswith("turnband/") else name for name in code
    }


def differences(folder: Path) -> list[str]:
    """Return what is missing in the packages of a folder, or too much."""
    [source], [wheel] = folder.glob("*.tar.gz"), folder.glob("*.whl")
    kept = tracked()
    wanted = {name for name in kept if name.split("/")[0] in ("cli", "marking", "licences")}
    version = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    found = [f"{path.name} is not of version {version}" for path in (source, wheel) if f"-{version}" not in path.name]
    for path, own, due in ((source, in_source_package(source), kept), (wheel, in_wheel(wheel), wanted)):
        found += [f"{path.name} lacks {name}" for name in sorted(due - own)]
        found += [f"{path.name} holds {name}" for name in sorted(own - due)]
    return found


if __name__ == "__main__":
    if subprocess.run(["git", "rev-parse"], cwd=ROOT, capture_output=True, check=False).returncode:
        sys.exit(print("There is no repository here to compare the packages with."))
    wrong = differences(Path(sys.argv[1]))
    print("\n".join(wrong) or "The packages hold what they should.")
    sys.exit(bool(wrong))
