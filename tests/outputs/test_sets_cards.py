"""Cards and instructions say what the pieces of a bag need: later stages, pieces used in turn, part rings alone."""

from __future__ import annotations

from kit.collisions import check
from kit.each import each
from kit.sets import a_set, an_item
from marking.drawing.fonts import BODY_PT, wrap
from marking.drawing.primitives import Document, Page, Placed, Text, primitives
from marking.lists.items import Item
from marking.outputs.job.words import GLUE_PIECES, OFF_POINTER, OR_POINTER, TAPE_IT
from marking.outputs.sets import words
from marking.outputs.sets.labels import draw_label
from marking.sheets.words import BY_WITNESS_MARK, FRESH_RING, PREPARE


def card(*items: Item) -> str:
    plan = a_set(list(items), cards=True)
    (label,) = (part.label for part in plan.parts if part.label)
    return " ".join(label.steps)


FRESH = "Cross out the old mark and put a fresh one beside START"


@each(
    ("spec", "witness", "anew", "from_snug"),
    [
        ("60 N·m + 90° ±10", None, False, False),
        ("60 N·m, 60° ±10, 60° ±10", None, True, False),
        ("60 N·m, 60° ±10, 180° ±10", "first", False, True),
        ("20 N·m, 90° ±10, loosen, 30 N·m, 90° ±10", "first", True, False),
    ],
)
def test_a_card_tells_how_later_stages_begin_as_their_piece_counts_them(
    spec: str, witness: str | None, anew: bool, from_snug: bool
) -> None:
    said = card(an_item(spec=spec, witness=witness, od="40 mm"))
    assert (FRESH in said) is anew
    assert (words.FROM_SNUG in said) is from_snug


def test_the_card_of_part_rings_alone_speaks_of_no_witness_mark_and_no_window_stop() -> None:
    ring = an_item(kind="ring", spec="60 N·m, 40° ±15, 80° ±15", od="60 mm")
    said = card(ring)
    for sentence in (words.ZERO_AT_START, words.TURN_BY_RING, words.READ_RING, FRESH_RING):
        assert sentence in said
    assert "witness" not in said
    assert "STOP" not in said
    both = card(ring, an_item(id="Y", od="60 mm", row=3))
    for sentence in (words.OR_RING, words.OR_BY_RING, words.TURN, FRESH_RING):
        assert sentence in both
    assert words.TURN_BY_RING not in both


def test_nothing_is_set_on_the_part_before_the_torques_are_done() -> None:
    stages = {"spec": "60 N·m, 40° ±15, 80° ±15", "od": "60 mm"}
    said = card(an_item(fasteners=2, **stages), an_item(id="Y", kind="ring", row=3, **stages))
    order = [
        TAPE_IT,
        PREPARE,
        "Do the torques",
        BY_WITNESS_MARK.mark,
        OR_POINTER,
        words.OR_RING,
        words.TURN,
        OFF_POINTER,
    ]
    places = [said.index(sentence) for sentence in order]
    assert places == sorted(places)
    before = said[: said.index("Do the torques")]
    assert "pointer" not in before
    assert "leave it loose" in before


@each(("threads", "way", "badges"), [(["right"], "RIGHT", 0), (["left"], "LEFT", 1), (["left", "right"], "BOTH", 0)])
def test_a_card_tells_which_way_its_own_pieces_turn(threads: list[str], way: str, badges: int) -> None:
    items = [an_item(id=f"X{k}", thread=thread, row=k + 2) for k, thread in enumerate(threads)]
    plan = a_set(items, cards=True)
    (label,) = (part.label for part in plan.parts if part.label)
    assert f"with a torque wrench: {getattr(words, way)}. Then" in " ".join(label.steps)
    drawing = draw_label(label)
    check(Document((Page(drawing.width_mm + 20, drawing.height_mm + 20, (Placed(drawing, 10, 10),)),)))
    assert [item.grey for item in primitives(drawing.content) if isinstance(item, Text)].count(1.0) == badges


@each(("turn", "counted"), [("345° ±10", False), ("355° ±10", True), ("450° ±10", True)])
def test_a_card_asks_to_count_full_turns_where_its_pieces_say_any(turn: str, counted: bool) -> None:
    assert (words.FULL_TURNS in card(an_item(spec=f"60 N·m + {turn}"))) is counted


@each(
    ("kind", "gap", "alike"),
    [
        ("band", "It ends at most 1 mm from the band's edge.", False),
        ("mat", "It ends at most 1 mm from the marked socket's edge.", True),
        ("disc", "at the disc's edge, at most 3 mm above it", True),
        ("ring", "", True),
    ],
)
def test_a_card_asks_for_what_the_reading_error_counts_on(kind: str, gap: str, alike: bool) -> None:
    said = card(an_item(kind=kind, od="60 mm"))
    assert gap in said
    assert said.count("at most") == bool(gap)
    assert ("both rulers are alike within 0.2 mm" in said) is alike


def test_bands_used_in_turn_are_changed_and_not_glued_together() -> None:
    in_turn = card(an_item(spec="60 N·m, 85° ±10, 95° ±10"))
    assert (words.BY_STAGE in in_turn, GLUE_PIECES in in_turn) == (True, False)
    in_pieces = card(an_item(od="120 mm", drive="1"))
    assert (words.BY_STAGE in in_pieces, GLUE_PIECES in in_pieces) == (False, True)


def test_no_line_ends_between_a_number_and_its_unit_or_tolerance() -> None:
    text = "A-1: 20 N·m, then 60 N·m, then 90° +10/−0, then 180° ±10, 1/2 in, OD 27.8 mm, corner 1, stage 2, “STOP 2”"
    for width in range(20, 60):
        lines = wrap(text, width, BODY_PT)
        assert " ".join(lines) == text
        assert not any(
            line.endswith(("20", "60", "°", "OD", "1/2", "27.8", "corner", "stage", "STOP")) for line in lines
        )
    assert wrap("90° +10/−0", 11.0, BODY_PT) == ["90°", "+10/−0"], "wider than a line, it is broken there"
