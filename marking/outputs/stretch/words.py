"""What the turn does to the fastener, in sentences that take values."""

from __future__ import annotations

from collections.abc import Sequence

from ...quantities.shown import rounded, trimmed
from ...remarks import Template
from ...sheets.words import CAUTIONS

HAND_TIGHT = Template("hand-tight", "hand tight: the tension after snug is taken as zero")
NO_SNUG = Template("no-snug", "the spec has no snug torque: the tension after snug is taken as zero")
NO_TOLERANCE = Template(
    "no-tolerance",
    "the turn has no tolerance, so there is no window; ask the manual's maker for a tolerance where it matters",
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance",
    "stage {stage}, {turn:deg}, has no tolerance, so there is no window; ask the manual's maker for a tolerance where "
    "it matters",
)
LAST_RUN = Template("last-run", "the figures are those of {run} alone: what comes before it counts no more")
AFTER_TURN = Template("after-turn", "what follows the last turn, {step}, is not in the figures")
SNUG_PASSES_YIELD = Template("snug-passes-yield", "at low friction the snug torque alone may make the bolt yield")
STAINLESS = Template(
    "stainless-friction",
    "the limits of friction taken are those of lubricated steel: stainless steel rubs harder, scatters more and may "
    "seize; give limits with {@friction}",
)
MAY_BREAK = Template(
    "may-break",
    "the turn may break the bolt: where it is weakest it may be stretched for good by {share:.1f} %, and its class "
    "need bear no more than {elongation:.0f} % in a tension test; check thread, class, grip and spec",
)

TEACHING = (
    "These are teaching numbers, not tightening instructions. The manufacturer's manual decides: torque, angle, order, "
    "lubricant and reuse."
)

STRETCH_CAUTIONS = (TEACHING, *CAUTIONS[1:])

LITTLE_GAIN = 0.75
"""A scatter above this part of that of torque alone counts as little gained (our choice)."""

NONE_HERE = "–"

SOURCES = {
    "friction": "friction", "wrench": "torque wrench", "tolerance": "tolerance of the snug torque",
    "window": "window of the turn", "reading": "reading error", "settling": "settling",
}  # fmt: skip


def percent(part: float) -> str:
    """A part of 1 as a whole percentage: "87 %"."""
    return f"{trimmed(100.0 * part, 0)} %"


def share(part: float) -> str:
    """A small part of 1: "0.6 %"."""
    return f"{rounded(100.0 * part, 2)} %"


def spread(half_percent: float) -> str:
    """A scatter as printed: "±20 %"."""
    return f"±{trimmed(half_percent, 1)} %"


def interval(low: str, high: str | None) -> str:
    """The ends of an interval of tension: "56 kN to 69 kN"; without an upper end the bolt may break."""
    if high is None:
        return f"{low} until it breaks"
    return low if low == high else f"{low} to {high}"


# -- after snug and after the turn


def stage_titles(several: bool) -> tuple[str, ...]:
    """The titles over the stages; several have turns that are totals from snug, which the spec's may not be."""
    return ("after", "total" if several else "turn", "advance", "stretch", "squeeze", "lowest", "middle", "highest")


def stage_name(number: int, several: bool) -> str:
    """What a row of the stages is called."""
    return f"stage {number}" if several else "turn"


def each_degree(gain: str, stretch_share: float) -> str:
    """What a degree of turn does."""
    return (
        f"While everything is elastic, a degree of turn adds {gain}: {percent(stretch_share)} of the advance stretches "
        f"the bolt, {percent(1 - stretch_share)} squeezes the parts."
    )


def if_rigid(rigid: str, textbook: str) -> str:
    """What the ends of the bolt add, told by leaving them out."""
    return (
        f"With rigid head, nut or tapped hole, and engaged thread it would be {rigid}; by the textbook's "
        f"formula, which also takes the stress area for the thread, {textbook} (Shigley, eq. 8-17). Both promise too "
        "much."
    )


def where_it_yields(force: str, at_mid: str, soonest: str, latest: str) -> str:
    """Where a bolt of the least strength yields, at mid friction and over all limits of friction and snug torque."""
    ends = "" if soonest == latest else f" ({soonest} to {latest} over all limits)"
    return (
        f"Friction twists the bolt while it is tightened, so that it yields sooner than in tension alone: at "
        f"{force} at mid friction, {at_mid} after snug{ends}."
    )


def where_proof_is(turn: str, before_yield: bool) -> str:
    """Where the proof load is reached by the elastic formulas."""
    if before_yield:
        return f"The proof load is reached {turn} after snug at mid friction."
    return f"The proof load would come {turn} after snug: twisted, a bolt of the least strength yields before it."


# -- what the numbers say


