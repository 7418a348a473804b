"""Real sockets pass without a word; what looks like a slip is remarked on, and never changes a number."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.commands import Run
from kit.each import each
from kit.examples import examples
from kit.sets import a_set, an_item
from marking import OUTPUTS
from marking.errors import RangeError, SocketError
from marking.fastening.hexagons import parse_opening
from marking.fastening.opening import OPENINGS
from marking.fastening.sanity import socket_remarks
from marking.fastening.socket import DRIVES, parse_socket

SPEC = "25 N·m + 90° +10/-0"

REAL: dict[str, dict[float, float]] = {
    "1/4": {4: 6.9, 4.5: 7.5, 5: 8.2, 5.5: 8.8, 6: 9.4, 7: 11, 8: 12.2, 10: 14.7, 13: 18.5, 14: 19.7},
    "3/8": {6: 9.7, 7: 11, 8: 12.2, 9: 13.5, 10: 14.7, 13: 18.5, 16: 22.2, 19: 26, 22: 29.7, 24: 32.2},
    "1/2": {8: 13, 9: 14.4, 10: 15.5, 11: 16.7, 12: 17.9, 13: 19.2, 17: 24.2, 19: 26.7, 24: 33, 32: 43, 36: 48},
    "3/4": {17: 26, 19: 30, 24: 35.8, 30: 43.3, 36: 50.8, 46: 63.3, 55: 74.6},
    "1": {24: 40, 36: 55, 46: 67, 60: 85, 80: 110},
}  # fmt: skip
"""OD by drive and width across flats, in mm: common practice, values from memory."""


@each(("drive", "opening", "od"), [(d, s, od) for d, all_ in REAL.items() for s, od in all_.items()])
def test_real_sockets_pass_without_a_word(drive: str, opening: float, od: float) -> None:
    for points in (6, 12):
        socket = parse_socket(points, drive, od=f"{od} mm", opening=f"{opening} mm")
        assert not [*socket_remarks(socket)]


@given(
    od=st.floats(6, 300), share=st.floats(0.01, 1, exclude_max=True), points=st.sampled_from([*OPENINGS]),
    drive=st.sampled_from([drive.inch for drive in DRIVES]),
)  # fmt: skip
def test_no_socket_with_a_wall_is_refused_for_its_drive(od: float, share: float, points: int, drive: str) -> None:
    across_flats = share * od * OPENINGS[points].flats_per_corners
    assert parse_socket(points, drive, od=f"{od:.9f} mm", opening=f"{across_flats * (1 - 1e-6):.9f} mm").wall_mm


SLIPS: dict[str, tuple[dict[str, str], str]] = {
    "thin-wall": ({"opening": "19 mm", "od": "23.9 mm"}, "a wall of 0.98 mm each side is thin"),
    "unusual-od": ({"od": "12 mm"}, "an OD of 12 mm is unusual on 1/2 in drive (12.5 mm to 48 mm)"),
    "od-like-around": ({"od": "87.6 mm"}, "is 87.6 mm the length round the socket? then give it with {around}"),
    "around-like-od": ({"around": "27.8 mm"}, "27.8 mm looks like a diameter: then give it with {od}"),
    "large-torque": ({"od": "28 mm", "spec": "341 N·m + 90° ±10"}, "341 N·m (252 lbf·ft) is above"),
    "small-torque": ({"od": "28 mm", "spec": "1.1 N·m + 90° ±10"}, "is it really 1.1 N·m (0.811 lbf·ft)?"),
    "hexagon": ({"od": "28 mm", "opening": "M8"}, "opening 13 mm, the hexagon of M8 (ISO 4014)"),
}
"""By code: what is given, and what is said of it."""

GOOD: dict[str, Any] = {"spec": SPEC, "points": 6, "drive": "1/2"}


def explained(**more: str) -> Any:
    explain = OUTPUTS["explain"]
    return explain.plan(explain.read(**GOOD | more))


@each("code", SLIPS)
def test_a_slip_is_remarked_on_by_code_on_the_terminal_and_in_json(run: Run, code: str) -> None:
    more, words = SLIPS[code]
    assert code in [remark.code for remark in explained(**more).warnings]
    given = GOOD | more
    options = [text for name in given.keys() - {"spec"} for text in (f"--{name}", str(given[name]))]
    done = run("explain", given["spec"], *options, "--json")
    assert done.returncode == 0
    assert words.format(around="--around", od="--od") in done.stderr
    warnings = json.loads(done.stdout)["warnings"]
    assert any(words.format(around="around", od="OD") in warning for warning in warnings)


@each("code", SLIPS)
def test_a_slip_is_remarked_on_in_a_set_with_its_row(code: str) -> None:
    found = a_set([an_item(), an_item(id="ODD", **{"od": None, **SLIPS[code][0]})]).warnings
    assert [str(remark).endswith("(ODD)") for remark in found if remark.code == code] == [True]


def test_in_a_set_a_slip_is_told_with_the_names_of_columns(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text(f"id,spec,points,drive,od\nA,{SPEC},6,1/2,87.6 mm\nB,400 N·m + 90° ±5,6,1/2,28 mm\n", "utf-8")
    said = run("set", str(path), "--dry-run").stderr
    assert "then give it with around (A)" in said
    assert "check the torque and drive (B)" in said


def test_a_disc_is_told_of_a_torque_too_large_for_its_drive() -> None:
    disc = OUTPUTS["disc"]

    def codes(spec: str, drive: str) -> list[str]:
        return [remark.code for remark in disc.plan(disc.read(spec=spec, drive=drive)).warnings]

    assert codes("135 N·m + 90° ±10", "3/8") == []
    assert codes("135.1 N·m + 90° ±10", "3/8") == ["large-torque"]
    assert codes("100 lbf·ft + 90° ±10", "3/8") == ["large-torque"]
    assert codes("9000 N·m + 90° ±10", "1-1/2") == [], "nothing is known of it"


@given(
    od=st.floats(6, 300), drives=st.lists(st.sampled_from([*REAL, "1-1/2"]), min_size=2, max_size=2, unique=True),
    torque=st.sampled_from(["1 N·m", "25 N·m", "3000 N·m"]),
)  # fmt: skip
@examples(25)
def test_no_remark_changes_a_number(od: float, drives: list[str], torque: str) -> None:
    odd, other = (
        explained(od=f"{od:.3f} mm", drive=drive, spec=f"{nm} + 90° ±5", paper="a3")
        for drive, nm in zip(drives, (torque, "20 N·m"), strict=True)
    )
    assert (odd.marks, odd.features, odd.budgets) == (other.marks, other.features, other.budgets)
    assert (odd.job.length_mm, odd.cuts) == (other.job.length_mm, other.cuts)


@each(("around", "opening", "error"), [("27.8 mm", "19 mm", SocketError), ("18 mm", None, RangeError)])
def test_a_diameter_given_as_the_length_round_it_is_refused_in_the_words_of_what_was_given(
    around: str, opening: str | None, error: type[Exception]
) -> None:
    with pytest.raises(error) as caught:
        parse_socket(6, "1/2", around=around, opening=opening)
    assert str(caught.value).startswith(f"{around} round the socket make an outside diameter of ")
    assert str(caught.value).endswith(f"{around} looks like a diameter: then give it with OD")
    assert "drive" not in str(caught.value)


def test_a_thread_size_takes_the_hexagon_of_today_and_says_so() -> None:
    assert parse_opening("M14x1.5") == parse_opening("m 14") == ((21.0, "mm", "21 mm"), "M14 (ISO 4014)")
    plan = explained(opening="M10", od="28 mm")
    assert plan.job.socket.opening.mm == 16.0
    said = "opening 16 mm, the hexagon of M10 (ISO 4014); the old one (DIN 931) has 17 mm: for that give opening in mm"
    assert said in [str(remark) for remark in plan.warnings]
    lines = [" ".join(line.split()) for line in OUTPUTS["explain"].text(plan).splitlines()]
    assert "opening 16 mm, the hexagon of M10 (ISO 4014)" in lines


def test_a_thread_size_is_the_width_given_in_mm() -> None:
    by_size, by_width = explained(opening="M14", od="1.4 in"), explained(opening="21 mm", od="1.4 in")
    assert by_size.job.socket.printed() == by_width.job.socket.printed()
    assert by_size.job.socket.play() == by_width.job.socket.play()
    assert math.isclose(by_size.job.length_mm, by_width.job.length_mm)


def test_an_unknown_thread_size_is_refused_with_the_known_ones() -> None:
    with pytest.raises(SocketError, match=r"no hexagon is known for the thread size 'M13'.*M12, M14, M16"):
        parse_opening("M13")
    with pytest.raises(SocketError, match="a socket with 8 points does not hold the hexagon of M14"):
        parse_socket(8, "1/2", od="30 mm", opening="M14")
