"""The pieces of a set: what each item of a list is drawn from."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any, NamedTuple

from ...errors import LayoutError
from ...fastening.hexagons import parse_opening
from ...fastening.opening import ANY_POINTS
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...lists.items import Item
from ...quantities.parse import parse_length
from ...readouts import READOUTS, Outline
from ...readouts.witness_pointer import POINTER_HEIGHT_MM, POINTER_WIDTH_MM, draw_pointer, pointers
from ...remarks import Remark
from .. import OUTPUTS
from ..job.pieces import pointer_ways
from ..job.words import BAND_A_STAGE, BANDS_ALONE, BANDS_ONLY, NARROW, UNPROVED
from .labels import Label
from .request import SetOptions
from .words import UNSAID

OF_STOCK = BANDS_ONLY.code, BANDS_ALONE.code
"""What a job says of its other pages, which a set has not."""

OF_BANDS = *OF_STOCK, BAND_A_STAGE.code, UNPROVED.code, NARROW.code
"""What it says of them and of bands, which are not printed with a part ring."""

POINTERS_MM = 90.0
"""Widest block of witness pointers (our choice: six beside each other)."""


class SetPart(NamedTuple):
    """One piece of a set: what it belongs to, which of the item's pieces it is, and its size.

    `number` counts from 1; 0 is the `label` of a bag, of the item or of all for its socket. `group` is the socket that
    it is for, `words_mm` the height of the words below the drawing, `size` what measuring the piece gives, `outlines`
    the number under which the set keeps its item's outlines, `glued` and `by_stage` what its own one tells.
    """

    item: Item
    number: int
    of: int
    socket_line: str
    width_mm: float
    height_mm: float
    words_mm: float
    group: str
    size: str = ""
    outlines: int = 0
    glued: bool = False
    by_stage: bool = False
    label: Label | None = None

    @property
    def name(self) -> str:
        """The id as printed: "A-1", "A-1 (2 of 3)", "S19 (tag)"."""
        if self.label:
            return self.label.name
        return self.item.id if self.of == 1 else f"{self.item.id} ({self.number} of {self.of})"

    @property
    def box_mm(self) -> tuple[float, float]:
        """Width and height with the words below the drawing."""
        return self.width_mm, self.height_mm + self.words_mm


class SetSpot(NamedTuple):
    """Where a part lies: `page` from 0 among the pages of pieces, the lower left corner, its place's name.

    A `turned` part lies a quarter turn counterclockwise.
    """

    part: int
    page: int
    x: float
    y: float
    place: str
    turned: bool


def spec_of(item: Item) -> TighteningSpec:
    """Return the spec of an item."""
    return parse_spec(item.spec, item.thread, item.points, item.witness)


def socket_words(item: Item) -> list[str]:
    """The socket of an item in short: 12-pt, 1/2 in, 19 mm, OD 27.8 mm."""
    points = [f"{item.points}-pt"] if item.points else []
    opening = [parse_opening(item.opening)[0].text] if item.opening else []
    od = [f"OD {parse_length(item.od, 'od').text}"] if item.od else []
    around = [f"{parse_length(item.around, 'around').text} round"] if item.around else []
    return [*points, f"{item.drive} in", *opening, *od, *around]


def planned(item: Item, options: SetOptions) -> tuple[tuple[Outline, ...], tuple[Remark, ...]]:
    """Return every piece of an item, worked out from its texts, and what is to be said about it."""
    readout = READOUTS[item.kind]
    if readout.needs_points and item.points is None:
        what, advice = "the points of the socket are missing", "fill in the column points"
        raise LayoutError(what, ANY_POINTS, advice, field="points")
    output = OUTPUTS[readout.output]
    own = {field.name for field in output.fields if hasattr(item, field.name)} - {"title", "copies"}
    given: dict[str, Any] = {name: getattr(item, name) for name in own} | dict(readout.asks)
    given["printer"] = options.printer
    if any(field.name == "title" for field in output.fields):
        given["title"] = item.id if item.socket in item.id else f"{item.id} · {item.socket}"
    if "stock" in own:
        given["stock"] = item.stock or options.stock
    if readout.sized is False:
        given |= {"od": None, "around": None}
    for name in ("start", "height"):
        if getattr(item, name) is not None and name not in own:
            raise LayoutError(f"a {item.kind} has no {name} of its own", "an empty cell", field=name)
    stock = options.label_stock
    if stock and (readout.output != "job" or item.kind == "ring"):
        raise LayoutError(f"a {item.kind} does not go on label stock", "a page", "choose {@paper} a4", field="kind")
    plan = output.plan(output.read(**given, paper=stock or options.paper))
    unsaid = OF_BANDS if item.kind == "ring" else OF_STOCK
    remarks = tuple(remark for remark in plan.warnings if remark.code not in unsaid)
    outlines = (*readout.pieces(plan), *_pointers(item, options))
    lost = tuple(dict.fromkeys(text for outline in outlines for text in outline.below)) if stock else ()
    return outlines, (*remarks, *([UNSAID(words=lost)] if lost else []))


POINTERS = "witness pointers"
"""What stands in place of a socket for a block of pointers."""


def _pointers(item: Item, options: SetOptions) -> Iterator[Outline]:
    """The witness pointers that go with an item, in blocks."""
    if not item.fasteners:
        return
    spec, paper = spec_of(item), options.paper
    wanted = pointers(spec, item.fasteners, item.id)
    if stock := options.label_stock:
        if stock.inner_width_mm < POINTER_HEIGHT_MM:
            what = f"witness pointers are {POINTER_HEIGHT_MM:g} mm high"
            raise LayoutError(what, f"at most {stock.inner_width_mm:g} mm", "empty the cell", field="fasteners")
        for one in wanted:
            size = POINTER_WIDTH_MM, POINTER_HEIGHT_MM
            yield Outline(spec.read_as, "witness pointer", *size, partial(draw_pointer, one))
        return
    *_, blocks = pointer_ways(wanted, min(POINTERS_MM, paper.content_width_mm), paper.content_height_mm / 2)
    for block in blocks:
        yield Outline(spec.read_as, POINTERS, block.width_mm, block.height_mm, block.draw)