def elastic_result(tension: str, of_proof: float | None, of_yield: float) -> str:
    """The tension after a turn that does not go beyond yield."""
    proof = "" if of_proof is None else f"{percent(of_proof)} of the proof load, "
    return f"After the turn the tension at mid friction is {tension}: {proof}{percent(of_yield)} of yield with twist."


def beyond_yield(turn: str, at_yield: str, low: str, high: str, all_yield: bool) -> list[str]:
    """What is known of a turn beyond yield."""
    return [
        f"The turn of {turn} goes beyond yield, which comes at {at_yield}. There the elastic formulas stop: there is "
        f"no curve, only bounds. A bolt of just its class's strength ends between {low} and {high}.",
        "Specs of torque, then turn often go there by design: what then limits the tension is the bolt's own "
        "strength, and the friction at snug matters little. The bolts of one lot differ far less than these bounds."
        if all_yield
        else "So near to yield not every bolt gets there within all these limits, and the friction at snug still "
        "matters. Specs that go there by design go farther.",
    ]


def harder(tension: str | None) -> str:
    """What a bolt may hold that is harder than its class demands."""
    if tension is None:
        return "A stronger bolt pulls harder and keeps less stretch; its standard sets no upper limit of strength."
    return (
        f"A harder bolt pulls harder and keeps less stretch: its class's limit of hardness allows some {tension} (by "
        "conversion, from memory)."
    )


def plastic_stretch(low: str, high: str, low_share: float, high_share: float, weakest: str) -> str:
    """What a bolt keeps of its stretch."""
    return (
        f"It keeps {low} to {high} of stretch for good: from {share(low_share)} of its loaded length, if "
        f"that stretches evenly, to {share(high_share)} of the weakest {weakest}, if all of it is there."
    )


def maybe_plastic(high: str, high_share: float, weakest: str) -> str:
    """What a bolt may keep after a turn that stays below yield at mid friction."""
    return (
        f"At the worse end of all limits it may keep up to {high} of stretch, {share(high_share)} of its weakest "
        f"{weakest}."
    )


USE_ONCE = (
    "How often may it be used? Once: a bolt that may have yielded is for one use, unless the manual says otherwise."
)

USE_AGAIN = "Within all these limits the bolt springs back; whether it may be used again, the manual says."


# -- the comparison


def comparison_heading(aim: str, beyond: bool) -> str:
    """What the two methods are aimed at."""
    if beyond:
        return f"Torque alone aimed at yield with twist, {aim}, at mid friction; the turn goes beyond it"
    return f"Both aimed at the tension after the turn, {aim} at mid friction"


SAME_KIND = (
    "Both are intervals of the same kind: every limit on its worse side at once, ± half the width over the middle."
)

SAME_KIND_BOUNDED = (
    "Both are intervals of the same kind: every limit on its worse side at once, for a bolt of just its class's "
    "strength; ± half the width over the middle."
)


def by_torque(torque: str) -> str:
    """The name of torque alone."""
    return f"torque alone, {torque}"


BY_TURN = "torque, then turn"

OF_WHICH = "of it"

LIMITED = {True: "the bolt's strength", False: "all limits together"}
"""What a scatter comes from where the bolts yield, all or only some of them."""

PART_TITLES = ("it comes from", "torque alone", BY_TURN)


def part_rows(
    of_torque: Sequence[tuple[str, float]],
    of_turn: Sequence[tuple[str, float]],
    torque: float,
    turn: float,
    all_yield: bool,
) -> list[tuple[str, ...]]:
    """What the scatter of both methods is made of: (source, torque alone, torque then turn), the sums last."""
    first, second = dict(of_torque), dict(of_turn)
    rows: list[tuple[str, ...]] = [
        (name, *(spread(parts[source]) if source in parts else NONE_HERE for parts in (first, second)))
        for source, name in SOURCES.items()
        if source in first or source in second
    ]
    if not of_turn:
        rows.append((LIMITED[all_yield], NONE_HERE, spread(turn)))
    return [*rows, ("all", spread(torque), spread(turn))]


def breaks() -> str:
    """What happens at low friction to a torque that is aimed too high."""
    return "By torque alone, at low friction, a bolt may break before the wrench clicks."


