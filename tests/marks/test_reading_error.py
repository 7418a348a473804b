"""The reading error, the aim zone, and what is said when the window cannot be proved."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.measure import a_job, document_of, placed_texts
from marking import OUTPUTS
from marking.fastening.spec import Window
from marking.marks.reading_error import Budget, Contribution, ErrorModel
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.report import data as as_data
from marking.outputs.job.request import JobRequest, read_trim_job
from marking.outputs.job.sheet import draw as job_document
from marking.outputs.job.words import reading_error
from marking.readouts.band.error import band_contributions, sufficient_od_mm
from marking.readouts.drive_disc.error import disc_budget
from marking.readouts.part_ring.error import ring_budget
from marking.reports import budget_data

Table = dict[str, tuple[float, float]]


def table(contributions: Iterable[Contribution]) -> Table:
    return {c.name: (c.half_width, c.sensitivity) for c in contributions}


def check_table(contributions: Iterable[Contribution], expected: Table) -> None:
    found = table(contributions)
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values, rel=2e-5), name


def test_contributions_of_a_band_are_those_of_the_method() -> None:
    """By hand for θ = 100°, D = 27.8 mm, t = 0.1 mm: L = π·27.9 = 87.6504 mm, half a per cent of it 0.438252 mm, θ/L =
    1.140896; on the face, 28.0 mm across, 1 mm is 360/(π·28) = 4.092556°; 1 mm · tan 10° = 0.176327 mm."""
    face = 4.092556
    check_table(band_contributions(100, 27.8, 0.1, ErrorModel()), {
        "closure": (0.438252, 1.140896),
        "witness mark": (0.25, face), "stop reading": (0.25, face),
        "parallax at START": (0.176327, face), "parallax at the stop": (0.176327, face),
        "sideways play at START": (0.2, face), "sideways play at the stop": (0.2, face),
    })  # fmt: skip


def test_the_expanded_error_of_a_band_is_worked_by_hand() -> None:
    """u: closure 0.5·/√3 = 0.28867; mark and stop 0.59071 each, parallax 0.41663 each, play 0.47257 each; √(0.08333 +
    2·(0.34893 + 0.17358 + 0.22332)) = √1.57500 = 1.25499, doubled 2.50997."""
    assert plan_job(a_job()).budgets[0].expanded_deg == pytest.approx(2.50997, abs=3e-5)


@each(("od", "half_mm"), [(12.0, 0.3), (19.0, 0.3), (27.8, 0.438252), (60.0, 0.944048), (63.6, 1.0), (96.0, 1.0)])
def test_the_closure_is_half_a_per_cent_of_the_band_between_its_limits(od: float, half_mm: float) -> None:
    """π·12.1 = 38.01 mm and π·19.1 = 60.004 mm: just past 60 mm the half per cent begins; π·60.1 = 188.81 mm."""
    closure = band_contributions(100, od, 0.1, ErrorModel())[0]
    assert closure.half_width == pytest.approx(half_mm, rel=1e-4)
    assert closure.sensitivity == pytest.approx(100 / (math.pi * (od + 0.1)))


def test_a_splice_counts_once_each_and_trimming_by_itself() -> None:
    """On a closed length of 87.6504 mm: 360/L = 4.107224° a mm; 100°/(D + t) = 3.584229° a mm of OD."""
    found = table(band_contributions(100, 27.8, 0.1, ErrorModel(trimmed_od_mm=0.1), splices=2))
    assert found["splice 1"] == found["splice 2"] == pytest.approx((0.3, 4.107224), rel=2e-6)
    assert found["trimming"] == pytest.approx((0.1, 3.584229), rel=2e-6)
    assert len(found) == 10


def test_a_band_in_pieces_counts_the_splices_between_start_and_the_window() -> None:
    """As the pieces lie on the paper: START, cuts and the window's edges, from the band's left end."""
    counts = set()
    for turn in (45, 120, 200, 250):
        for thread in ("right", "left"):
            plan = plan_job(a_job(f"60 N·m + {turn}° ±10", 6, "1", od="96 mm", thread=thread, paper="110x110"))
            (band,), (cuts,) = plan.bands, plan.cuts
            assert cuts
            between = 0
            for edge in (turn - 10, turn + 10):
                begin, end = sorted((band.x_of(0), band.x_of(edge)))
                between = max(between, len([x for x in cuts if begin < x < end]))
            names = [c.name for c in plan.budgets[0].contributions]
            assert sum("splice" in name for name in names) == between
            counts.add(between)
    assert len(counts) > 1, "some windows lie on START's own piece, some do not"


def test_an_opening_of_the_tables_gives_the_sideways_play() -> None:
    """19 mm: openings up to 19.36 mm, hexagons from 18.67 mm, so that (19.36 − 18.67)/2 = 0.345 mm each way."""
    assert a_job(opening="19 mm").model.play_mm == pytest.approx(0.345)
    assert a_job(opening="19 mm", sideways_error="0.1 mm").model.play_mm == pytest.approx(0.1)
    assert a_job().model.play_mm == a_job(points=8, opening="19 mm").model.play_mm == 0.2


def test_the_band_is_judged_at_the_edge_farther_along_it_never_across_the_seam() -> None:
    """270° −20 +10: 250° lies 110° behind START, 280° lies 80°; the seam of 120° ±10 lies beyond both its edges."""
    (behind,) = plan_job(a_job("60 N·m + 270° +10/-20")).budgets
    (before,) = plan_job(a_job("60 N·m + 120° ±10")).budgets
    length = math.pi * 27.9
    assert behind.contributions[0].sensitivity == pytest.approx(110 / length)
    assert before.contributions[0].sensitivity == pytest.approx(130 / length)


def test_the_aim_lies_in_the_middle_of_the_window_less_the_reading_error() -> None:
    budget = plan_job(a_job()).budgets[0]
    zone = budget.aim_zone
    assert zone is not None
    assert zone.low_deg == pytest.approx(90 + budget.expanded_deg)
    assert zone.high_deg == pytest.approx(100 - budget.expanded_deg)
    assert budget.aim_deg == pytest.approx(95)
    assert budget.expanded_deg == pytest.approx(2 * math.sqrt(sum(c.u_deg**2 for c in budget.contributions)))


def budget_for(left_deg: float) -> Budget:
    """A budget with U = 4° that leaves `left_deg` of its window."""
    return Budget(1, (Contribution("", 2 * math.sqrt(3), "°", 1.0),), Window(90, 98 + left_deg))


@each(("left", "verdict"), [
    (5, "aim"), (2.001, "aim"), (1.999, "narrow"), (0.001, "narrow"), (-0.001, "unproved"), (-5, "unproved"),
])  # fmt: skip
def test_only_a_zone_of_two_degrees_is_an_aim(left: float, verdict: str) -> None:
    budget = budget_for(left)
    assert budget.expanded_deg == pytest.approx(4)
    assert budget.verdict == verdict
    assert (budget.aim_zone is not None) is (budget.aim_deg is not None) is (verdict == "aim")
    data = budget_data(budget, "band")
    aims = [data["aim_low_deg"], data["aim_high_deg"], data["aim_deg"]]
    assert aims == (pytest.approx([94, 94 + left, 94 + left / 2]) if verdict == "aim" else [None] * 3)


@each(("plus", "words"), [
    (10, "cannot prove the window 90–100°"), (12.5, "of the window 90–102.5° is too narrow to hit"),
])  # fmt: skip
def test_a_window_without_an_aim_is_said_with_the_diameter_that_would_do(plus: float, words: str) -> None:
    spec = f"20 N·m + 90° +{plus}/-0"
    plan = plan_job(a_job(spec, 6, "1/4", od="12 mm"))
    assert plan.budgets[0].aim_zone is None
    assert not [mark for mark in plan.marks if mark.kind == "aim"]
    warning = next(w for w in map(str, plan.warnings) if words in w)
    od = float(warning.split("band on a diameter of at least ")[1].split(" mm")[0])
    assert plan_job(a_job(spec, 6, "1/4", od=f"{od + 0.02} mm", paper="900x900")).budgets[0].verdict == "aim"
    assert plan_job(a_job(spec, 6, "1/4", od=f"{od - 0.2} mm", paper="900x900")).budgets[0].verdict == "narrow"


def test_no_band_is_advised_on_a_socket_larger_than_its_drive_has() -> None:
    """90–96° takes an OD of some 35 mm, which sockets on 1/4 in do not have, but some on 1/2 in do."""
    for drive, od, advised in (("1/4", "12 mm", False), ("1/2", "16 mm", True)):
        plan = plan_job(a_job("20 N·m + 90° +6/-0", 6, drive, od=od))
        assert any("band on a diameter of at least" in str(warning) for warning in plan.warnings) is advised


def test_a_window_narrower_than_what_a_hand_hits_has_no_diameter() -> None:
    assert sufficient_od_mm(Window(300, 301), 300, 330, 0.1, ErrorModel()) is None
    plan = plan_job(a_job("20 N·m + 200° +0.5/-0", od="60 mm"))
    assert any("nothing here leaves enough of it to hit" in str(warning) for warning in plan.warnings)


def test_what_is_advised_has_an_aim() -> None:
    """Every readout's own budget, for windows from hopeless to easy: named if and only if it leaves an aim."""
    named = set()
    for od, plus in itertools.product((12, 28, 96), (3, 3.7, 6, 8, 11, 13)):
        job = a_job(f"20 N·m + 170° +{plus}/-0", 6, "3/4", od=f"{od} mm", ring_bore=f"{od + 0.2} mm")
        plan = plan_job(job)
        (budget,), said = plan.budgets, " ".join(map(str, plan.warnings))
        if budget.verdict == "aim":
            assert "what can" not in said
            continue
        disc = disc_budget(1, 170, budget.window, 70, job.socket.drive, job.model)
        ring = ring_budget(1, 170, budget.window, job.bore_mm, od, job.model)
        for words, other in (("a drive disc of 70 mm (±", disc), ("a part ring (±", ring)):
            assert (words in said) is (other.verdict == "aim")
            named |= {words} if words in said else set()
    assert len(named) == 2


