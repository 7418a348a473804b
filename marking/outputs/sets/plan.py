"""Many pieces at once: from a list's items to packed pages with an index, drawn page by page."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from string import ascii_lowercase, ascii_uppercase
from typing import Any, NamedTuple

from ...drawing.fonts import NO_BREAK, NOTE_PT, line_pitch_mm, wrap
from ...errors import LayoutError, MarkingError
from ...fastening.spec import TighteningSpec
from ...lists.cells import message_of
from ...lists.items import Fault, Item
from ...readouts import Outline
from ...remarks import Remark, Template
from ...sheets.blocks import LEFT_CELL
from ...sheets.paper import Paper
from ...sheets.words import NO_SNUG
from .blocks import lay_out
from .front import Front, header_of, piece_area, plan_front, steps_for
from .labels import Label, draw_label
from .outlines import TOGETHER, Outlines, packed
from .packing import Piece
from .pieces import SetPart, SetSpot, planned, socket_words, spec_of
from .processes import PARALLEL_FROM, shared_out
from .request import SetOptions, SetRequest
from .split import split

GAP_MM = 2.0
"""Space between pieces: enough for scissors; 3 mm would cost 3 % of the stock (our choice)."""

ROW_NAMES = ascii_uppercase + ascii_lowercase
"""Names of the rows of a sheet of labels."""

NAMED = 4
"""Ids that one warning names."""

CAPTION_GAP_MM = 1.2
"""Space between a piece and the words below it."""


@dataclass(frozen=True)
class SetPlan:
    """A whole set as numbers: parts, where they lie, and what to say. `papers` holds a paper for every page.

    `area_use` is the share of the paper that pieces cover, the last page counted down to its lowest piece.
    `remarks` are warnings, each with the id that it is about, "" for the whole list; `notes` stand in the index.
    `outlines` are those of its items, by the numbers that the parts tell.
    """

    options: SetOptions
    parts: tuple[SetPart, ...]
    outlines: Outlines = field(compare=False)  # they follow from the items of the parts
    spots: tuple[SetSpot, ...]
    papers: tuple[Paper, ...]
    area_use: float
    remarks: tuple[tuple[str, Remark], ...]
    faults: tuple[Fault, ...]
    notes: tuple[Remark, ...] = ()

    @property
    def warnings(self) -> tuple[Remark, ...]:
        """The remarks, those that say the same of several ids together."""
        return grouped(self.remarks)

    def outline(self, part: SetPart) -> Outline | None:
        """What a part is drawn from; None for a label."""
        return self.outlines[part.outlines][part.number - 1] if part.number else None

    @property
    def header(self) -> tuple[str, ...]:
        """The lines at the top of every page."""
        return header_of(self.options)

    @cached_property
    def front(self) -> Front:
        """What stands before the pages of pieces."""
        return plan_front(self.parts, self.spots, self.papers, self.options, self.notes)

    @property
    def pages(self) -> int:
        """The number of all pages."""
        return self.front.pages + len(self.papers)


def grouped(remarks: Iterable[tuple[str, Remark]]) -> tuple[Remark, ...]:
    """Return remarks with the ids they are about: "no window" of A and of B becomes "no window (A, B)"."""
    found: dict[str, tuple[Remark, dict[str, None]]] = {}
    for name, remark in remarks:
        found.setdefault(str(remark), (remark, {}))[1][name] = None
    return tuple(_about(remark, [name for name in names if name]) for remark, names in found.values())


def _about(remark: Remark, names: Sequence[str]) -> Remark:
    """A remark with the ids it is about behind it, under its own code."""
    if not names:
        return remark
    text = "{said} ({ids:list})" if len(names) <= NAMED else "{said} ({ids:list} and {more} more)"
    return Template(remark.code, text)(said=remark, ids=names[:NAMED], more=len(names) - NAMED)


class SetsPlan(NamedTuple):
    """Planned sets by the key of their file, "" for one that is not split.

    They hold the good rows, and the first one the faults of all others; when no row is good, it holds faults alone.
    """

    plans: dict[str, SetPlan]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Everything that is wrong with rows."""
        return tuple(fault for plan in self.plans.values() for fault in plan.faults)

    @property
    def warnings(self) -> tuple[Remark, ...]:
        """What is to be said, each thing once with the ids that it is about."""
        return grouped(remark for plan in self.plans.values() for remark in plan.remarks)

    @property
    def list_warnings(self) -> tuple[Remark, ...]:
        """What is to be said of the list and the register themselves."""
        return grouped(remark for plan in self.plans.values() for remark in plan.remarks if not remark[0])


