"""Units and quantities: the table against its makers, and what library calls take and give beside texts."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any

import pint
import pytest
from scipy import constants

from kit.each import each
from marking import MarkingError
from marking.errors import KindError
from marking.fastening.spec_grammar import parse_spec
from marking.fastening.thread import parse_thread
from marking.marks.reading_error import read_error_model
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import read_job
from marking.outputs.record.request import read as read_record
from marking.outputs.stretch.request import parse_modulus
from marking.quantities.parse import parse_angle, parse_length, parse_percent
from marking.quantities.torque import parse_torque
from marking.quantities.units import factor
from marking.sheets.paper import parse_paper
from tools.unit_table import TABLE, unit_table


@cache
def ureg() -> Any:
    """The units of pint, read when a test wants them: that takes half a second."""
    return pint.UnitRegistry()


EXACT = {
    "in": constants.inch * 1000, "cm": 10.0, "lbf": constants.lbf, "kgf·m": constants.g, "kgf·cm": constants.g / 100,
    "lbf·ft": constants.lbf * constants.foot, "lbf·in": constants.lbf * constants.inch, "daN·m": 10.0, "cN·m": 0.01,
    "psi": constants.psi / 1e6, "ksi": constants.psi / 1e3, "GPa": 1000.0,
    "lbf/in": constants.lbf / constants.inch / 1000, "turn": 360.0, "flat": 60.0,
}  # fmt: skip


def test_the_table_of_units_is_what_pint_says_today() -> None:
    assert TABLE.read_text("utf-8") == unit_table()


@each(("unit", "value"), EXACT.items())
def test_factors_agree_with_the_physical_constants(unit: str, value: float) -> None:
    assert factor(unit) == pytest.approx(value, rel=1e-15, abs=0)


def test_factors_that_are_exact_by_definition_are_exact() -> None:
    assert (factor("in"), factor("lbf"), factor("kgf·m")) == (25.4, 4.4482216152605, 9.80665)


@each("text", ["27.8 mm", "2.78 cm", "1.09375 in", "0.0278 m"])
def test_a_length_means_the_same_as_text_and_as_quantity(text: str) -> None:
    assert parse_length(ureg()(text)) == parse_length(text)


def test_equal_lengths_keep_the_unit_they_are_given_in() -> None:
    """1 in = 25.4 mm to pint: nothing may take the one for the other."""
    assert [parse_length(ureg()(text)).unit for text in ("25.4 mm", "1 in", "25.4 mm")] == ["mm", "in", "mm"]


@each(
    ("quantity", "text"),
    [
        (lambda: 110 * ureg().N * ureg().m, "110 N·m"),
        (lambda: 80 * ureg().ft * ureg().lbf, "80 lbf·ft"),
        (lambda: 80 * ureg().lbf * ureg().ft, "80 lbf·ft"),
        (lambda: 11 * ureg().kgf * ureg().m, "11 kgf·m"),
    ],
)
def test_a_torque_means_the_same_as_text_and_as_quantity(quantity: Any, text: str) -> None:
    assert parse_torque(quantity()) == parse_torque(text)


def test_other_quantities_are_taken_too() -> None:
    assert parse_modulus(70 * ureg().GPa) == parse_modulus("70 GPa")
    assert parse_percent(ureg().Quantity(0.5, "percent"), "scale error") == 0.5
    assert parse_angle(ureg().Quantity(math.pi, "rad"), "view angle") == pytest.approx(180.0)


def test_a_job_from_quantities_is_the_job_from_texts() -> None:
    texts = read_job("110 N·m + 90°", 12, "1/2", od="27.8 mm", opening="0.75 in", stock="0.2 mm", gap="2 mm")
    quantities = read_job(
        "110 N·m + 90°", 12, "1/2", od=27.8 * ureg().mm, opening=0.75 * ureg().inch, stock=200 * ureg().um,
        gap=2 * ureg().mm,
    )  # fmt: skip
    assert plan_job(quantities) == plan_job(texts)


@each(("od", "unit"), [("27.8 mm", "millimeter"), ("1.09375 in", "inch")])
def test_a_plan_gives_lengths_and_torques_as_quantities(od: str, unit: str) -> None:
    job = plan_job(read_job("80 lbf·ft + 90°", 12, "1/2", od=od)).job
    assert job.spec.snug is not None
    assert str(job.socket.od.quantity.units) == str(job.length.quantity.units) == unit
    assert job.length.quantity.to("mm").magnitude == pytest.approx(math.pi * (job.socket.od_mm + 0.1))
    assert job.spec.snug.quantity.to("N*m").magnitude == pytest.approx(108.465, abs=0.001)


WRONG_KINDS: dict[str, tuple[Callable[[], object], str]] = {
    "a number for a length": (
        lambda: read_job("90°", 12, "1/2", od=27.8),  # type: ignore[arg-type]
        "the outside diameter is 27.8; expected a text with a unit, such as '27.8 mm', or a pint quantity",
    ),
    "a torque for a length": (
        lambda: read_job("90°", 12, "1/2", od=1 * ureg().N * ureg().m),
        "the outside diameter is 1 meter * newton; expected a text with a unit",
    ),
    "several lengths": (
        lambda: parse_length(ureg().Quantity([1.0, 2.0], "mm")),
        "such as '27.8 mm', or a pint quantity",
    ),
    "a text for a count": (
        lambda: read_job("90°", 12, "1/2", od="27.8 mm", copies="2"),  # type: ignore[arg-type]
        "copies is '2'; expected a whole number",
    ),
    "half a fastener": (
        lambda: read_record("90°", 2.5),  # type: ignore[arg-type]
        "fasteners is 2.5; expected a whole number",
    ),
    "a number for a drive": (
        lambda: read_job("90°", 12, 0.5, od="27.8 mm"),  # type: ignore[arg-type]
        "the drive is 0.5; expected a text such as '1/2'",
    ),
    "a number for a spec": (lambda: parse_spec(90), "the spec is 90; expected a text such as '110 N·m + 90°'"),
    "a number for a thread": (lambda: parse_thread(12), "the thread is 12; expected a text such as 'M12x1.75'"),
    "a number for a paper": (lambda: parse_paper(4), "the paper size is 4; expected a text such as 'a4'"),
    "a number for an angle": (
        lambda: read_error_model({"view_angle": 10}),  # type: ignore[dict-item]
        "the view angle error is 10; expected a text with a unit, such as '5°'",
    ),
}


@each("name", WRONG_KINDS)
def test_a_value_of_the_wrong_kind_is_refused_with_what_is_wanted(name: str) -> None:
    call, message = WRONG_KINDS[name]
    with pytest.raises(KindError) as refusal:
        call()
    assert message in str(refusal.value)


@each("mm", [-1.0, 0.0, math.nan, math.inf])
def test_a_quantity_that_is_no_length_is_refused(mm: float) -> None:
    wanted = r"the outside diameter is .*; expected (more than zero|a number of 0 or more)"
    with pytest.raises(MarkingError, match=wanted):
        parse_length(mm * ureg().mm, "od")