def test_without_a_tolerance_there_is_a_stop_line_and_a_warning_but_no_aim() -> None:
    plan = plan_job(a_job("110 N·m + 90°"))
    assert [mark.kind for mark in plan.marks] == ["start", "stop"]
    advice = "stop at the line, not short of it; ask the manual's maker for a tolerance where it matters"
    assert any(advice in str(warning) for warning in plan.warnings)
    assert words_of(plan.job).count(advice) == 2, "with the reading error, and with the steps"
    assert as_data(plan)["budgets"][0]["aim_low_deg"] is None


def test_without_a_snug_torque_there_is_a_warning() -> None:
    assert any("no snug torque" in str(warning) for warning in plan_job(a_job("90° ±5")).warnings)
    assert not any("no snug torque" in str(warning) for warning in plan_job(a_job("hand tight + 90° ±5")).warnings)


@each(
    ("option", "text"),
    [
        ("closure_error", "1 mm"), ("sideways_error", "0.4 mm"), ("witness_error", "0.5 mm"),
        ("stop_error", "0.5 mm"), ("gap", "3 mm"), ("view_angle", "20°"),
    ],
)  # fmt: skip
def test_every_default_can_be_replaced_and_counts(option: str, text: str) -> None:
    usual = plan_job(a_job()).budgets[0].u_deg
    larger: dict[str, Any] = {option: text}
    smaller: dict[str, Any] = {option: text.replace(text.split()[0].rstrip("°"), "0")}
    assert plan_job(a_job(**larger)).budgets[0].u_deg > usual
    assert plan_job(a_job(**smaller)).budgets[0].u_deg < usual