def plan(request: SetRequest, jobs: int = 1) -> SetsPlan:
    """Return the numbers of a set, or of one for each file that it is split into, the same for any number of `jobs`.

    So many processes share the work where it is enough. Raises OutputError for too many files.
    """
    by_key = split(request.items, request.split_by)
    planned = {key: plan_good(items, request.options, jobs) for key, items in by_key.items()}
    if not any(_has_torque(one) for one in planned.values()):
        planned = {key: replace(one, remarks=_without_torque(one.remarks)) for key, one in planned.items()}
    plans = {key: replace(one, faults=()) for key, one in planned.items() if one.parts}
    plans = plans or {"": plan_good([], request.options)}
    faults = (*request.faults, *(fault for one in planned.values() for fault in one.faults))
    first, *_ = plans
    remarks = (*(("", remark) for remark in request.remarks), *plans[first].remarks)
    return SetsPlan(plans | {first: replace(plans[first], remarks=remarks, faults=faults, notes=request.notes)})


def _has_torque(plan: SetPlan) -> bool:
    """Tell whether any item of a set has a snug torque."""
    without = {name for name, remark in plan.remarks if remark.code == NO_SNUG.code}
    return any(part.item.id not in without for part in plan.parts)


def _without_torque(remarks: Iterable[tuple[str, Remark]]) -> tuple[tuple[str, Remark], ...]:
    """What is to be said of a set of turns alone, for stock: not that they have no torque."""
    return tuple((name, remark) for name, remark in remarks if remark.code != NO_SNUG.code)


def plan_set(items: Sequence[Item], options: SetOptions, jobs: int = 1) -> SetPlan:
    """Return the numbers of a set: every part, packed on pages, the parts of one socket together.

    `jobs` processes share the work where it is enough.

    An item that cannot be planned becomes a fault and is left out. Raises LayoutError when nothing is left.
    """
    plan = plan_good(items, options, jobs)
    if not plan.parts:
        raise nothing_left()
    return plan


def nothing_left() -> LayoutError:
    """The error of a set none of whose rows is good."""
    return LayoutError("nothing is left to print", "at least one good row", "see the faults")


def plan_good(items: Sequence[Item], options: SetOptions, jobs: int = 1) -> SetPlan:
    """Return what `plan_set` does, without parts and pages when no item can be planned."""
    parts: list[SetPart] = []
    kept = Outlines()
    faults: list[Fault] = []
    remarks: list[tuple[str, Remark]] = []
    known: dict[str, Remark] = {}
    lengths: dict[float, float] = {}
    blocks = [items[k : k + TOGETHER] for k in range(0, len(items), TOGETHER)]
    work = partial(_planned_block, options)
    done = map(work, blocks) if jobs == 1 or len(blocks) < PARALLEL_FROM else shared_out(work, blocks, jobs)
    for block, (found, outlines) in zip(blocks, done, strict=True):
        number = kept.add(outlines)
        for item, good in zip(block, found, strict=True):
            if isinstance(good, Fault):
                faults.append(good)
                continue
            own = [_kept(item, measures, number, lengths) for measures in good.measures]
            remarks += [(item.id, known.setdefault(str(remark), remark)) for remark in good.remarks]
            parts += [part for part in own for _ in range(item.copies)]
            number += 1
    parts += _labels(parts, options)
    spots, papers, area_use = _on_stock(parts, options) if options.label_stock else _packed(parts, options)
    return SetPlan(options, tuple(parts), kept, spots, papers, area_use, tuple(remarks), tuple(faults))


class _Good(NamedTuple):
    """An item that can be planned: its parts, without the item itself, and what is to be said about it."""

    measures: list[tuple[Any, ...]]
    remarks: tuple[Remark, ...]


def _planned_block(options: SetOptions, items: Sequence[Item]) -> tuple[list[_Good | Fault], bytes]:
    """Work out some items, in any process: what becomes of each, and the outlines of those that are good, packed."""
    found: list[_Good | Fault] = []
    kept = []
    for item in items:
        try:
            outlines, said = planned(item, options)
            parts = _parts(item, outlines, options)
            _check_sizes(parts, options)
        except MarkingError as error:
            column = error.field if getattr(item, error.field or "", None) is not None else "spec"
            found.append(Fault(item.file, item.row, column, message_of(error, column)))
            continue
        found.append(_Good([part[1:] for part in parts], said))
        kept.append(outlines)
    return found, packed(kept)


