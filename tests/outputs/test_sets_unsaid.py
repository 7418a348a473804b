"""What a short or low band has no room for stands below it, or is told; one without room for its labels is a fault."""

from __future__ import annotations

from kit.each import each
from kit.measure import placed_texts
from kit.sets import a_set, an_item
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import plan_good
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper, parse_paper

COUNTS = "STOP, each stage: new mark · 90°, 180° from snug in all"
SHORT = {"spec": "90° +10/-0, 90° +10/-0", "od": "10 mm", "drive": "1/4"}


def test_words_that_find_no_room_on_a_short_band_stand_below_it() -> None:
    plan = a_set([an_item(**SHORT)])
    (page,) = set_document(plan).pages
    said = " ".join(text.text for text in placed_texts(page))
    assert COUNTS in said
    assert "unsaid" not in [remark.code for remark in plan.warnings]


def test_on_tape_words_that_find_no_room_are_told() -> None:
    plan = a_set([an_item(id="Y"), an_item(**SHORT, row=3)], tape=parse_paper("18mm tape"))
    (remark,) = (remark for name, remark in plan.remarks if remark.code == "unsaid")
    assert COUNTS in str(remark)
    assert ("X", remark) in plan.remarks


@each("thread", ["right", "left"])
@each("paper", [None, "12mm tape"])
def test_a_band_without_room_for_its_labels_is_a_fault_of_its_row(thread: str, paper: str | None) -> None:
    tape = {} if paper is None else {"tape": parse_paper(paper)}
    bad = an_item(id="B", spec="450° ±10", od="8 mm", drive="1/4", thread=thread, row=7)
    plan = plan_good([an_item(), bad], SetOptions(Paper(*SIZES["a4"]), **tape))  # type: ignore[arg-type]
    assert [fault.row for fault in plan.faults] == [7]
    assert {part.item.id for part in plan.parts} == {"X"}
    for page in set_document(plan).pages:  # none is refused only when it is drawn
        assert page.placed