def test_a_splices_own_error_counts_where_there_is_one() -> None:
    long: dict[str, Any] = {"spec": "60 N·m + 200° ±10", "drive": "1", "od": "96 mm", "paper": "110x110"}
    plan, worse = plan_job(a_job(**long)), plan_job(a_job(**long, splice_error="1 mm"))
    assert "splice 1" in table(plan.budgets[0].contributions)
    assert worse.budgets[0].u_deg > plan.budgets[0].u_deg
    assert plan_job(a_job(splice_error="1 mm")).budgets == plan_job(a_job()).budgets


@given(st.floats(9, 150), st.floats(20, 340))
def test_the_reading_error_falls_with_the_diameter(od: float, turn: float) -> None:
    small = band_contributions(turn, od, 0.1, ErrorModel())
    large = band_contributions(turn, od + 5, 0.1, ErrorModel())
    assert sum(c.u_deg**2 for c in large) < sum(c.u_deg**2 for c in small)


def test_whole_turns_add_nothing_to_the_reading_error() -> None:
    one, two = plan_job(a_job("90° ±10")), plan_job(a_job("450° ±10"))
    assert one.budgets[0].u_deg == pytest.approx(two.budgets[0].u_deg)


def words_of(job: JobRequest) -> str:
    """The words of all pages, without the signs that stand before the lines of a list."""
    document = job_document(plan_job(job))
    return " ".join(text.text for page in document.pages for text in placed_texts(page) if len(text.text) > 2)