def _kept(item: Item, measures: tuple[Any, ...], number: int, lengths: dict[float, float]) -> SetPart:
    """A part of an item whose outlines are kept under a number; equal texts and `lengths` are kept once."""
    part = SetPart(item, *measures)
    width, height, words = (lengths.setdefault(mm, mm) for mm in (part.width_mm, part.height_mm, part.words_mm))
    return part._replace(
        socket_line=sys.intern(part.socket_line), group=sys.intern(part.group), size=sys.intern(part.size),
        width_mm=width, height_mm=height, words_mm=words, outlines=number,
    )  # fmt: skip


def _parts(item: Item, outlines: Sequence[Outline], options: SetOptions) -> list[SetPart]:
    """Every part that an item consists of."""
    parts = []
    group = item.socket or outlines[0].whole_line or outlines[0].socket_line
    for piece, outline in enumerate(outlines, 1):
        part = SetPart(
            item, piece, len(outlines), outline.socket_line, outline.width_mm, outline.height_mm, 0.0, group,
            outline.size, glued=outline.glued, by_stage=outline.by_stage,
        )  # fmt: skip
        if not options.label_stock:
            lines = wrap(caption_of(part, outline), outline.width_mm, NOTE_PT)
            part = part._replace(words_mm=line_pitch_mm(NOTE_PT) * len(lines) + CAPTION_GAP_MM)
        parts.append(part)
    return parts


def _labels(parts: Sequence[SetPart], options: SetOptions) -> Iterator[SetPart]:
    """The labels and cards for the bags: one a socket, or one an item."""
    if not options.tags and not options.cards:
        return
    bags: dict[str, list[SetPart]] = {}
    for part in parts:
        own = part.item.id if options.tags == "piece" else part.group
        if not (bag := bags.setdefault(own, [])) or bag[-1].item is not part.item:
            bag.append(part)
    for own, bag in bags.items():
        first, items = bag[0], [part.item for part in bag]
        labels = [label_of(own, items, options.tags == "piece")] if options.tags else []
        labels += [card_of(own, bag)] if options.cards else []
        for label in labels:
            width, height, _ = draw_label(label, *label_room(options))
            yield SetPart(first.item, 0, 1, first.socket_line, width, height, 0.0, first.group, label=label)


def caption_of(part: SetPart, outline: Outline) -> str:
    """The words below a piece."""
    title = [part.item.title] if part.item.title else []
    return " · ".join([part.name, *title, outline.spec_line, outline.socket_line, *outline.below])


def label_of(own: str, items: Sequence[Item], by_piece: bool) -> Label:
    """The label of a bag that holds some items, called by the id of its socket or of its one item."""
    ids: dict[TighteningSpec, list[str]] = {}
    for item in items:
        ids.setdefault(spec_of(item), []).append(item.id)
    left = not any(spec.clockwise for spec in ids)
    said = []
    for spec, names in ids.items():
        own_ids = [] if by_piece else [f"{', '.join(names)}:"]
        hand = (
            [] if spec.clockwise or left else [LEFT_CELL]
        )  # held by its turn: alone on a line it may be the next one's
        said.append(" ".join([*own_ids, NO_BREAK.join([spec.read_as, *hand])]))
    titles = dict.fromkeys(item.title for item in items if by_piece and item.title)
    first = next((item for item in items if item.points), items[0])
    socket = [first.socket] if by_piece and first.socket else []
    words = (*said, *titles, " · ".join([*socket, *socket_words(first)]))
    return Label(own, words, left, bool(by_piece or first.socket))


def card_of(own: str, bag: Sequence[SetPart]) -> Label:
    """The card of a bag: how its pieces are used."""
    left = not any(spec_of(part.item).clockwise for part in bag)
    return Label(own, (), left, steps=tuple(steps_for(bag)))


