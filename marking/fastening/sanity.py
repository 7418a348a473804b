"""What looks like a slip without being impossible: remarks on a socket's sizes and a spec's torques, never refusals."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ..remarks import Remark, Template
from .hexagons import old_width_mm
from .socket import Drive, Socket
from .spec import TighteningSpec

LEAST_WALL_MM = 1.0
"""Thinner walls are unusual (our choice: the slimmest sockets have a little more)."""

LEAST_TORQUE_NM = 5.0
"""Smaller torques are rarely followed by a turn (our choice)."""

HEXAGON = Template("hexagon", "opening {opening}, the hexagon of {hexagon}")
HEXAGON_OF_TWO = Template(
    "hexagon",
    "opening {opening}, the hexagon of {hexagon}; the old one (DIN 931) has {old:g} mm: for that give {@opening} in mm",
)
THIN_WALL = Template(
    "thin-wall",
    "a wall of {wall:length} each side is thin, between an opening of {opening} and an OD of {od:length}: check "
    "{@opening} (across flats) and {measured}",
)
UNUSUAL_OD = Template(
    "unusual-od",
    "an OD of {od:length} is unusual on {drive} in drive ({low:length} to {high:length}): check {@drive} and "
    "{measured}",
)
OD_LIKE_AROUND = Template(
    "od-like-around",
    "an OD of {od:length} is unusual on {drive} in drive ({low:length} to {high:length}): is {od:length} the length "
    "round the socket? then give it with {@around}",
)
AROUND_LIKE_OD = Template(
    "around-like-od",
    "{around} round the socket make an OD of {od:length}, unusual on {drive} in drive ({low:length} to {high:length}): "
    "{around} looks like a diameter: then give it with {@od}",
)
OD, AROUND, RANGE, OPENING = (Template(name, f"{{@{name}}}") for name in ("od", "around", "od_range", "opening"))
SOCKET_CODES = frozenset(template.code for template in (HEXAGON, THIN_WALL, UNUSUAL_OD, OD_LIKE_AROUND, AROUND_LIKE_OD))
LARGE_TORQUE = Template(
    "large-torque",
    "a torque of {torque} is above what {drive} in drive usually takes, some {most:g} N·m (from memory): check the "
    "torque and {@drive}",
)
SMALL_TORQUE = Template(
    "small-torque", "a torque of {torque} is very small: is it really {torque}? check its unit and its decimal point"
)


def socket_remarks(socket: Socket) -> Iterator[Remark]:
    """Yield what looks odd about a socket's sizes, and where its opening was looked up."""
    yield from _hexagon(socket)
    measured = OD() if socket.around is None else AROUND()
    yield from _wall(socket, measured)
    if socket.drive.usual_od(socket.od_mm):
        return
    if socket.around and socket.like_a_diameter:
        yield AROUND_LIKE_OD(around=socket.around.text, **_unusual(socket))
    elif socket.around is None and socket.drive.usual_od(socket.od_mm / math.pi):
        yield OD_LIKE_AROUND(**_unusual(socket))
    else:
        yield UNUSUAL_OD(measured=measured, **_unusual(socket))


def range_remarks(low: Socket, high: Socket, usual: bool) -> Iterator[Remark]:
    """Yield what looks odd about the sockets at the ends of a range of ODs, and where their opening was looked up.

    `usual` tells that the range is not given but the drive's usual one, as far as the opening goes into it.
    """
    yield from _hexagon(low)
    yield from _wall(low, RANGE())
    measured = OPENING() if usual else RANGE()
    for end in (low, high):
        if not end.drive.usual_od(end.od_mm):
            yield UNUSUAL_OD(measured=measured, **_unusual(end))


def _hexagon(socket: Socket) -> Iterator[Remark]:
    """Yield which hexagon's width across flats the opening is, if it was given by a thread size."""
    if socket.opening and socket.hexagon:
        old = old_width_mm(socket.hexagon)
        yield (HEXAGON if old is None else HEXAGON_OF_TWO)(opening=socket.opening.text, hexagon=socket.hexagon, old=old)


def _wall(socket: Socket, measured: Remark) -> Iterator[Remark]:
    if socket.opening and socket.wall_mm is not None and socket.wall_mm < LEAST_WALL_MM - 1e-9:
        wall, od = (socket.wall_mm, socket.unit), (socket.od_mm, socket.unit)
        yield THIN_WALL(wall=wall, opening=socket.opening.text, od=od, measured=measured)


def _unusual(socket: Socket) -> dict[str, object]:
    low, high = socket.drive.usual_ods_mm
    sizes = {"od": socket.od_mm, "low": low, "high": high}
    return {"drive": socket.drive.inch} | {name: (mm, socket.unit) for name, mm in sizes.items()}


def torque_remarks(spec: TighteningSpec, drive: Drive) -> Iterator[Remark]:
    """Yield what looks odd about a spec's torques, for a drive."""
    if spec.snug and spec.snug.nm > drive.usual_torque_nm * (1 + 1e-9):
        yield LARGE_TORQUE(torque=spec.snug.both, drive=drive.inch, most=drive.usual_torque_nm)
    if spec.snug and spec.snug.nm < LEAST_TORQUE_NM * (1 - 1e-9):
        yield SMALL_TORQUE(torque=spec.snug.both)
