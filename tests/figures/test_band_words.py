"""Where words and figures stand on a band, measured in the finished drawing: over their ticks, at their own windows."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pytest

from kit.band_pieces import Piece, Written, pieces_of
from kit.each import each
from kit.measure import document_of, of_role, only
from marking.drawing.strokes import STROKES
from marking.errors import LayoutError
from marking.fastening.spec_grammar import parse_spec

# -- figures over their ticks

FIGURED = [
    ("10 N·m + 90° ±20", 6, "1/4", {"od": "7 mm"}),
    ("100 N·m + 360° ±10", 6, "1/2", {"od": "45 mm"}),
    ("60 N·m, 90° ±5, 90° ±5, 60° ±5", 6, "1/2", {"od": "28 mm", "thread": "left"}),
    ("40 N·m + 90° + 45°", 8, "1/2", {"od": "27.8 mm"}),
    ("60 N·m + 240° ±8", 4, "3/4", {"od": "38 mm"}),
    ("110 N·m + 90° +10/-0", 12, "1/2", {"od": "27.8 mm", "start": "flat"}),
    ("300 N·m + 90° +10/-0 + 60° ±8", 12, "1-1/2", {"od": "96 mm"}),
    ("110 N·m + 90° +10/-0", 12, "1/2", {"od_range": "24 mm..32 mm"}),
    ("60 N·m + 60° ±8", 6, "3/8", {"od_range": "20 mm..26 mm", "thread": "left"}),
    ("60 N·m + 90° ±15, 60° ±10", 12, "1/4", {"od": "12 mm"}),
    ("60 N·m + 90° ±15, 60° ±10", 12, "1/2", {"od": "28 mm", "thread": "left"}),
]  # fmt: skip


@lru_cache(maxsize=64)
def bands_of(spec: str, points: int, drive: str, **more: Any) -> list[Piece]:
    return pieces_of(document_of("job", spec=spec, points=points, drive=drive, copies=1, **more))


def tick_x(piece: Piece, figure: Written, points: int) -> float:
    """Where the tick that a figure's words name lies at the figure's own height."""
    y = (figure.shape.bounds[1] + figure.shape.bounds[3]) / 2
    first, *second = figure.text.split("–")
    kind = "mid-flat" if second else "corner"
    found = [line for line in of_role(piece.lines, kind) if line.data["index"] == first]
    if figure.text.endswith("°"):
        deg = int(figure.text.removesuffix("°"))
        flats = {"corner": 0.0, "mid-flat": 180.0 / points}
        found = [line for line in of_role(piece.lines, "degree", "degree-guide") if line.data["deg"] == str(deg)] or [
            line
            for line in of_role(piece.lines, *flats)
            if (int(line.data["index"]) - 1) * 360 / points + flats[line.role] == deg
        ]
    (line,) = found
    at: float = line.x1 + (y - line.y1) / (line.y2 - line.y1) * (line.x2 - line.x1)
    return at


@each(("spec", "points", "drive", "more"), FIGURED)
def test_no_figure_is_read_with_words_on_its_line(spec: str, points: int, drive: str, more: dict[str, str]) -> None:
    """ "aim 90°" with a "30°" right behind it, "new mark" with an "8"."""
    for piece in bands_of(spec, points, drive, **more):
        words = [text for text in piece.texts if text.role in ("label", "words", "counted", "spec", "lane")]
        for figure in piece.words("number"):
            left, bottom, right, top = figure.shape.bounds
            for text in words:
                a, low, b, high = text.shape.bounds
                assert top <= low or high <= bottom or max(a - right, left - b) >= 1.2, (figure.text, text.text)


ROUND_START = [
    ("40 N·m + 360° ±20", "45 mm"), ("40 N·m + 360° ±20 + 60° ±10", "28 mm"), ("9 N·m + 720° ±9", "14 mm"),
    ("40 N·m + 355° ±8", "28 mm"), ("40 N·m + 364° ±8", "96 mm"),
]  # fmt: skip


@each("thread", ["right", "left"])
@each(("spec", "od"), ROUND_START)
def test_the_word_start_stands_at_its_own_line_over_a_window_that_holds_it(spec: str, od: str, thread: str) -> None:
    for piece in bands_of(spec, 6, "1/2", od=od, thread=thread):
        for start in of_role(piece.lines, "start"):
            (label,) = [text for text in piece.words("label") if text.text == "START"]
            left, bottom, right, _ = label.shape.bounds
            assert min(abs(left - start.x1), abs(right - start.x1)) < 1.0
            others = of_role(piece.lines, "stop-low", "stop-high", "aim", "hatch")
            near = [line for line in others if left - 1.0 < line.x1 < right + 1.0]
            assert all(max(line.y1, line.y2) < bottom - 0.5 for line in near), "no other line reaches its height"
            for line in of_role(piece.lines, "hatch"):
                assert min(abs(line.x1 - start.x1), abs(line.x2 - start.x1)) >= 0.69, "no hatch at START's line"
                assert (line.x1 < start.x1) == (line.x2 < start.x1)


@each("thread", ["right", "left"])
@each("spec", ["40 N·m + 355° ±5", "40 N·m + 350° ±8", "40 N·m + 365° ±5", "40 N·m + 355° ±8"])
@each("paper", ["a4", "24mm x roll"])
def test_start_and_a_window_at_it_have_their_words_on_either_side(spec: str, paper: str, thread: str) -> None:
    """Stacked on one side, nothing would tell which word is which line's."""
    piece = bands_of(spec, 6, "1/2", od="30 mm", paper=paper, thread=thread)[0]
    x = only(piece.lines, "start").x1
    sides = {text.text.split()[0]: text.shape.centroid.x > x for text in piece.words("label")}
    assert sides["START"] is not sides["STOP"]


