"""The readouts: what the angle is read from at the bench, by the kind that lists name; each is one folder, one line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, NamedTuple

from ..errors import RangeError

if TYPE_CHECKING:
    from ..drawing.primitives import Drawing
    from ..fastening.socket import Socket
    from ..fastening.spec import Window
    from ..figures.room import Box
    from ..marks.reading_error import ErrorModel
    from ..remarks import Remark
    from ..sheets.sheet import Sheet
    from ..sheets.words import Judged


class Outline(NamedTuple):
    """One piece of paper before it is drawn: its words, its size, and what draws it.

    `whole_line` tells the sockets that all pieces serve together, where `socket_line` tells only those of this one.
    `size` is what measuring the piece gives, in words: its closed length, or a diameter; `lengths_mm` are the closed
    lengths, or the diameter, that it may have, from and to. `glued` tells a piece of a band in several, `by_stage` one
    of several that are used in turn, each for its stages. `below` are words that find no room on it and are said
    nowhere else. `draw` is a function of a module, or a `partial` of one: a set packs it, and sends it to other
    processes.
    """

    spec_line: str
    socket_line: str
    width_mm: float
    height_mm: float
    draw: Callable[[], Drawing]
    whole_line: str = ""
    size: str = ""
    lengths_mm: tuple[float, float] = (0.0, 0.0)
    glued: bool = False
    by_stage: bool = False
    below: tuple[str, ...] = ()


class Unproved(NamedTuple):
    """A window in which a band leaves no aim: of which stage, on which socket, and with which errors it is read.

    `turn_deg` and `seam` are those of the stage and its band, `bore_mm` is the part ring's bore.
    """

    stage: int
    turn_deg: float
    window: Window
    seam: float
    socket: Socket
    stock_mm: float
    bore_mm: float
    model: ErrorModel


class Joined(NamedTuple):
    """An extra that stands among the pieces of a job and is read as its bands are, by the same steps.

    The `figure`, which fills the boxes `taken` of its drawing, has `captions`, and a list of `steps` of its own below a
    `heading`, with a last `note`. In the job's list the step `instead` comes first, has the rulers measured and leads
    there. `name` says what is read, `edge` what its witness mark ends near, and `change` is added to the steps that
    change bands. `judged` are its budgets by the name of what is read, `rests_on` what they assume besides the band's.
    """

    figure: Drawing
    taken: Sequence[Box]
    captions: Sequence[str]
    heading: str
    steps: Sequence[str]
    note: str
    instead: str
    name: str
    edge: str
    change: str
    judged: Mapping[str, Judged]
    rests_on: str


class Readout(NamedTuple):
    """One readout, and what lists, jobs and advice ask it. The functions are those of its module `home`, loaded late.

    `output` names the output whose plan it is drawn from. `sized` tells whether that takes the socket's diameter: True
    when it has to, False when it must not, None when it is all the same; `needs_points` whether it takes the number of
    corners. `extra` says in words what `job --with` prints, "a drive disc"; "" for what is no extra. It stands among
    the job's pieces if it `joins` them, else on a page of its own. `asks` is what its output has to be asked for to
    draw it, field by field. `proves` tells whether `proof` can be asked: of what is read finely enough to prove windows
    that nobody hits.
    """

    kind: str
    home: str
    output: str = "job"
    sized: bool | None = True
    needs_points: bool = True
    extra: str = ""
    joins: bool = False
    asks: tuple[tuple[str, str], ...] = ()
    proves: bool = False

    def pieces(self, plan: Any) -> Iterator[Outline]:
        """Yield every piece of a plan of its `output`. Raises LayoutError for what does not fit on the paper."""
        return self._function("pieces")(plan)  # type: ignore[no-any-return]

    def remedy(self, unproved: Unproved) -> Remark | None:
        """Say how this readout leaves an aim in a window, with its figures; None when it does not, or never better."""
        found: Remark | None = self._function("remedy")(unproved)
        return found

    def proof(self, unproved: Unproved) -> Remark | None:
        """Say how this readout proves a window in which it leaves no aim; None when it does not, or is never asked."""
        found: Remark | None = self._function("proof")(unproved) if self.proves else None
        return found

    def plan_for(self, job: Any, ods: tuple[float, float] | None) -> Any:
        """Return the numbers of the extra that goes with a job, with `budgets` and `warnings`. Raises a MarkingError.

        `ods` are the smallest and the largest OD in mm of a job without a diameter, None for others.
        """
        return self._function("plan_for")(job, ods)

    def put(self, sheet: Sheet, plan: Any) -> None:
        """Put an extra that joins no pieces on a sheet, from the top of its present page on. Raises LayoutError."""
        self._function("put")(sheet, plan)

    def joined(self, plan: Any) -> Joined:
        """Return an extra that joins a job's pieces."""
        found: Joined = self._function("joined")(plan)
        return found

    def data(self, plan: Any) -> dict[str, Any]:
        """Return an extra as JSON-ready data."""
        data: dict[str, Any] = self._function("data")(plan)
        return data

    def _function(self, name: str) -> Callable[..., Any]:
        function: Callable[..., Any] = getattr(import_module(self.home, __name__), name)
        return function


READOUTS = {
    readout.kind: readout
    for readout in (
        Readout("band", ".band.readout"),
        Readout("trim band", ".trim_band.readout", sized=False),
        Readout(
            "disc", ".drive_disc.readout", "disc", sized=None, needs_points=False, extra="a drive disc", proves=True
        ),
        Readout("mat", ".mat.readout", "mat", sized=None, needs_points=False, extra="a mat", joins=True),
        Readout("ring", ".part_ring.readout", asks=(("ring", "full"),)),
    )
}


def usual_kind(sized: bool) -> str:
    """Return what is printed when no kind is asked for, for a socket of known diameter or not."""
    return next(kind for kind, readout in READOUTS.items() if readout.sized is sized)


def extras() -> dict[str, Readout]:
    """Return the readouts that a job can print beside its own, by kind."""
    return {kind: readout for kind, readout in READOUTS.items() if readout.extra}


def extra_of(kind: str) -> Readout:
    """Return the readout that a job prints too. Raises RangeError for what is no extra."""
    if kind not in extras():
        raise RangeError(f"a job prints no {kind!r} too", " or ".join(extras()), value=kind, field="extras")
    return READOUTS[kind]
