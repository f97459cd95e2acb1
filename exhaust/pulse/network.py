"""Flat arrays of a network, from its pipes and what is at their ends; and gas to fill it with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import ExhaustError, broken
from exhaust.flow.passage import more_than_zero
from exhaust.pulse.arrays import (
    Cylinders,
    Ends,
    FloatArray,
    Gas,
    Junctions,
    Mesh,
    Network,
    Reservoirs,
    State,
    Windows,
)
from exhaust.pulse.pipes import Pipe, check_pipe

SIDES = ("start", "end")
UNIT = 1e-6  # an axis may be this far from one long


class Reservoir(NamedTuple):
    """Gas at rest beyond a pipe's `end`: `pressure` [Pa], `temperature` [K].

    `area` of the opening [m^2]; the whole end if none is given.
    """

    end: int
    pressure: float
    temperature: float
    area: float | None = None


class Junction(NamedTuple):
    """Pipes' `ends` that meet. `axes` point out along each leg, for the balance of momentum.

    Without `axes` all legs have one pressure.
    """

    ends: Sequence[int]
    axes: ArrayLike | None = None


def no_windows() -> Windows:
    """Return a list of windows with none in it."""
    which, none = np.empty(0, np.int64), np.empty(0)
    return Windows(which, which, none, none, none)


def windows_between(
    pipes: Sequence[Pipe], pair: tuple[int, int], height: ArrayLike, path: ArrayLike, loss: float
) -> Windows:
    """Return the opening between two pipes that lie side by side and run the same way.

    `pair` of pipes with like cells; `height` of the opening [m] and `path` of the gas that swings
    through it [m], each one number or one to a cell of the pipes; `loss` in dynamic heads of the
    flow through [-]. Cells without height have no window. The path is about the way from the
    middle of one gas stream to the other; a sharp hole loses about 2.7 heads.

    >>> from exhaust.pulse.pipes import round_pipe
    >>> pipes = [round_pipe(0.4, 0.05, 0.1), round_pipe(0.4, 0.05, 0.1)]
    >>> windows = windows_between(pipes, (0, 1), [0, 0.02, 0.02, 0], 0.04, 2.7)
    >>> windows.first.tolist(), windows.second.tolist(), windows.area.round(6).tolist()
    ([2, 3], [8, 9], [0.002, 0.002])
    """
    a, b = (pipes[k] for k in pair)
    if a.cells != b.cells or abs(a.width - b.width) > 1e-9 * a.width:
        raise broken("must have cells alike", f"{a.cells} and {b.cells}").named(
            "pipes with a window"
        )
    h, swing = (np.broadcast_to(np.asarray(x, float), a.cells) for x in (height, path))
    if np.any(h < 0) or not loss >= 0:
        raise broken("must not be less than zero", f"{min(h.min(), loss):g}").named(
            "height and loss"
        )
    more_than_zero("path", swing)
    start = np.cumsum([0] + [p.cells + 2 for p in pipes])
    open_cells = np.flatnonzero(h > 0)
    first, second = (open_cells + start[k] + 1 for k in pair)
    lost = np.full(open_cells.size, float(loss))
    return Windows(first, second, h[open_cells] * a.width, swing[open_cells].copy(), lost)


def no_cylinders() -> Cylinders:
    """Return a list of cylinders with none in it."""
    x = np.empty(0)
    return Cylinders(np.empty(0, np.int64), x, x, x, x, x, x, np.empty((0, 2)), x, x)


class Fittings(NamedTuple):
    """What is at the pipes' ends and between them; each end just once (pipe k: 2 k and 2 k + 1)."""

    closed: Sequence[int] = ()
    reservoirs: Sequence[Reservoir] = ()
    junctions: Sequence[Junction] = ()
    windows: Windows = no_windows()
    cylinders: Cylinders = no_cylinders()