def test_the_sheet_names_aim_error_and_assumptions() -> None:
    words = words_of(a_job(opening="19 mm"))
    assert "Band: aim at 95°, between 93.1° and 96.9°, read give or take 3.1°." in words
    for value in ("orking assumptions", "95 of 100 readings", "at most 1 mm between mark and band", "0.44 mm each way",
                  "±0.25 mm", "10°", "±0.345 mm sideways"):  # fmt: skip
        assert value in words


def test_an_asked_closure_narrows_the_bracket_and_never_widens_it() -> None:
    for asked, drawn in (("0.2 mm", "0.2"), ("0.9 mm", "0.44")):
        words = words_of(a_job(closure_error=asked))
        assert f"within {drawn} mm of the dotted closure line" in words
        assert f"in the OK bracket ({drawn} mm each way)" in words
    assert "splice" not in words_of(a_job())
    spliced = plan_job(a_job("60 N·m + 200° ±10", 6, "1", od="96 mm", paper="110x110"))
    lines = reading_error(spliced.budgets, spliced.remedies, (), spliced.job.model, 1.0)
    assert "each splice within 0.3 mm" in lines[-1]


def test_the_sheet_says_what_can_where_a_band_cannot() -> None:
    for od in ("12 mm", "16 mm"):
        words = words_of(a_job(od=od, points=6, drive="1/4"))
        assert "Band: no aim: read give or take" in words
        assert "What can: a drive disc of 70 mm (±2.1°), or a band on a diameter of at least 17.2 mm." in words
        assert "--with" not in words, "no option helps whoever stands at the bench"


def test_what_can_is_a_disc_that_the_named_paper_carries() -> None:
    for half, paper, size in (("2", "a4", "151 mm"), ("1.6", "a3", "255 mm"), ("1.3", "", "")):
        plan = plan_job(a_job(f"60 N·m + 90° ±{half}", 6, "1/2", od="46 mm"))
        said = str(plan.remedies[0])
        named = f"a drive disc of at least {size}{', on A3 paper' if paper == 'a3' else ''}"
        assert named in said or not paper
        assert paper or "too narrow to hit" in said, "a larger one proves it alone"
        if paper:
            assert document_of("disc", spec=f"60 N·m + 90° ±{half}", drive="1/2", diameter=size, paper=paper).pages
    plan = plan_job(a_job("60 N·m + 90° +10/-0", 6, "1/4", od="12 mm"))
    (unproved,) = [remark for remark in plan.warnings if remark.code == "unproved"]
    assert "a drive disc of 70 mm (±2.1°), which turnband disc prints, or" in unproved.said(lambda field: field)


