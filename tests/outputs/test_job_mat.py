"""A mat among the pieces of a job: one list of steps for band and marked socket, and nothing said twice."""

from __future__ import annotations

from typing import Any

from shapely import box, unary_union

from kit.collisions import check, placed_items, shape
from kit.each import each
from marking import OUTPUTS
from marking.drawing.primitives import Document, Text, groups, primitives
from marking.readouts import READOUTS

SPEC, BANDS = "60 N·m + 90° +20/-0", "60 N·m + 60° ±10 + 90° +10/-0"


def a_document(spec: str = SPEC, **more: Any) -> Document:
    job = OUTPUTS["job"]
    asked = {"od": "28 mm", "fasteners": 4, "extras": ("mat",), **more}
    return job.draw(job.plan(job.read(spec, 6, "1/2", **asked)))


def words_of(document: Document) -> str:
    """All words of a document as running text, line after line."""
    texts = (item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
    return " ".join(" ".join(texts).split())


@each("more", [{}, {"od": "60 mm"}, {"od": None, "od_range": "24 mm..32 mm"}])
def test_steps_cautions_and_marks_of_a_job_with_a_mat_are_told_once(more: dict[str, Any]) -> None:
    document = a_document(**more)
    words = words_of(document)
    for once in ("Read the manual: order", "Cautions", "Where the marks lie", "Mark the socket", "Short of the window"):
        assert words.count(once) == 1 + (once == "Mark the socket"), once  # a heading, and the step that leads to it
    assert "Tighten " not in words.replace("Tighten all to the snug torque", "")
    check(document)


def test_band_and_marked_socket_are_read_by_the_same_steps_and_each_has_its_own_error() -> None:
    words = words_of(a_document())
    assert "never both on one socket." in words
    assert "It ends at most 1 mm from the band's edge or the marked socket's." in words
    assert words.count("until the witness mark stands in window “STOP”, 90–110°") == 1
    assert "Band: aim at 100°, between" in words
    assert "Marked socket: aim at 100°, between" in words
    assert "marked socket: the socket within 0.25 mm of the middle of its circle" in words


def test_the_choice_between_band_and_mat_comes_before_the_band_is_fitted() -> None:
    words = words_of(a_document())
    assert words.index("Choose: fit the band, or mark the socket itself on the mat") < words.index("Wrap it tight")


@each("size", [{}, {"od": None, "od_range": "24 mm..32 mm"}])
def test_what_the_marks_rest_on_is_said_once_of_the_marked_socket(size: dict[str, Any]) -> None:
    assert words_of(a_document(**size)).count("; marked socket: the socket within 0.25 mm of the middle") == 1


def test_the_gap_of_the_reading_error_is_the_one_that_the_steps_allow() -> None:
    words = words_of(a_document(gap="0.6 mm"))
    for said in ("0.6 mm from the band's edge or the marked socket's", "0.6 mm between mark and band"):
        assert f"at most {said}" in words


@each(("od", "step"), [
    ("20 mm", "Aim at the aim line, 95°, where there is one."), ("45 mm", "Aim at the aim line, 95°."),
])  # fmt: skip
def test_where_only_one_of_them_has_an_aim_the_step_says_where_there_is_one(od: str, step: str) -> None:
    assert step in words_of(a_document("60 N·m + 90° +10/-0", od=od))


def test_bands_are_changed_but_a_marked_socket_keeps_its_marks() -> None:
    assert "fit the band for stage 2 in the same way. A marked socket keeps its marks." in words_of(
        a_document(BANDS, od="20 mm")
    )
    assert "keeps its marks" not in words_of(a_document())


def test_a_strip_of_paper_round_the_wall_checks_the_lines() -> None:
    assert "STOP, low edge: 21.99 mm; STOP, high edge: 26.88 mm" in words_of(a_document()), "28 π at 90° and 110°"
    assert "round the wall" not in words_of(a_document(od=None, od_range="24 mm..32 mm"))


def test_a_mat_that_finds_no_room_on_the_page_stands_with_the_pieces_and_the_card_is_whole_on_the_next() -> None:
    document = a_document(od="60 mm", fasteners=8)
    assert len(document.pages) == 2
    first, second = document.pages
    names = [{group.name for group in groups(placed.drawing.content)} for placed in first.placed]
    assert any({"mat", "band"} <= each for each in names)
    assert "card-head" in {group.name for placed in second.placed for group in groups(placed.drawing.content)}


@each("od", ["7 mm", "28 mm", "45 mm"])
@each("thread", ["right", "left"])
def test_what_a_mat_takes_of_its_drawing_holds_all_that_is_drawn_and_leaves_corners_to_other_pieces(
    od: str, thread: str
) -> None:
    job = OUTPUTS["job"]
    plan = job.plan(job.read(BANDS, 6, "1/2", od=od, thread=thread, extras=("mat",)))
    joined = READOUTS["mat"].joined(plan.extras[0])
    taken = unary_union([box(*one) for one in joined.taken]).buffer(0.01)
    assert all(taken.contains(shape(item)) for item in primitives(joined.figure.content))
    whole = joined.figure.width_mm * joined.figure.height_mm
    assert taken.area < 0.85 * whole


def test_rulers_are_measured_by_the_first_step_for_band_and_mat_alike() -> None:
    words = words_of(a_document())
    assert words.count("Measure both check rulers") == 1
    assert words.index("Measure both check rulers: both alike within 0.2 mm. Choose:") < words.index(
        "Cut along the dashed lines."
    )


@each("points", [6, 8, 12])
def test_no_corner_number_touches_the_number_of_a_circle(points: int) -> None:
    job = OUTPUTS["job"]
    asked = job.read("40 N·m + 90°, then to 180° in all", points, "3/4", od_range="50 mm..60 mm", extras=("mat",))
    document = job.draw(job.plan(asked))
    check(document)
    texts = [item for page in document.pages for item in placed_items(page) if isinstance(item, Text)]
    assert sum(text.role == "od-number" for text in texts) == 3
    assert sum(text.role == "corner-number" for text in texts) == points