def network(gas: Gas, pipes: Sequence[Pipe], fittings: Fittings) -> Network:
    """Return the flat arrays of a network.

    Raises ExhaustError where an end has nothing, or two things, at it.

    >>> from exhaust.pulse.pipes import round_pipe
    >>> net = network(Gas(1.4, 287.0), [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0, 1]))
    >>> net.mesh.per_width.size, net.ends.cell.tolist()
    (12, [1, 10])
    """
    for pipe in pipes:
        check_pipe(pipe)
    _check_cylinders(fittings.cylinders)
    mesh, ends = _mesh(pipes), _ends(pipes)
    used = [*fittings.closed, *(r.end for r in fittings.reservoirs)]
    used += [end for junction in fittings.junctions for end in junction.ends]
    used += fittings.cylinders.end.tolist()
    if sorted(used) != list(range(2 * len(pipes))):
        wrong = set(range(2 * len(pipes))) ^ set(used) | {e for e in used if used.count(e) > 1}
        named = ", ".join(f"the {SIDES[e % 2]} of pipe {e // 2}" for e in sorted(wrong))
        raise ExhaustError(f"every end of a pipe must lead to one thing (see {named})")
    return Network(
        gas,
        mesh,
        ends,
        np.array(fittings.closed, np.int64),
        _reservoirs(fittings.reservoirs, ends),
        _junctions(fittings.junctions),
        fittings.windows,
        fittings.cylinders,
    )


def cells_of(net: Network, pipe: int) -> slice:
    """Return where the cells of a pipe lie in the flat arrays.

    >>> from exhaust.pulse.pipes import round_pipe
    >>> pipes = [round_pipe(1.0, 0.05, 0.25), round_pipe(1.0, 0.05, 0.5)]
    >>> cells_of(network(Gas(1.4, 287.0), pipes, Fittings(closed=range(4))), 1)
    slice(7, 9, None)
    """
    return slice(int(net.ends.cell[2 * pipe]), int(net.ends.cell[2 * pipe + 1]) + 1)


def filled(
    net: Network, pressure: ArrayLike, temperature: ArrayLike, velocity: ArrayLike = 0.0
) -> State:
    """Return a network full of gas, in all cells alike or [N] with the spare ones.

    `pressure` [Pa], `temperature` [K], `velocity` [m/s]. Cylinders hold no residual yet.

    >>> from exhaust.pulse.pipes import round_pipe
    >>> net = network(Gas(1.4, 287.0), [round_pipe(1.0, 0.05, 0.25)], Fittings(closed=[0, 1]))
    >>> filled(net, 101325.0, 300.0).cells[:, 1].round(3).tolist()
    [1.177, 0.0, 253312.5]
    """
    g, R = net.gas
    shape = net.mesh.per_width.shape
    p, T, u = (
        np.broadcast_to(np.asarray(x, float), shape) for x in (pressure, temperature, velocity)
    )
    rho = p / (R * T)
    cells = np.array([rho, rho * u, p / (g - 1) + 0.5 * rho * u**2])
    start = net.junctions.start[:-1]
    joined = p[net.ends.cell[net.junctions.end[start]]]
    junction = np.stack([joined, np.full(len(start), 0.75), np.zeros(len(start))], axis=1)
    return State(
        cells,
        p[net.ends.cell].copy(),
        junction,
        np.zeros((net.junctions.end.size, 5)),
        np.zeros(net.windows.area.size),
        np.zeros((net.cylinders.end.size, 10)),
        np.zeros((net.ends.cell.size, 2)),
        np.zeros(1),
    )


def _check_cylinders(cylinders: Cylinders) -> None:
    """Raise ExhaustError, by name, where a cylinder cannot be."""
    for name in ("clearance", "charge", "release_temperature", "rod_ratio"):
        more_than_zero(f"{name} of a cylinder", getattr(cylinders, name))
    if np.any(cylinders.rod_ratio >= 1):
        raise broken("must be below 1", f"{np.max(cylinders.rod_ratio):g}").named("rod_ratio")
    if np.any(cylinders.closes <= cylinders.opens):
        raise ExhaustError("a valve must close after it opens; give both from firing top centre")