def gain(
    torque: float,
    turn: float,
    snug_share: float,
    has_snug: bool,
    has_window: bool,
    one_friction: bool,
    counted: Sequence[tuple[str, float]],
    harder_percent: float | None,
    all_yield: bool,
) -> list[str]:
    """Whether the turn is worth it: the scatter of both, and what that of the turn comes from; all in percent."""
    found = []
    if not has_snug:
        found.append("The tension after snug counts as zero, and so does its scatter.")
    if not has_window:
        found.append("Without a tolerance for every turn there is no window: the scatter is less than there will be.")
    if one_friction:
        found.append("One value of friction scatters nothing: give limits, such as 0.10..0.16.")
    if not counted:
        harder = harder_percent is not None and spread(harder_percent) != spread(turn)
        up_to = f", up to its limit of hardness {spread(harder_percent)}" if harder_percent and harder else ""
        bounds = (
            f"The bolt's own strength bounds the tension: just that of its class to {spread(turn)}{up_to}."
            if all_yield
            else f"Where only some bolts yield, limits do not simply add up: together they leave {spread(turn)}{up_to}."
        )
        return [*found, f"{bounds} By torque alone, friction and wrench leave {spread(torque)}."]
    if turn <= LITTLE_GAIN * torque:
        part = (
            f"only the {percent(snug_share)} of the tension that the snug torque makes" if has_snug else "nothing here"
        )
        return [
            *found,
            f"The turn cuts the scatter from {spread(torque)} to {spread(turn)}. It is counted, not felt: friction "
            f"scatters {part}.",
        ]
    gained = "nothing" if turn >= torque else "little"
    largest = max(counted, key=lambda part: part[1])[0]
    why = {
        "window": "the window is wide for so small a turn",
        "reading": "the turn is read too coarsely for its size",
        "settling": "so stiff a joint loses much of its tension when it settles",
    }.get(
        largest,
        f"the snug torque makes {percent(snug_share)} of the tension, and that part scatters as it would by torque "
        "alone",
    )
    return [*found, f"Here the turn gains {gained} over torque alone: {why}."]


# -- the words themselves

GLOSSARY = (
    "Bolt: what turns or is held; standards call it a screw where it turns.",
    "Grip: what the bolt clamps, from face to face, without washers.",
    "Squeeze: how much thinner the clamped parts become.",
    "Settling: roughness of threads and faces that flattens under load.",
    "Yield: from here on a bolt keeps part of its stretch. Tensile: what it bears at most.",
    "Mid friction: the middle of the limits taken; twist: what friction in the thread does to the bolt.",
)

# -- the charts

KEY = {
    "stage-end": "end of an earlier stage", "torque-snug": "snug torque", "torque-alone": "torque alone",
    "tension-range": "range of tension", "tension-band": "bounds: the tension lies between",
}  # fmt: skip
"""What the roles on the charts mean."""


def friction_name(which: str, value: str) -> str:
    """What the line of a friction is called: "low friction 0.10"."""
    return " ".join(word for word in (which, "friction", value) if word)


def window_name(window: str | None, turn: str) -> str:
    """What the hatch, or the line of a turn without a window, is called."""
    return f"turn {turn}" if window is None else f"window {window}"


# -- formulas


def assumptions(unified: bool) -> list[str]:
    """Formulas, and what they leave out."""
    area = "ASME B1.1" if unified else "ISO 898-1"
    return [
        f"Advance = pitch × turn / 360. Stress area: {area}. Stretch of head, nut, tapped hole and threads: VDI 2230 "
        "Part 1 (from memory): 0.5 d for a hexagon head, 0.4 d for a socket head and a nut, 0.33 d for a tapped hole, "
        "0.5 d at the root for engaged thread. Half of head and nut instead (Bickford's handbook, from memory) makes a "
        "usual bolt some 15 % stiffer. Parts: 30° frusta, Shigley's Mechanical Engineering Design, eq. 8-20; above a "
        "tapped hole one cone. Torque over tension: ISO 16047 and VDI 2230, P/2π + 0.577 µ d2 + µ Db/2.",
        "Yield with twist: tension over √(1 + 3 (1.5 d2/d0 (P/πd2 + 1.155 µ))²), VDI 2230 (from memory). Beyond it: at "
        "least yield with twist at high friction, reached with at most 0.2 % kept; at most tensile strength, and no "
        "more than the elastic line. What of the advance the tension does not take up stays in the bolt.",
        "Lowest tension: high friction, the wrench low, the low edge of the window read too large, all settling during "
        "the turn; highest: the other way round. What settles later both methods lose alike. Handbooks, which do not "
        "take all limits at once, give ±5 to 15 % by angle, ±17 to 28 % by torque wrench (VDI 2230, Machinery's "
        "Handbook). Unless given, limits of friction (0.10 to 0.16), bearing face (1.5 d), hole (1.1 d) and "
        "the socket (2.25 d) are our choice. Whoever keeps to the aim of a job's sheet has the reading error within "
        "the window: there it counts no more.",
        "Taken for granted: wide parts; nut and tapped thread outlast the bolt, which in soft parts and short threads "
        "they may not; one bolt at a time. Left out: bending, gaskets, paint, the load of service, heat.",
    ]