@each("thread", ["right", "left"])
@each("spec", ["40 N·m + 350° ±8", "40 N·m + 355° ±5", "40 N·m + 8° ±6", "40 N·m + 370° ±8"])
def test_the_word_start_stands_at_its_own_line_beside_a_window_near_it(spec: str, thread: str) -> None:
    (piece,) = bands_of(spec, 6, "1/2", od="28 mm", thread=thread)
    (label,) = [text for text in piece.words("label") if text.text == "START"]
    start = only(piece.lines, "start")
    assert min(abs(x - start.x1) for x in label.shape.bounds[::2]) < 1.0


@each(("spec", "points", "drive", "more"), FIGURED)
def test_an_aim_in_words_is_never_in_the_rows_of_numbers(
    spec: str, points: int, drive: str, more: dict[str, str]
) -> None:
    """Above a tick it would be taken for that tick's name."""
    for piece in bands_of(spec, points, drive, **more):
        rows = [figure.shape.bounds[3] for figure in piece.words("number")]
        for text in piece.words("counted"):
            if text.text.startswith("aim"):
                assert text.shape.bounds[1] > max(rows), text.text


@each("thread", ["right", "left"])
@each("od", ["96 mm", "140 mm"])
def test_what_is_said_of_a_stop_stands_on_the_piece_that_carries_it(od: str, thread: str) -> None:
    """On the next piece an aim would be read at the degrees there."""
    pieces = bands_of("60 N·m + 90° +10/-0", 12, "1", od=od, thread=thread)
    assert len(pieces) > 1
    for piece in pieces:
        assert of_role(piece.lines, "stop-low") or not piece.words("counted")


@each("thread", ["right", "left"])
@each("od", ["28 mm", "45 mm", "96 mm"])
def test_what_is_said_of_a_stop_is_nearer_to_it_than_to_start(od: str, thread: str) -> None:
    for piece in bands_of("20 N·m, 60 N·m, then 90° ±5, then 90° ±5", 6, "1/2", od=od, thread=thread):
        stops = [line.x1 for line in of_role(piece.lines, "stop-low", "stop-high")]
        for line in of_role(piece.lines, "start"):
            for text in piece.words("counted"):
                left, _, right, _ = text.shape.bounds
                away = min(max(left - x, x - right, 0.0) for x in stops)
                assert away < max(left - line.x1, line.x1 - right, 0.0), text.text


@each("thread", ["right", "left"])
@each("spec", ["40 N·m + 60° ±5 + 90° ±5", "40 N·m + 90° ±6 + 60° ±6 + 90° ±6"])
@each("od", ["28 mm", "45 mm", "96 mm"])
def test_no_stop_of_several_flanks_the_line_of_start(spec: str, thread: str, od: str) -> None:
    """ "START│STOP 1" would make one line of both."""
    for piece in bands_of(spec, 12, "1", od=od, thread=thread):
        for line in of_role(piece.lines, "start"):
            stops = [text for text in piece.words("label") if text.text.startswith("STOP")]
            assert min(abs(x - line.x1) for text in stops for x in text.shape.bounds[::2]) >= 2.5