def _check_sizes(parts: Sequence[SetPart], options: SetOptions) -> None:
    """Raise LayoutError for a part that fits on the paper neither way, upright or wide."""
    stock, upright, wide = options.label_stock, options.paper, options.paper.wide
    for part in parts if stock else ():
        assert stock is not None
        if part.height_mm > stock.inner_width_mm + 1e-6 or part.width_mm > stock.inner_length_mm + 1e-6:
            what = f"a part of {part.width_mm:.0f} × {part.height_mm:.0f} mm does not fit on the label stock"
            most = f"at most {stock.inner_length_mm:g} × {stock.inner_width_mm:g} mm"
            raise LayoutError(what, most, "choose larger stock", field="paper")
    for part in () if stock else parts:
        if not _fits(part, upright, options.title) and not _fits(part, wide, options.title):
            width, height = part.box_mm
            raise LayoutError(
                f"a part of {width:.0f} × {height:.0f} mm does not fit on the page",
                f"at most {wide.content_width_mm:.0f} × {piece_area(wide, options.title)[2]:.0f} mm",
                "choose a larger {@paper}",
                field="paper",
            )


class _Packed(NamedTuple):
    spots: tuple[SetSpot, ...]
    papers: tuple[Paper, ...]
    area_use: float


def _packed(parts: Sequence[SetPart], options: SetOptions) -> _Packed:
    """Pack on upright pages and, behind them, wide ones for what they do not hold."""
    spots: list[SetSpot] = []
    papers: list[Paper] = []
    used = whole = 0.0
    left_over = list(range(len(parts)))
    for paper in (options.paper, options.paper.wide):
        keys = [k for k in left_over if _fits(parts[k], paper, options.title)]
        held = set(keys)
        left_over = [k for k in left_over if k not in held]
        if not keys:
            continue
        left, bottom, height = piece_area(paper, options.title)
        pieces = [Piece(k, *parts[k].box_mm, parts[k].group, not parts[k].number) for k in keys]
        packing = lay_out(pieces, paper.content_width_mm, height, GAP_MM, options.tight)
        pages = list(range(len(papers), len(papers) + packing.pages))  # each number kept once
        spots += [SetSpot(s.key, pages[s.page], left + s.x, bottom + s.y, s.place, s.turned) for s in packing.spots]
        papers += [paper] * packing.pages
        area = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
        used += area
        whole += area / packing.area_use
    return _Packed(tuple(spots), tuple(papers), used / whole if parts else 0.0)


def label_room(options: SetOptions) -> tuple[float, float]:
    """Width and height that the stock leaves a bag's label."""
    stock = options.label_stock
    return (stock.inner_length_mm, stock.inner_width_mm) if stock else (math.inf, math.inf)


def _on_stock(parts: Sequence[SetPart], options: SetOptions) -> _Packed:
    """Every piece alone, on a length of tape or on a label of its own, socket after socket, the bag's label first."""
    groups: dict[str, list[int]] = {}
    for k, part in enumerate(parts):
        groups.setdefault(part.group, []).append(k)
    order = [k for group in groups.values() for k in sorted(group, key=lambda k: bool(parts[k].number))]
    grid, tape = options.grid, options.tape
    spots, papers = [], list[Paper]()
    for at, k in enumerate(order):
        width, height = parts[k].width_mm, parts[k].height_mm
        if grid:
            page, label = divmod(at + grid.first - 1, grid.columns * grid.rows)
            turned = grid.height_mm > grid.width_mm
            wide, high = (height, width) if turned else (width, height)
            x, y = grid.corner_mm(label, options.paper)
            row, column = divmod(label, grid.columns)
            middle = x + (grid.width_mm - wide) / 2, y + (grid.height_mm - high) / 2
            spots.append(SetSpot(k, page, *middle, f"{ROW_NAMES[row]}{column + 1}", turned))
            papers += [options.paper] * (page + 1 - len(papers))
        elif tape:
            long = width + 2 * tape.margin_mm if tape.length_mm is None else tape.length_mm
            spots.append(SetSpot(k, at, (long - width) / 2, (tape.width_mm - height) / 2, "A1", False))
            papers.append(Paper(long, tape.width_mm, 0.0, tape.stretch_along, tape.stretch_across, tape.correction))
    area = math.fsum(part.width_mm * part.height_mm for part in parts)
    whole = math.fsum(paper.width_mm * paper.height_mm for paper in papers)
    return _Packed(tuple(spots), tuple(papers), area / whole if parts else 0.0)


def _fits(part: SetPart, paper: Paper, title: str) -> bool:
    """Tell whether a part fits on the paper, upright or turned."""
    room = paper.content_width_mm, piece_area(paper, title)[2]
    (short, long), (least, most) = sorted(part.box_mm), sorted(room)
    return short <= least and long <= most


def lying_mm(part: SetPart, spot: SetSpot) -> tuple[float, float]:
    """Width and height of a part as it lies on its page."""
    width, height = part.box_mm
    return (height, width) if spot.turned else (width, height)