def test_every_readout_that_is_printed_has_its_own_budget_in_data() -> None:
    plan = OUTPUTS["job"].plan(a_job("60 N·m + 90° +20/-0, 45° ±8", od="60 mm", ring="full", extras=("disc",)))
    data = OUTPUTS["job"].data(plan)
    found = [(budget["readout"], budget["stage"]) for budget in data["budgets"]]
    assert found == [("band", 1), ("band", 2), ("ring", 1), ("ring", 2), ("disc", 1), ("disc", 2)]
    assert len({budget["U_deg"] for budget in data["budgets"]}) == 6
    said = OUTPUTS["job"].text(plan)
    for budget in data["budgets"]:
        assert f"reading error, {budget['readout']}, stage {budget['stage']}" in said
        assert budget["U_deg"] == budget["expanded_deg"]
    assert said.count("aim at") == [budget["verdict"] for budget in data["budgets"]].count("aim")


def test_ring_contributions_are_those_of_a_dial_off_its_centre() -> None:
    """By hand for 100° on a bore of 28.8 mm round 27.8 mm: r = 13.9 mm, 180/(π r) = 4.121998° a mm; off by 0.5 mm at
    most, sin 50° = 0.766044; START is 1 mm above and up to 1 mm inside the bore, √2 · tan 10° = 0.249364 mm."""
    face = 4.121998
    check_table(ring_budget(1, 100, None, 28.8, 27.8, ErrorModel()).contributions, {
        "centring": (0.5, 6.315266), "unequal print scale": (0.2, 0.564253),
        "witness mark": (0.25, face), "stop reading": (0.25, face),
        "parallax at START": (0.249364, face), "parallax at the stop": (0.249364, face),
        "sideways play at START": (0.2, face), "sideways play at the stop": (0.2, face),
    })  # fmt: skip


def test_a_trim_band_and_its_ring_are_judged_at_the_smallest_od() -> None:
    """Cut 0.25 mm off its row, 2.5 mm of rows a mm of OD: 0.1 mm. Between two bores there are up to 3 mm to spare."""
    plan = OUTPUTS["job"].plan(read_trim_job("60 N·m + 90° +50/-0", 6, "1/2", od_range="24 mm..32 mm", ring="full"))
    (part,) = plan.parts
    (band,), (ring,) = part.plan.budgets, part.ring_budgets
    assert table(band.contributions)["trimming"] == pytest.approx((0.1, 140 / 24.1))
    assert table(band.contributions)["closure"] == pytest.approx((0.005 * math.pi * 24.1, 140 / (math.pi * 24.1)))
    assert table(ring.contributions)["centring"][0] == pytest.approx(1.5)
    assert [budget["readout"] for budget in OUTPUTS["job"].data(plan)["budgets"]] == ["band", "ring"]


@each(("window", "size"), [("+2/-0", "147 mm"), ("+1/-0", "")])
def test_what_proves_a_window_that_nobody_hits_is_said(window: str, size: str) -> None:
    """A window 2° wide never leaves the 2° that a hand needs, but a large disc can prove it."""
    spec = f"10 N·m + 45° {window}"
    words = words_of(a_job(spec, od="7 mm", points=6, drive="1/4"))
    assert "Nothing here leaves enough of it to hit, no larger socket usual on the drive and no other readout" in words
    assert (
        f"a drive disc of at least {size} proves it, though what that leaves is too narrow to hit" in words
    ) is bool(size)
    if size:
        disc = OUTPUTS["disc"]
        verdicts = [
            disc.plan(disc.read(spec, "1/4", diameter=mm)).budgets[0].verdict for mm in ("140 mm", size, "190 mm")
        ]
        assert verdicts == ["unproved", "narrow", "narrow"]