@each("thread", ["right", "left"])
@each("spec", ["20 N·m + 90° +10/-0", "20 N·m, 60 N·m, then 90° ±15, then 60° ±10"])
def test_a_slim_band_says_its_own_turn_and_od_inside_its_cut(spec: str, thread: str) -> None:
    turns = [stage.in_degrees for stage in parse_spec(spec).stages]
    said = [" ".join(text.text for text in piece.words("lane")) for piece in bands_of(spec, 6, "1/4", od="12 mm",
            thread=thread, title="K-9")]  # fmt: skip
    assert len(said) == len(turns)
    for words, turn in zip(said, turns, strict=True):
        assert turn in words
        assert "OD 12 mm" in words
        assert "K-9" in words


@each(("spec", "points", "drive", "more"), FIGURED)
def test_every_figure_stands_over_its_own_tick(spec: str, points: int, drive: str, more: dict[str, str]) -> None:
    for piece in bands_of(spec, points, drive, **more):
        figures = piece.words("number")
        assert figures
        for figure in figures:
            assert figure.shape.centroid.x == pytest.approx(tick_x(piece, figure, points), abs=0.35), figure.text


@each("thread", ["right", "left"])
@each(
    ("spec", "od", "within"),
    [("60 N·m + 90° ±15", "96 mm", ["80°", "100°"]), ("60 N·m + 360° ±30", "140 mm", ["10°", "20°", "340°", "350°"]),
     ("60 N·m + 90° +10/-0", "140 mm", [])],
)  # fmt: skip
def test_a_wide_window_has_figures_over_its_ticks_to_read_by(
    spec: str, od: str, within: list[str], thread: str
) -> None:
    (piece,) = [p for p in bands_of(spec, 6, "1", od=od, thread=thread) if of_role(p.lines, "stop-low")]
    ((low, high),) = windows_of(piece)
    figures = [text for text in piece.words("number") if low < text.shape.centroid.x < high]
    assert sorted(text.text for text in figures) == sorted(within)
    hatch = min(min(line.y1, line.y2) for line in of_role(piece.lines, "hatch"))
    lines = [line.x1 for line in of_role(piece.lines, "start", "stop-low", "stop-high", "aim")]
    for text in figures:
        left, _, right, top = text.shape.bounds
        assert text.shape.centroid.x == pytest.approx(tick_x(piece, text, 6), abs=0.35)
        assert hatch - top >= 0.3
        assert min(max(left - x, x - right) for x in lines) >= 0.8


# -- whose words stand where

STAGED = [
    ("300 N·m + 90° ±5, 60° ±5", 12, "1-1/2", {"od": "140 mm", "paper": "a5"}),
    ("200 N·m + 60° ±5, 120° ±5, 30° ±5", 12, "1", {"od": "96 mm"}),
    ("60 N·m + 66° ±3.5, 99° ±3.5", 12, "1/2", {"od": "45 mm"}),
    ("60 N·m + 66° ±3.5, 99° ±3.5", 12, "1/2", {"od": "45 mm", "thread": "left"}),
    ("60 N·m, 90° ±5, 90° ±5, 60° ±5", 6, "1/2", {"od": "28 mm", "thread": "left"}),
    ("60 N·m, 90° ±5, 90° ±5", 6, "1/2", {"od": "18 mm"}),
    ("10 N·m + 90° ±20, 90° ±20, 90° ±20", 12, "1/4", {"od": "7 mm", "thread": "left"}),
    ("110 N·m + 90° ±8, 60° ±8", 12, "1/2", {"od_range": "24 mm..32 mm"}),
]


def names_of(numbers: list[str], of: int) -> str:
    """The name that stands at the STOP of these stages."""
    *first, last = numbers
    if len(numbers) == of:
        return "STOP, each stage"
    return f"STOP {', '.join(first)} and {last}" if first else f"STOP {last}"


def windows_of(piece: Piece) -> dict[tuple[float, float], list[str]]:
    """Left and right end of each window at the head of its lines, with its stages."""
    tops: dict[str, list[float]] = {}
    for line in of_role(piece.lines, "stop-low", "stop-high"):
        tops.setdefault(line.data["stage"], []).append(line.x1 if line.y1 > line.y2 else line.x2)
    return {(min(xs), max(xs)): stages.split() for stages, xs in tops.items()}


