"""What loads when: the library loads no renderer, help loads fields and nothing else."""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

import pytest

from kit.commands import loaded_by, loaded_by_each
from kit.each import each
from marking.outputs import OUTPUTS

TABLES = {
    "marking.fastening", "marking.fastening.hand", "marking.fastening.opening", "marking.files",
    "marking.files.formats", "marking.marks", "marking.marks.places", "marking.quantities",
    "marking.quantities.angles", "marking.readouts",
}  # fmt: skip
"""Where fields take their choices from: tables without anything heavy behind them."""

FRONT_DOOR = {"marking", "marking.errors", "marking.fields", "marking.outputs"}


def of_the_library(modules: set[str]) -> set[str]:
    return {name for name in modules if name.split(".")[0] == "marking"}


def test_importing_the_library_loads_no_renderer_and_no_command_line() -> None:
    modules = loaded_by("import marking")
    assert of_the_library(modules) - TABLES == FRONT_DOOR
    assert not modules & {"reportlab", "click", "pint"}


def test_what_the_front_door_promises_loads_when_it_is_used() -> None:
    modules = loaded_by("import marking\nassert [getattr(marking, name) for name in marking.__all__]")
    assert {"marking.fastening.socket", "marking.files.formats"} <= modules
    assert not modules & {"reportlab", "click"}


FIELDS = {f"marking.outputs{module}" for module in OUTPUTS.modules.values()}
"""The modules that hold what outputs ask for."""


HELP: dict[str, set[str]] = {
    "--help": FIELDS, "printer --help": set(), "printer add --help": set(),
    **{f"{name} --help": {f"marking.outputs{module}"} for name, module in OUTPUTS.modules.items()},
}  # fmt: skip


@pytest.fixture(scope="module")
def loaded_by_help() -> dict[str, set[str]]:
    codes = [f"main({command.split()}, standalone_mode=False)" for command in HELP]
    return dict(zip(HELP, loaded_by_each("from turnband.main import main", codes), strict=True))


@each(("command", "own"), HELP.items())
def test_help_loads_fields_alone_of_the_library_and_no_renderer(
    loaded_by_help: dict[str, set[str]], command: str, own: set[str]
) -> None:
    modules = loaded_by_help[command]
    assert "click" in modules
    shared = {"marking.outputs.job"} if own & {"marking.outputs.explain", "marking.outputs.mat"} else set()
    assert of_the_library(modules) - TABLES == (FRONT_DOOR | own | shared if own else set())
    assert not modules & {"reportlab", "pint", "filelock", "platformdirs", "tomli_w"}


def test_a_cold_job_loads_no_unit_library_and_nothing_for_profiles(tmp_path: Path) -> None:
    job = ["job", "110 N·m + 90° +10/-0", "--points", "12", "--drive", "1/2", "--od", "1.1 in", "-o"]
    code = f"from turnband.main import main\nmain({[*job, str(tmp_path / 'x.pdf')]!r}, standalone_mode=False)"
    modules = loaded_by(code)
    assert "reportlab" in modules
    assert not modules & {"pint", "numpy", "shapely", "platformdirs", "filelock", "tomli_w", "openpyxl"}


def test_explaining_loads_no_renderer() -> None:
    code = (
        "from marking import OUTPUTS\njob = OUTPUTS['explain']\n"
        "assert job.text(job.plan(job.read(spec='90° ±5', points=6, drive='1/2', od='28 mm')))"
    )
    assert not loaded_by(code) & {"reportlab"}


def _parted(package: str) -> tuple[str, str]:
    top, dot, more = package.partition(".")
    return top, dot + more


def test_the_wheel_claims_turnband_and_marking_and_nothing_else() -> None:
    root = Path(__file__).parent.parent
    setup = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    assert {package.split(".")[0] for package in setup["packages"]} == {"turnband", "marking"}
    folders = {
        f"{setup['package-dir'].get(top, top)}{more}".replace(".", "/") for top, more in map(_parted, setup["packages"])
    }
    there = {
        path.parent.relative_to(root).as_posix() for top in ("marking", "cli") for path in (root / top).rglob("*.py")
    }
    assert folders == there, "every folder of code is in the wheel"
    assert "cli" not in sys.modules
