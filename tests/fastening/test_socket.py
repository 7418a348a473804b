"""Which sockets are believed, and which are refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from kit.each import each
from kit.measure import a_job
from marking import MarkingError
from marking.errors import RangeError, SocketError, TextInputError
from marking.fastening.socket import DRIVES, MM_NAMES, parse_drive, parse_socket, parse_stock
from marking.outputs.job.band_plan import plan_job


@each("drive", DRIVES)
def test_every_drive_is_known_by_its_inches_and_its_millimetres(drive: object) -> None:
    assert isinstance(drive, type(DRIVES[0]))
    for text in (drive.inch, f"{drive.inch} in", f'{drive.inch}"', f"{drive.nominal_mm:g}", f"{drive.nominal_mm:g} mm"):
        assert parse_drive(text) == drive
    assert drive.nominal_mm in MM_NAMES[drive.inch]
    for mm in MM_NAMES[drive.inch]:
        assert parse_drive(f"{mm:g}") == parse_drive(f"{mm:g} mm") == drive
    assert parse_drive("½") == parse_drive("0.5 in") == parse_drive("1/2")


@each("text", ["5/8", "2", "12.5 in", "1/2 mm", "0.4", "13 mm", "12.6 mm", "1 mm", "12.7 cm", "7"])
def test_other_drives_are_refused_with_the_list(text: str) -> None:
    with pytest.raises(SocketError, match=r"1/4 in \(6.3\)"):
        parse_drive(text)


@each("text", ["", "half", "1/2 in x", "-1/2", "1/0", "1/2 İn", "1/2 ın"])
def test_unreadable_drives_are_refused(text: str) -> None:
    with pytest.raises(TextInputError):
        parse_drive(text)


@each(("points", "sides"), [(4, 4), (6, 6), (8, 4), (12, 6)])
def test_an_outside_diameter_has_to_exceed_the_opening_across_corners(points: int, sides: int) -> None:
    corner = 19 / math.cos(math.pi / sides)
    parse_socket(points, "1/2", od=f"{corner + 0.01:.3f} mm", opening="19 mm")
    with pytest.raises(SocketError, match="across its corners"):
        parse_socket(points, "1/2", od=f"{corner - 0.01:.3f} mm", opening="19 mm")


@each("od", ["5.9 mm", "301 mm", "20 m"])
def test_diameters_outside_the_limits_are_refused(od: str) -> None:
    with pytest.raises(RangeError, match="outside diameter"):
        parse_socket(6, "1/4", od=od)


def test_exactly_one_of_od_and_around_is_taken() -> None:
    with pytest.raises(SocketError, match="around"):
        parse_socket(6, "1/2")
    with pytest.raises(SocketError, match="both given; expected one of the two; leave out OD or around"):
        parse_socket(6, "1/2", od="20 mm", around="63 mm")


def test_five_points_are_refused() -> None:
    with pytest.raises(SocketError, match="4, 6, 8 or 12"):
        parse_socket(5, "1/2", od="28 mm")


def test_play_comes_from_the_tables_and_only_for_sizes_they_hold() -> None:
    play = parse_socket(12, "1/2", od="27.8 mm", opening="19 mm").play()
    assert play is not None
    inch = parse_socket(6, "1/2", od="1-1/8 in", opening="3/4 in").play()
    assert inch is not None
    assert inch.fastener.startswith("ASME")
    assert parse_socket(6, "1/2", od="27.8 mm", opening="18.5 mm").play() is None
    assert parse_socket(8, "1/2", od="38 mm", opening="19 mm").play() is None
    assert parse_socket(6, "1/2", od="27.8 mm").play() is None


def test_stock_is_limited() -> None:
    assert parse_stock(None) == 0.1
    assert parse_stock("0.15 mm") == pytest.approx(0.15)
    with pytest.raises(RangeError):
        parse_stock("1.1 mm")


@each(
    "more",
    [
        {"height": "7 mm"}, {"height": "61 mm"}, {"copies": 0}, {"copies": 51}, {"fasteners": 0}, {"fasteners": 201},
        {"ring_width": "11 mm"}, {"ring_width": "41 mm"}, {"ring_bore": "27 mm"}, {"ring_bore": "60 mm"},
        {"paper": "b5"}, {"paper": "11x300"}, {"paper": "2000x300"}, {"paper": "210 x"}, {"start": "edge"},
        {"witness": "last"}, {"errors": {"gap_mm": "-1 mm"}}, {"errors": {"gap_mm": "11 mm"}},
        {"errors": {"view_angle_deg": "61°"}}, {"errors": {"closure_error": "0.5"}}, {"errors": {"speed": "1"}},
        {"thread": "both"}, {"unit": "furlong"}, {"stock": "0 mm"}, {"title": "x" * 121}, {"title": "ab\x07"},
    ],
)  # fmt: skip
def test_options_out_of_range_are_refused(more: dict[str, Any]) -> None:
    from marking.outputs.job.sheet import draw as job_document

    with pytest.raises(MarkingError):
        job_document(plan_job(a_job(**more)))


@each("name", ["start", "witness", "thread", "unit", "paper"])
def test_a_value_without_end_is_shown_in_few_words(name: str) -> None:
    more: dict[str, Any] = {name: "\ud800" * 5_000}
    with pytest.raises(MarkingError) as caught:
        plan_job(a_job(**more))
    assert len(str(caught.value)) < 300