def owner(words: Written, piece: Piece) -> tuple[int, tuple[float, float]]:
    """The gap between START and windows that holds some words, counted from the left, and the nearest window."""
    left, _, right, _ = words.shape.bounds
    windows = windows_of(piece)
    gap = sum(low < left for low, _ in windows) + (only(piece.lines, "start").x1 < left)
    return gap, min(windows, key=lambda ends: max(ends[0] - right, left - ends[1]))


@each(("spec", "points", "drive", "more"), STAGED)
def test_every_stop_bears_its_name_as_the_steps_say_it(
    spec: str, points: int, drive: str, more: dict[str, str]
) -> None:
    count = spec.count("±")
    for piece in bands_of(spec, points, drive, **more):
        if not of_role(piece.lines, "start"):
            continue
        labels = " ".join(text.text for text in piece.words("label"))
        windows = windows_of(piece)
        assert windows
        for stages in windows.values():
            assert names_of(stages, count) in labels


@each(("spec", "points", "drive", "more"), STAGED)
def test_words_of_a_stage_share_no_gap_with_those_of_another(
    spec: str, points: int, drive: str, more: dict[str, str]
) -> None:
    """Labels name their stage; what else is said of one stands where no other stage has words."""
    for piece in bands_of(spec, points, drive, **more):
        if not of_role(piece.lines, "start"):
            continue
        told = [
            owner(text, piece) for text in piece.words("label", "turned-label") if not text.text.startswith("START")
        ]
        for gap, window in (owner(text, piece) for text in piece.words("counted")):
            assert {other for at, other in told if at == gap} <= {window}
        turned = [owner(text, piece) for text in piece.words("turned-label") if text.text != "START"]
        told += [owner(text, piece) for text in piece.words("counted")]
        for gap, window in turned:
            assert {other for at, other in told if at == gap} == {window}


BETWEEN = [
    ("60 N·m + 60° ±5 + 90° +10/-0", "45 mm"), ("40 N·m + 30° ±5 + 90° ±5", "45 mm"),
    ("40 N·m + 90°, then 60°", "45 mm"), ("60 N·m, 90° +10/-0, to 180° +10/-0 in all", "28 mm"),
    ("60 N·m + 60° ±5 + 90° +10/-0", "96 mm"), ("200 N·m + 60° ±5, 120° ±5, 30° ±5", "96 mm"),
]  # fmt: skip


@each("thread", ["right", "left"])
@each(("spec", "od"), BETWEEN)
def test_words_of_a_stage_stand_well_away_from_the_windows_of_others(spec: str, od: str, thread: str) -> None:
    """ "STOP 1" half way between two windows would be either's."""
    for piece in bands_of(spec, 12, "3/4", od=od, thread=thread):
        windows: dict[str, list[float]] = {}
        for line in of_role(piece.lines, "stop", "stop-low", "stop-high"):
            windows.setdefault(line.data["stage"], []).append(line.x1)
        for text in piece.words("label", "turned-label", "counted"):
            left, _, right, _ = text.shape.bounds
            away = sorted(max(left - max(xs), min(xs) - right) for xs in windows.values())
            assert len(away) < 2 or away[1] >= 2.5, text.text


@each("thread", ["right", "left"])
@each("od", ["45 mm", "96 mm"])
def test_how_a_stage_counts_stands_at_its_stop(od: str, thread: str) -> None:
    pieces = bands_of("60 N·m + 60° ±5 + 90° +10/-0", 12, "3/4", od=od, thread=thread)
    (piece,) = [piece for piece in pieces if of_role(piece.lines, "start")]
    labels = {owner(text, piece) for text in piece.words("label") if text.text.startswith("STOP")}
    assert {owner(text, piece) for text in piece.words("counted") if "mark" in text.text} == labels


# -- what a small or trimmed piece still says


def test_a_slim_left_hand_band_keeps_id_and_od_inside_the_cut() -> None:
    (piece,) = bands_of("10 N·m + 90° ±20, 90° ±20, 90° ±20", 12, "1/4", od="7 mm", thread="left")
    assert "OD 7 mm" in {text.text for text in piece.words("lane")}
    (box,) = piece.polygons("left-hand-box")
    assert max(y for _, y in box) <= piece.foot + piece.height - 0.5
    (named,) = bands_of("10 N·m + 90° ±20", 12, "1/4", od="12 mm", thread="left", title="66")
    assert {"66", "OD 12 mm"} <= set(" · ".join(text.text for text in named.words("lane", "spec")).split(" · "))


