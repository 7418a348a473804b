"""What loads when: the library loads no renderer, help loads no library."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest


def loaded_by(code: str) -> set[str]:
    shown = f"import sys\n{code}\nprint(*sorted(sys.modules), file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", shown], capture_output=True, encoding="utf-8", check=True)
    return set(done.stderr.split())


def test_importing_the_library_loads_no_renderer_and_no_command_line() -> None:
    modules = loaded_by("import marking")
    assert "marking.job" in modules
    assert not modules & {"reportlab", "svgwrite", "click", "pint"}


@pytest.mark.parametrize("command", ["['--help']", "['job', '--help']"])
def test_help_loads_neither_the_library_nor_a_renderer(command: str) -> None:
    code = f"from turnband.main import main\nmain({command}, standalone_mode=False)"
    modules = loaded_by(code)
    assert "click" in modules
    assert not modules & {"marking", "reportlab", "svgwrite", "pint"}


def test_explaining_loads_no_renderer() -> None:
    code = (
        "from marking import as_text, plan_job, read_job\nas_text(plan_job(read_job('90° ±5', 6, '1/2', od='28 mm')))"
    )
    assert not loaded_by(code) & {"reportlab", "svgwrite"}


def test_the_wheel_claims_turnband_and_marking_and_nothing_else() -> None:
    root = Path(__file__).parent.parent
    setup = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    assert {package.split(".")[0] for package in setup["packages"]} == {"turnband", "marking"}
    folders = {setup["package-dir"].get(p, p.replace(".", "/")) for p in setup["packages"]}
    there = {
        path.parent.relative_to(root).as_posix() for top in ("marking", "cli") for path in (root / top).rglob("*.py")
    }
    assert folders == there, "every folder of code is in the wheel"
    assert "cli" not in sys.modules