def _spaced(pipes: Iterable[Pipe], values: Iterable[ArrayLike]) -> FloatArray:
    """Return one value to a cell of all pipes, with nought in the spare cells."""
    rows = [np.pad(np.broadcast_to(v, p.cells), 1) for p, v in zip(pipes, values, strict=True)]
    return np.concatenate(rows).astype(float)


def _mesh(pipes: Sequence[Pipe]) -> Mesh:
    """Return the cells of all pipes in one row."""
    across = [np.sqrt(4 / np.pi * p.area) for p in pipes]
    zipped = list(zip(pipes, across, strict=True))
    faces = [np.concatenate([p.face_area[:1], p.face_area]) for p in pipes]
    return Mesh(
        _spaced(pipes, [1 / p.width for p in pipes]),
        _spaced(pipes, [1 / (p.width * p.area) for p in pipes]),
        _spaced(pipes, [np.diff(p.face_area) / (p.width * p.area) for p in pipes]),
        _spaced(pipes, [np.asarray(p.friction) / (2 * D) for p, D in zipped]),
        _spaced(pipes, [4 * np.asarray(p.heat_coefficient) / D for p, D in zipped]),
        _spaced(pipes, [p.wall_temperature for p in pipes]),
        np.concatenate([*faces, pipes[-1].face_area[-1:]]),
    )


def _ends(pipes: Sequence[Pipe]) -> Ends:
    """Return where the ends of all pipes are."""
    starts = np.cumsum([0] + [p.cells + 2 for p in pipes[:-1]]) + 1
    lasts = starts + [p.cells - 1 for p in pipes]
    area = np.array([(p.face_area[0], p.face_area[-1]) for p in pipes])
    return Ends(
        np.stack([starts, lasts], axis=1).ravel().astype(np.int64),
        np.stack([starts, lasts + 1], axis=1).ravel().astype(np.int64),
        np.tile([-1.0, 1.0], len(pipes)),
        area.ravel(),
    )


def _reservoirs(listed: Sequence[Reservoir], ends: Ends) -> Reservoirs:
    """Return the openings to gas at rest; raise ExhaustError where one cannot be."""
    for r in listed:
        more_than_zero("pressure of a reservoir", r.pressure)
        more_than_zero("temperature of a reservoir", r.temperature)
    area = [ends.area[r.end] if r.area is None else r.area for r in listed]
    for r, opening in zip(listed, area, strict=True):
        if not 0 <= opening <= ends.area[r.end]:
            rule = f"must be from 0 to the pipe's {ends.area[r.end]:g} m^2"
            raise broken(rule, f"{opening:g} m^2").named("area of a reservoir's opening")
    return Reservoirs(
        np.array([r.end for r in listed], np.int64),
        np.array(area, float),
        np.array([r.pressure for r in listed], float),
        np.array([r.temperature for r in listed], float),
    )


def _junctions(listed: Sequence[Junction]) -> Junctions:
    """Return all junctions' legs in one row; raise ExhaustError where legs or axes cannot be."""
    for j in listed:
        if len(j.ends) < 2:
            raise broken("must join two ends or more", len(j.ends)).named("a junction")
        if j.axes is not None:
            length = np.linalg.norm(np.asarray(j.axes, float).reshape(len(j.ends), -1), axis=1)
            if np.any(np.abs(length - 1) > UNIT):
                worst = float(length[np.argmax(np.abs(length - 1))])
                raise broken("must be one long", f"{worst:.4g}").named("axes of a junction")
    axes = [np.zeros((len(j.ends), 3)) if j.axes is None else np.asarray(j.axes) for j in listed]
    return Junctions(
        np.cumsum([0] + [len(j.ends) for j in listed]).astype(np.int64),
        np.array([end for j in listed for end in j.ends], np.int64),
        np.concatenate([np.zeros((0, 3)), *axes]).astype(float),
        np.array([j.axes is not None for j in listed], np.int64),
    )