def test_an_id_that_is_another_one_upside_down_is_underlined_on_the_band() -> None:
    lines = [
        of_role(piece.lines, "underline")
        for title in ("66", "R-7")
        for piece in bands_of("110 N·m + 90° +10/-0", 4, "1/2", od="27.8 mm", title=title)
    ]
    assert [len(found) for found in lines] == [1, 0]


def test_the_window_of_a_trim_band_is_hatched_down_to_its_lowest_row() -> None:
    (piece,) = bands_of("110 N·m + 90° +10/-0", 6, "1/2", od_range="24 mm..32 mm")
    ys = [y for line in of_role(piece.lines, "hatch") for y in (line.y1, line.y2)]
    assert min(ys) == pytest.approx(piece.foot, abs=0.01)


@each("thread", ["right", "left"])
@each(("points", "drive", "ods"), [(6, "1/4", "8 mm..14 mm"), (12, "1/2", None), (6, "1/2", None)])
def test_what_a_trim_band_shows_of_other_ods_is_what_its_step_tells(
    points: int, drive: str, ods: str | None, thread: str
) -> None:
    """Lines with a number each on the tab, none on the band; a unit only where there are lines."""
    for piece in bands_of("110 N·m + 90° ±20", points, drive, od_range=ods, thread=thread):
        scale, numbers = of_role(piece.lines, "closure-scale"), [n.text for n in piece.words("closure-number")]
        assert sorted(numbers) == [f"+{k}" for k in range(1, len(scale) + 1)]
        assert bool(piece.words("closure-unit")) is bool(scale)
        assert not of_role(piece.lines, "closure-back")


def test_the_spec_of_a_trim_band_stands_in_its_lane_only() -> None:
    for od_range in ("12 mm..16 mm", "10 mm..14 mm"):
        for piece in bands_of("60° ±8", 6, "3/8", od_range=od_range, title="6pt-3_8in-60+8-8 (1 of 3)"):
            assert not [text for text in piece.words("spec") if "60° ±8" in text.text]


def test_start_and_stop_edges_of_a_trim_band_are_heavier_than_its_corners_at_every_row() -> None:
    (piece,) = bands_of("110 N·m + 90° +10/-0", 6, "1/2", od_range="24 mm..32 mm")
    heavy = {(line.x1, line.y1) for line in of_role(piece.lines, "row-mark")}
    assert heavy == {(line.x1, line.y1) for line in of_role(piece.lines, "start", "stop-low", "stop-high")}
    assert STROKES["row-mark"].width_mm >= 2 * STROKES["corner"].width_mm


# -- what a refusal advises


def test_a_single_stage_without_room_for_the_seam_is_not_sent_to_one_band_a_stage() -> None:
    with pytest.raises(LayoutError) as refused:
        bands_of("60 N·m + 180° ±170", 6, "1/2", od="28 mm")
    assert "band a stage" not in str(refused.value)


def test_label_stock_too_low_for_a_label_is_to_be_wider() -> None:
    with pytest.raises(LayoutError, match="wider") as refused:
        bands_of("10 N·m + 90° ±20, 60° ±20", 6, "1/4", od="7 mm", paper="12mm x roll", height="8 mm")
    assert "label stock" in str(refused.value)


def test_the_arrow_moves_to_the_drive_edge_where_low_stock_leaves_no_other_line() -> None:
    (piece,) = bands_of("60 N·m + 360° ±10", 6, "1/2", od="28 mm", paper="12mm x roll", height="8.5 mm")
    (words,) = [text for text in piece.words("words") if text.text == "socket turns"]
    arrow = only(piece.lines, "arrow")
    assert max(arrow.x1, arrow.x2) < words.shape.bounds[0], "right-hand: to the left"
    assert words.shape.bounds[3] < piece.foot + piece.height - 0.4
    assert all(words.shape.distance(text.shape) >= 1.0 for text in piece.words("lane", "tape-edge", "label"))


def test_figures_as_an_id_alone_on_a_slim_band_say_that_they_are_a_number() -> None:
    """Below START a bare 68 would be taken for degrees or a corner."""
    (piece,) = bands_of("12 N·m + 90° ±15", 6, "1/4", od="7 mm", title="68", thread="left")
    assert "no. 68" in " ".join(text.text for text in piece.words("spec"))
