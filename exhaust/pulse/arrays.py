"""What the kernels of unsteady flow read and write: flat arrays, SI, nothing checked here.

All pipes lie end to end in one row of N cells. Each pipe has a spare cell at both its ends, which
only helps to take slopes; face i lies between cells i - 1 and i. An end of a pipe is 2 k for the
start of pipe k and 2 k + 1 for its far end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


class Gas(NamedTuple):
    """One gas for the whole network: `gamma` [-], `gas_constant` [J/kg/K]."""

    gamma: float
    gas_constant: float


class Mesh(NamedTuple):
    """The cells of all pipes, [N] each unless said; nought in the spare cells.

    `per_width` [1/m], `per_volume` [1/m^3], `widening` dA/dx over A [1/m], `drag` f/(2 D) [1/m],
    `heating` 4 h/D [W/m^3/K], `wall_temperature` [K], `face_area` [N + 1] [m^2].
    """

    per_width: FloatArray
    per_volume: FloatArray
    widening: FloatArray
    drag: FloatArray
    heating: FloatArray
    wall_temperature: FloatArray
    face_area: FloatArray


class Ends(NamedTuple):
    """The ends of all pipes: last `cell` and `face`, `outward` +1 or -1 along x, `area` [m^2]."""

    cell: IntArray
    face: IntArray
    outward: FloatArray
    area: FloatArray


class Reservoirs(NamedTuple):
    """Ends that open to gas at rest through an orifice: `end`, flow `area` [m^2] up to the pipe's,
    `pressure` [Pa], `temperature` [K].
    """

    end: IntArray
    area: FloatArray
    pressure: FloatArray
    temperature: FloatArray


class Junctions(NamedTuple):
    """Where ends meet: junction j has the legs `start[j]` to `start[j + 1]` of `end` and `axis`.

    `axis` [legs, 3] points from the junction out along each leg; `momentum` [junctions] is 1 for
    the balance of momentum, 0 for one pressure in all legs.
    """

    start: IntArray
    end: IntArray
    axis: FloatArray
    momentum: IntArray


class Windows(NamedTuple):
    """Openings between two cells side by side.

    Cells `first` and `second`; opening `area` [m^2]; `path` of the gas that swings through [m];
    `loss` of pressure in dynamic heads of the flow through [-].
    """

    first: IntArray
    second: IntArray
    area: FloatArray
    path: FloatArray
    loss: FloatArray


class Cylinders(NamedTuple):
    """Cylinders, each behind one valve at the pipe end `end`; angles are of the crank [rad].

    `swept` and `clearance` volume [m^3]; `rod_ratio` crank radius over rod length [-]; `phase`
    the cylinder's own angle when the cycle starts; the valve `opens` and `closes`, own angle from
    firing top dead centre; `flow_area` [cylinders, n] of the valve at n equal steps of own angle
    from opening to closing [m^2]; `charge` fresh mass per cycle [kg]; `release_temperature` of
    the gas as the valve opens [K].
    """

    end: IntArray
    swept: FloatArray
    clearance: FloatArray
    rod_ratio: FloatArray
    phase: FloatArray
    opens: FloatArray
    closes: FloatArray
    flow_area: FloatArray
    charge: FloatArray
    release_temperature: FloatArray


class Network(NamedTuple):
    """Everything that does not change while the gas moves; `closed` lists ends with a wall."""

    gas: Gas
    mesh: Mesh
    ends: Ends
    closed: IntArray
    reservoirs: Reservoirs
    junctions: Junctions
    windows: Windows
    cylinders: Cylinders


class State(NamedTuple):
    """Everything that changes; the kernels write into it.

    `cells` [3, N]: mass, momentum and energy per volume [kg/m^3, kg/m^2/s, J/m^3]; `end_pressure`
    [ends] the last one found at each end [Pa]; `junction` [junctions, 3]: pressure [Pa], the part
    of a turn that counts [-], solutions that did not settle [-]; `legs` [legs, 5] as
    `junctions.bring` has them; `window_velocity` [windows] [m/s]; `held` [cylinders, 10]: mass
    [kg], internal energy [J], mass flow [kg/s] and energy flow [W] out, residual mass at closing
    [kg], 1 while open [-], work on the piston the last time the valve was open [J] and of that in
    the exhaust stroke [J], and both so far while it is open; `passed` [ends, 2]: mass [kg] and
    energy [J] gone out of each pipe's end; `lost` [1] heat taken by walls [J].
    """

    cells: FloatArray
    end_pressure: FloatArray
    junction: FloatArray
    legs: FloatArray
    window_velocity: FloatArray
    held: FloatArray
    passed: FloatArray
    lost: FloatArray


class Trace(NamedTuple):
    """Samples at even times: of `cell` [probes]; `times` [samples] from the start of the march [s];
    `values` [samples, probes, 3] density, velocity, pressure [kg/m^3, m/s, Pa].
    """

    cell: IntArray
    times: FloatArray
    values: FloatArray


class Run(NamedTuple):
    """How far to march: `duration` [s], `courant` number [-], `speed` of the crank [rad/s]."""

    duration: float
    courant: float
    speed: float
