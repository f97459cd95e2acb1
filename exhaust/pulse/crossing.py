"""The two sides of a crossover: pipes that narrow along it, and the window between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from exhaust.flow.installed import Installed, Owner
from exhaust.joints import Joint
from exhaust.pulse.arrays import FloatArray, Windows
from exhaust.pulse.network import windows_between
from exhaust.pulse.pipes import Pipe
from exhaust.pulse.segments import Segment
from exhaust.system import Line, System

STATIONS = 401
# What gas that passes the window loses, in heads of its flow through it: a jet's own to that of a
# sharp hole; common practice, no source.
WINDOW_LOSS = 1.7


class Sides(NamedTuple):
    """What along one side of a crossover differs from plain tube, face by face or cell by cell.

    Area over the tube's own `narrowed` [cells + 1] [-]; `height` [cells] of the window [m] and the
    `path` [cells] of the gas that swings through it [m].
    """

    narrowed: FloatArray
    height: FloatArray
    path: FloatArray


def sides_of(joint: Joint, pipe: Pipe) -> Sides:
    """Return the shape of one side of a crossover in the cells of its own `pipe`.

    Area and height follow the joint's profile; the height is scaled so that the window has the
    joint's own area. The path is the mean depth of a leg behind its bore's width: half a leg on
    either side.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
    >>> n = 60
    >>> pipe = Pipe(x.centreline_length / n, np.full(n + 1, x.tube.flow_area))
    >>> sides = sides_of(x, pipe)
    >>> bool(np.isclose(sides.height.sum() * pipe.width, x.window_area))
    True
    """
    along = joint.profile(STATIONS)
    share = along.position / along.position[-1]
    faces = np.linspace(0.0, 1.0, pipe.cells + 1)
    narrowed = np.interp(faces, share, along.leg_area) / joint.tube.flow_area
    steps = np.diff(along.position) * (along.window_height[1:] + along.window_height[:-1]) / 2
    opened = np.diff(np.interp(faces, share, np.concatenate([[0.0], np.cumsum(steps)])))
    height = opened / opened.sum() * joint.window_area / pipe.width
    middle = (narrowed[1:] + narrowed[:-1]) / 2
    return Sides(narrowed, height, middle * joint.tube.flow_area / joint.tube.inside_diameter)


def narrowed(pipe: Pipe, sides: Sides) -> Pipe:
    """Return a side's pipe with its area as cut; its losses stay on the tube's own head."""
    cut = (sides.narrowed[1:] + sides.narrowed[:-1]) / 2
    # On the local head a loss counts less by the square of the areas; friction is over diameter.
    scale = cut**2 * np.sqrt(cut)
    return pipe._replace(
        face_area=pipe.face_area * sides.narrowed, friction=np.asarray(pipe.friction) * scale
    )


def window(
    pipes: Sequence[Pipe], pair: tuple[int, int], joint: Joint, loss: float = WINDOW_LOSS
) -> Windows:
    """Return the opening between the two sides of a crossover, by the numbers of their pipes."""
    sides = sides_of(joint, pipes[pair[0]])
    return windows_between(pipes, pair, sides.height, sides.path, loss)


def joined(segments: Sequence[Segment], system: System, laid: Installed) -> list[Segment]:
    """Return pipes with those of each side of the system's crossover made one, at the end.

    The first run into a crossover and the first out of it are on one side, and so on.
    """
    place = system.joint_at
    whole = [one for one in segments if place not in (one.start, one.end)]
    ahead = sorted(
        (one for one in segments if one.end == place),
        key=lambda one: _side(system.graph.into(place), laid.owners[one.link][::-1]),
    )
    behind = sorted(
        (one for one in segments if one.start == place),
        key=lambda one: _side(system.graph.out_of(place), laid.owners[one.link]),
    )
    for number, (first, second) in enumerate(zip(ahead, behind, strict=True)):
        whole.append(
            first._replace(
                name=side_name(place, number),
                end=second.end,
                bits=first.bits + second.bits,
                owners=first.owners + second.owners,
                arriving=second.arriving,
            )
        )
    return whole


def side_name(place: str, number: int) -> str:
    """Return what a side of the joint at a place is called, the first numbered nought.

    >>> side_name("X", 0)
    'X, side 1'
    """
    return f"{place}, side {number + 1}"


def _side(lines: Sequence[Line], owners: Sequence[Owner]) -> int:
    """Return which of `lines` has the first run among `owners`."""
    run = next(owner for owner in owners if isinstance(owner, int))
    return [line.run for line in lines].index(run)
