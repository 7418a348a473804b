"""The words of a job: its steps, captions and notes. Plain and short, for a workshop."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from ...fastening.socket import Play
from ...fastening.spec import TighteningSpec
from ...figures.words import counted
from ...marks.places import Start
from ...marks.reading_error import Budget, ErrorModel
from ...quantities.shown import shown_degrees, shown_length, trimmed
from ...readouts import Joined
from ...readouts.part_ring.layout import RingLayout
from ...readouts.trim_band.layout import MM_PER_MM_OF_OD
from ...readouts.witness_pointer import Pointer
from ...remarks import Remark, Template
from ...sheets.procedure import joined, procedure
from ...sheets.words import BY_WITNESS_MARK, FRESH_RING, RESTS_ON, YOUR_OWN, Judged, error_lines, led

BAND_A_STAGE = Template("band-a-stage", "the windows of the stages do not fit on one band: one band a stage is printed")
BANDS_ONLY = Template(
    "bands-only", "label stock takes bands and pointers only: print the work card on a page, with {@paper} a4"
)
BANDS_ALONE = Template(
    "bands-only",
    "label stock as narrow takes bands only: the witness pointers are left out, as they take {width:length} between "
    "its margins, and so is the work card; print both on a page, with {@paper} a4, or make the witness mark by hand",
)
RING_SECTOR = Template("ring-sector", "the part ring is larger than the paper: a sector of it is printed")
RING_TOO_LARGE = Template(
    "ring-too-large",
    "the part ring is larger than the paper and is left out: use the witness mark, or a larger {@paper}",
)
RING_UNPROVED = Template(
    "ring-unproved",
    "the part ring is left out: it is read to ±{error:deg1}, too coarse for the window {window}",
)
RINGS_UNPROVED = Template(
    "ring-unproved",
    "the part ring for ODs of {ods} is left out: it is read to ±{error:deg1}, too coarse for the window {window}",
)
UNPROVED = Template(
    "unproved",
    "this band cannot prove the window {window}: its reading error is ±{error:deg1}, so no aim is printed; {can}",
)
NARROW = Template(
    "narrow",
    "what this band leaves of the window {window} is too narrow to hit: its reading error is ±{error:deg1}, and less "
    "than {least:deg} are left, so no aim is printed; {can}",
)
UNPROVED_BELOW = Template(
    "unproved",
    "below an OD of {od:length} a trim band cannot prove the window {window}, or leaves too little of it to hit: one "
    "that serves such ODs carries no aim line; {can}",
)
UNPROVED_ANYWHERE = Template(
    "unproved",
    "on no socket can a trim band prove the window {window} and leave enough of it to hit: it carries no aim line; "
    "{can}",
)
OD_RANGE = Template("od-range", "{low:length} to {high:length}")
ODS_TOO_SLIM = Template(
    "ods-too-slim",
    "ODs of {ranges:list} are too slim for a trim band and its labels: give {@od} for those, or print a drive disc",
)
ODS_LEFT_OUT = Template(
    "ods-left-out", "ODs of {ranges:list} do not fit the paper: choose a larger {@paper}, or give {@od} for those"
)


def fitting_steps(
    clockwise: bool, start: Start, closure: str, pieces: int, band_a_stage: bool = False, measured: bool = False
) -> list[str]:
    """How to fit the band, or the first; `closure` is how far its end may miss the closure line each way.

    `measured` tells that the rulers are measured by a step before.
    """
    place = CORNER_PLACE if start == "corner" else MID_FLAT_PLACE
    glued = [GLUE_PIECES] if pieces > 1 else []
    fit = [
        *glued,
        f"Clean and dry the socket. Lay {_first(band_a_stage)} with its scale's edge flush with the socket's mouth, "
        f"START {place}. {CORNERS_HELP.format(side='right' if clockwise else 'left')}",
        f"Wrap it tight: its cut end must land inside the OK bracket, within {closure} of the dotted closure line. If "
        f"not, print again with the length the scale shows there. Glue the tab under the end. {TAPE_IT}",
    ]
    return [joined(CUT, fit[0]), *fit[1:]] if measured else [joined(RULERS, CUT), *fit]


RULERS, CUT = "Measure both check rulers.", "Cut along the dashed lines."


def _first(band_a_stage: bool) -> str:
    return "the band for stage 1" if band_a_stage else "the band"


CORNER_PLACE = "near a corner, corner 1"
MID_FLAT_PLACE = "near a mid-flat, half way between two corners"
CORNERS_HELP = "Corners are numbered to the {side}; they only help to find the place again: never shift a band for one."
GLUE_PIECES = (
    "Glue the pieces in order, piece 1 first: each tab under the piece that it names, whose cut end meets the line "
    "before the tab. Check: corners and degrees run on across every joint."
)
TAPE_IT = "Tape the band to the socket with clear tape along the drive end."


def trimming_steps(clockwise: bool, start: Start, band_a_stage: bool = False, measured: bool = False) -> list[str]:
    """How to choose, cut and fit a trim band, or the first; `measured` as in `fitting_steps`."""
    place = CORNER_PLACE if start == "corner" else MID_FLAT_PLACE
    return [
        joined(*([] if measured else [RULERS]), MEASURE_OD),
        f"Take {_first(band_a_stage)} whose rows hold that OD and cut along the OD's row: the cut edge is the reading "
        "edge. Cut the slanted ends along their dashed lines. The upper edge may be cut lower; keep at least 8 mm.",
        f"Clean and dry the socket. Lay the band with its cut edge flush with the socket's mouth, START {place}. "
        f"{CORNERS_HELP.format(side='right' if clockwise else 'left')}",
        "Wrap it tight: at the cut edge its end must land inside the OK bracket. If not, the OD differs by a third of "
        "its distance from the dotted closure line: larger if it lands on the tab (+), smaller if short of the line, "
        f"on the band. Cut another band at the new OD. Glue the tab under the end. {TAPE_IT}",
    ]


MEASURE_OD = "Measure the socket's outside diameter (OD) where the band will sit."


def use_steps(
    spec: TighteningSpec,
    budgets: Sequence[Budget],
    play: Play | None,
    fasteners: int,
    bands: Sequence[int],
    rings: Collection[int] = (),
    extras: Sequence[Joined] = (),
    gap_mm: float = ErrorModel.gap_mm,
) -> list[str]:
    """How to tighten, step by step.

    `play` is that of a fastener in the opening, where known. `bands` tells for each stage which band it is on, `rings`
    which stages have a part ring, `extras` are read by the same steps. `gap_mm` is the largest gap between mark and
    band.
    """
    by_mark = BY_WITNESS_MARK
    laid = [OR_RING] if 1 in rings else []
    on_ring = {min(rings): [BAND_AND_RING.format(ends=_on_ring(spec, rings))]} if rings else {}
    turning = by_mark._replace(
        mark=joined(
            by_mark.mark,
            NEAR.format(gap=trimmed(gap_mm, 2), edges=" or ".join([BANDS_EDGE, *(extra.edge for extra in extras)])),
            OR_POINTER,
            *laid,
        ),
        read=joined(by_mark.read, *on_ring.get(1, ())),
    )
    changes = {
        number: joined(
            CHANGES[number - 1 in rings, number in rings].format(old=number - 1, new=number),
            *on_ring.get(number, ()),
            *(extra.change for extra in extras),
        )
        for number, (before, band) in enumerate(pairwise(bands), 2)
        if band != before
    }
    with_mark = {
        number: [OFF_POINTER, *([FRESH_RING] if band == before and {number - 1, number} <= set(rings) else [])]
        for number, (before, band) in enumerate(pairwise(bands), 2)
    }
    judged = [budget for extra in extras for found, _ in extra.judged.values() for budget in found]
    return procedure(spec, fasteners, turning, [*budgets, *judged], play, changes, also=with_mark)


NEAR, BANDS_EDGE = "It ends at most {gap} mm from {edges}.", "the band's edge"
OR_POINTER = "Or stick on the pointer, its hairline's end at START; where the part lies lower, fold it up to the band."
OFF_POINTER = "Peel off the old pointer, stick on the next."
OR_RING = "Or tape on the ring, ZERO at START."
BAND_AND_RING = "Read the band with the witness mark, the ring with START: it ends {ends}."
CHANGES = {
    (False, False): "Take off the band for stage {old} and fit the band for stage {new} in the same way.",
    (True, True): "Take off band and ring for stage {old} and fit those for stage {new} in the same way.",
    (True, False): "Take off band and ring for stage {old} and fit the band for stage {new} in the same way: it has no "
    "ring.",
    (False, True): "Take off the band for stage {old} and fit the band for stage {new} in the same way. Its ring is "
    "taped on beside the fresh mark, ZERO at START.",
}
"""How to change bands, by whether the stage before and the stage after have a part ring."""


def _on_ring(spec: TighteningSpec, rings: Collection[int]) -> str:
    """Where START ends on the part ring of some stages."""
    kinds = dict.fromkeys(stage.window is not None for number, stage in enumerate(spec.stages, 1) if number in rings)
    return " or ".join("in the ring's bracket" if window else "at the ring's stop line" for window in kinds)


def pointer_captions(pointers: Sequence[Pointer]) -> list[str]:
    """What stands below the witness pointers."""
    several = [pointer for pointer in pointers if pointer.name == "1b"]
    each = f"fastener and stage (1b: fastener 1, {several[0].stages})" if several else "fastener"
    return [
        f"Witness pointers, one per {each}. Cut along the dashed line, stick the lower half on the part, the "
        "hairline's upper end at START: flat, or where the part lies up to 3, 6 or 10 mm lower than the band's edge, "
        "folded up along that dotted line.",
    ]


def reading_error(
    budgets: Sequence[Budget],
    remedies: Sequence[Remark | None],
    ring: Sequence[Budget],
    model: ErrorModel,
    closure_mm: float,
    extras: Sequence[Joined] = (),
) -> list[str]:
    """Where to aim, the reading error of each readout and stage, and what it rests on.

    `closure_mm` is half the width of the OK bracket.
    """
    bracket = f" ({trimmed(closure_mm, 2)} mm each way)"
    splices = any(c.name == "splice 1" for budget in budgets for c in budget.contributions)
    spliced = f", each splice within {trimmed(model.splice_mm, 2)} mm" if splices else ""
    return [
        *error_lines({"band": (budgets, remedies), "part ring": (ring, ()), **_judged(extras)}),
        _rests_on(f"the band's end in the OK bracket{bracket}{spliced}", model, bool(ring), extras),
    ]


def _judged(extras: Sequence[Joined]) -> dict[str, Judged]:
    """The budgets of what extras make, by its name."""
    return {name: judged for extra in extras for name, judged in extra.judged.items()}


def trim_notes(remedies: Sequence[Remark], model: ErrorModel, ring: bool, extras: Sequence[Joined] = ()) -> list[str]:
    """What the reading errors of trim bands rest on, and what can prove a window that they cannot."""
    cut_mm = trimmed(model.trimmed_od_mm * MM_PER_MM_OF_OD, 2)
    return [
        *dict.fromkeys(f"{led('', str(remedy))}." for remedy in remedies),
        *error_lines(_judged(extras)),
        _rests_on(f"the cut within {cut_mm} mm of its row, the band's end in the OK bracket", model, ring, extras),
    ]


def _rests_on(fitted: str, model: ErrorModel, ring: bool, extras: Sequence[Joined]) -> str:
    """What the reading error of a band rests on, and that of a ring and of extras if there are any."""
    rulers = ", both rulers alike within 0.2 mm" if ring else ""
    own = "".join(f"; {extra.name}: {extra.rests_on}" for extra in extras)
    return (
        f"{RESTS_ON} at most {trimmed(model.gap_mm, 2)} mm between mark and band, {fitted}, mark "
        f"±{trimmed(model.witness_mm, 3)} mm, stop reading ±{trimmed(model.stop_mm, 3)} mm, looking within "
        f"{trimmed(model.view_angle_deg, 1)}° of square, socket ±{trimmed(model.play_mm, 3)} mm sideways on the "
        f"fastener{rulers}{own}. {YOUR_OWN}"
    )


def ring_caption(rings: Sequence[RingLayout], unit: str, brief: bool = False) -> str:
    """What stands below part rings that differ in their stages alone, as a rule below one.

    A `brief` one leaves out what the card tells too: how the stages count, and the reading error.
    """
    ring, stages = rings[0], [marks for ring in rings for marks in ring.stages]
    way, several = "clockwise" if ring.clockwise else "counterclockwise", len(rings) > 1
    name, it = RING_NAMES[ring.closed, several], "each" if several else "it"
    slip = f"slip {it} round the socket by its slit" if ring.closed else f"lay {it} against the socket"
    bore = f"bore {shown_length(ring.bore_mm, unit)}"
    if ring.bores_mm:
        bore, slip = (
            f"bores for several ODs (each number is the OD in {'inches' if unit == 'in' else unit} that it fits)",
            f"cut the bore of the socket's OD, {slip}",
        )
    kinds = {True: "in the bracket", False: "at the line"}
    named = [
        (f"in {marks.stage_name} " if marks.of > 1 else "", kinds[marks.stage.window is not None], marks.label[1:])
        for marks in stages
    ]
    ends = "; ".join(f"{name}{end}, {' '.join(window)}" for name, end, window in named)
    marked = " and ".join(dict.fromkeys(end.split()[-1] for _, end, _ in named))
    count = "" if brief else counted(stages)
    count = f" {led('', count)}." if count else ""
    error = "" if brief or ring.error_deg is None else f" It reads give or take {shown_degrees(ring.error_deg, 1)}."
    return (
        f"{name}, {bore}. Cut out, {slip} and tape {it} to the part, print up, ZERO at START. START travels over it "
        f"{way} and ends {ends}.{count}{error} Watch START alone: the socket's STOP has no business at the {marked}."
    )


RING_NAMES = {
    (True, False): "Part ring",
    (True, True): "Part rings",
    (False, False): "Sector of the part ring",
    (False, True): "Sectors of the part rings",
}
"""What rings are called, by whether they go all the way round, and whether there are several."""


RESTS, PROVES_AND_RESTS = "What it rests on", "What can prove it, and what it rests on"
"""What stands above the notes on the reading error of trim bands."""

FROM_START, BAND_FROM_START = "From START.", "From START, lengths on the band."
"""What stands before the places of marks in running words."""


def beside_start(mm: float, clockwise: bool, unit: str) -> str:
    """Where a place lies on the flat band, drive end up, as a ruler finds it: "22.07 mm right", "4.41 mm left"."""
    side = "right" if (mm > 0) is clockwise else "left"
    return f"{shown_length(abs(mm), unit)} {side}" if abs(mm) > SAME_MM else shown_length(0.0, unit)


SAME_MM = 1e-6

KEEP_CARD = "Cut along the heavy line: the work card below it stays whole."


def band_caption(copies: range, of: int, piece: tuple[int, int], size: tuple[str, str, str]) -> str:
    """What stands below copies of a band, `of` in all, which tells its stages itself.

    `piece` is the number of its piece and how many it has, `size` the closed length, the OD and the paper's thickness.
    """
    length, od, stock = size
    which = f", {len(copies)} copies" if len(copies) > 1 else f", copy {copies[0]} of {of}" if of > 1 else ""
    part = f", piece {piece[0]} of {piece[1]}" if piece[1] > 1 else ""
    return f"Band{which}{part}: closed length {length} on {od} with paper {stock} thick"


def trim_caption(socket: str, stock: str) -> str:
    """What stands first below a trim band."""
    return f"Trim band, {socket}, paper {stock} thick"
