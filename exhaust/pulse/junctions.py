"""Where any number of pipes meet in no volume, at one instant.

Gas comes in from all inlets with one static pressure P. Each outlet takes it up by a balance of
momentum along its own axis over its own area [control-volume], here for a compressible gas:

p + G u = P + G |M| cos(k b), G = rho u, M = sum m_i u_i / sum m_i of the inlets, b from M to the
outlet; k is 3/4 where a stream divides or turns [unified0d], 1 where several join into one, eased
between, as in `exhaust.flow.junction.leg_pressures`. Total enthalpy is mixed. Neither total
pressure, weighted by flow, nor less entropy than came in can leave while the outlets are subsonic:
at one static pressure both are convex in speed and total temperature, so the mean gas at P with
the mean speed has lost some, and the balance of momentum loses more whichever way the speed goes.

With one pressure in all legs instead (the constant-pressure model) total pressure can rise.
"""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import FloatArray
from exhaust.pulse.compiled import kernel
from exhaust.pulse.waves import Half, behind, leaving

TURNED = 0.75  # a stream that turns loses as if by this much of its angle
MIXED = 0.1  # share of the flow from elsewhere that makes a turned stream a joined one
MOST_TRIES, INNER_TRIES, SECANTS = 90, 30, 12
ROUNDING = 1e-15  # of the pressure
HUGE = 1e200  # no pressure is over it; infinity would not survive the reordering of sums
SETTLED = 1e-12  # of the pressure, and of the flow that the pressure could drive
LEAST_SLOPE = 0.3  # of an outlet's balance with its pressure; it is 1 at rest

Gas = tuple[float, float]  # gamma [-] and gas constant [J/kg/K]
Place = tuple[FloatArray, FloatArray]  # area [legs] [m^2] and axis [legs, 3] of a junction's legs


@kernel
def eased(x: float) -> float:
    """Return a smooth step: 0 up to x = 0, 1 from x = 1.

    >>> float(eased(0.5))
    0.5
    """
    t = min(max(x, 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


@kernel
def bring(P: float, halves: FloatArray, area: FloatArray, legs: FloatArray, g: float) -> float:
    """Write what comes in at pressure P [Pa] into `legs`; return its total enthalpy [J/kg].

    `halves` [legs, 4] half states outward; `legs` [legs, 5]: pressure [Pa], velocity into the
    junction [m/s], mass flow [kg/s] and energy flow [W] into it, offset of the pressure from P.
    An outlet's mass flow is left as it was, or nought. If nothing comes in, the enthalpy is that
    of the gas that lies at the junction.
    """
    mass = energy = still = 0.0
    for j in range(area.size):
        half = (halves[j, 0], halves[j, 1], halves[j, 2], halves[j, 3])
        p, v, rho = leaving(P, half, g)
        if v > 0.0:
            m = rho * v * area[j]
            power = m * (g / (g - 1.0) * p / rho + 0.5 * v * v)
            legs[j, 0], legs[j, 1], legs[j, 2], legs[j, 3], legs[j, 4] = p, v, m, power, 0.0
            mass += m
            energy += power
        else:
            legs[j, 2] = min(legs[j, 2], 0.0)
            legs[j, 3] = 0.0
        still += area[j] * half[3] ** 2 / (g - 1.0)
    return energy / mass if mass > 0.0 else still / np.sum(area)


@kernel
def taken(
    P: float, M: float, half: Half, start: float, total: float, gas: Gas
) -> tuple[float, float, float]:
    """Return pressure [Pa], velocity [m/s] and mass flow per area [kg/m^2/s] of an outlet.

    p + G (u - M) = P, from a first guess `start` of p, for gas of `total` enthalpy [J/kg].

    >>> leg, gas = (1.2, -20.0, 101325.0, 343.8), (1.4, 287.0)
    >>> [round(float(x), 2) for x in taken(101325.0, 20.0, leg, 1e5, 2.957e5, gas)]
    [101325.0, 20.0, 24.0]
    """
    g, R = gas
    cp = g * R / (g - 1.0)
    fastest = np.sqrt(2.0 * total * (g - 1.0) / (g + 1.0))
    ease = 1.0 / (half[0] * half[3])
    p = start
    before = f_before = u = G = 0.0
    for k in range(INNER_TRIES):
        u = min(max(-behind(p, half, g)[0], 0.0), fastest)
        rho = p * cp / (R * (total - 0.5 * u * u))
        G = rho * u
        f = p + G * (u - M) - P
        if abs(f) <= SETTLED * P:
            return p, u, G
        slope = 1.0 + rho * (ease * (2.0 * u - M) + u / p * (u - M))
        if k > 0:
            slope = (f - f_before) / (p - before)
        before, f_before = p, f
        p -= f / max(slope, LEAST_SLOPE)
    return p, u, G


@kernel
def evenly_taken(P: float, half: Half, total: float, gas: Gas) -> tuple[float, float, float]:
    """Return what `taken` does for an outlet whose pressure is the junction's own.

    >>> still = (1.2, 0.0, 101325.0, 343.8)
    >>> [round(float(x), 2) for x in evenly_taken(101325.0, still, 3e5, (1.4, 287.0))]
    [101325.0, 0.0, 0.0]
    """
    g = gas[0]
    fastest = np.sqrt(2.0 * total * (g - 1.0) / (g + 1.0))
    u = min(max(-behind(P, half, g)[0], 0.0), fastest)
    return P, u, P * u * g / ((g - 1.0) * (total - 0.5 * u * u))


@kernel
def push_on(axis: FloatArray, legs: FloatArray) -> tuple[float, float, float]:
    """Return the inlets' momentum per mass (x, y, z) [m/s].

    >>> legs = np.zeros((2, 5))
    >>> legs[0, 1:3], axis = (50.0, 0.1), np.array([[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]])
    >>> [float(x) for x in push_on(axis, legs)]
    [50.0, 0.0, 0.0]
    """
    x = y = z = coming = 0.0
    for j in range(legs.shape[0]):
        m = max(legs[j, 2], 0.0)
        x -= m * legs[j, 1] * axis[j, 0]
        y -= m * legs[j, 1] * axis[j, 1]
        z -= m * legs[j, 1] * axis[j, 2]
        coming += m
    per = 1.0 / coming if coming > 0.0 else 0.0
    return x * per, y * per, z * per


@kernel
def kept_turn(legs: FloatArray) -> float:
    """Return the part k of an outlet's turn that counts, from the flows in `legs` [-].

    >>> legs = np.zeros((3, 5))
    >>> legs[:, 2] = 0.1, 0.1, -0.2
    >>> float(kept_turn(legs)), float(kept_turn(-legs))
    (1.0, 0.75)
    """
    coming = most_in = most_out = 0.0
    for j in range(legs.shape[0]):
        coming += max(legs[j, 2], 0.0)
        most_in = max(most_in, legs[j, 2])
        most_out = max(most_out, -legs[j, 2])
    if coming <= 0.0:
        return TURNED
    several_in = eased((1.0 - most_in / coming) / MIXED)
    one_out = 1.0 - eased((1.0 - most_out / coming) / MIXED)
    return TURNED + (1.0 - TURNED) * several_in * one_out


@kernel
def flow_over(
    P: float, k: float, place: Place, halves: FloatArray, legs: FloatArray, gas: Gas
) -> float:
    """Return how much more comes in than goes out at junction pressure P [kg/s]; fill `legs`.

    `place`: areas of the legs [m^2] and their axes; without axes all legs have one pressure.
    """
    area, axis = place
    total = bring(P, halves, area, legs, gas[0])
    x, y, z = push_on(axis, legs) if axis.size > 0 else (0.0, 0.0, 0.0)
    pace = np.sqrt(x * x + y * y + z * z)
    over = 0.0
    for j in range(area.size):
        if legs[j, 2] <= 0.0:
            half = (halves[j, 0], halves[j, 1], halves[j, 2], halves[j, 3])
            M = 0.0
            if pace > 0.0:
                along = (x * axis[j, 0] + y * axis[j, 1] + z * axis[j, 2]) / pace
                M = pace * np.cos(k * np.arccos(min(max(along, -1.0), 1.0)))
            if axis.size > 0:
                p, u, G = taken(P, M, half, P + legs[j, 4], total, gas)
            else:
                p, u, G = evenly_taken(P, half, total, gas)
            legs[j, 0], legs[j, 1], legs[j, 4] = p, -u, p - P
            legs[j, 2] = -G * area[j]
            legs[j, 3] = legs[j, 2] * total
        over += legs[j, 2]
    return over


@kernel
def balance(legs: FloatArray) -> None:
    """Scale the outlets so that mass and energy add up to nought, whatever was left over.

    >>> legs = np.zeros((2, 5))
    >>> legs[:, 2] = 0.2, -0.1999
    >>> balance(legs)
    >>> legs[:, 2].tolist()
    [0.2, -0.2]
    """
    coming = going = 0.0
    for j in range(legs.shape[0]):
        coming += max(legs[j, 2], 0.0)
        going -= min(legs[j, 2], 0.0)
    scale = coming / going if going > 0.0 else 0.0
    for j in range(legs.shape[0]):
        if legs[j, 2] <= 0.0 or scale == 0.0:
            legs[j, 2] *= scale
            legs[j, 3] *= scale


@kernel
def meet(
    guess: float, k: float, place: Place, halves: FloatArray, legs: FloatArray, gas: Gas
) -> tuple[float, int]:
    """Solve a junction from a first guess of its pressure [Pa]; return that and the tries taken.

    `k` is the part of an outlet's turn that counts; the caller lets it follow `kept_turn`.

    Secants, held near the slope of sound waves, then halves of the bracket: what goes out can jump
    as the only leg that brings gas changes; `legs` holds the flows, and where to start from.
    Tries that reach MOST_TRIES say that it did not settle; mass and energy add up all the same.

    Gas that comes at 20 m/s through a straight join goes on as if nothing were there:

    >>> halves = np.array([[1.2, 20.0, 101325.0, 343.82], [1.2, -20.0, 101325.0, 343.82]])
    >>> axis, legs = np.array([[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]]), np.zeros((2, 5))
    >>> P, _ = meet(1e5, 0.75, (np.full(2, 1e-3), axis), halves, legs, (1.4, 287.0))
    >>> round(float(P)), legs[:, 2].round(6).tolist()
    (101325, [0.024, -0.024])
    """
    slope = float(np.sum(place[0] / halves[:, 3]))
    low, high = 0.0, HUGE
    P, was, over = guess, guess, 0.0
    steep = slope
    for tries in range(1, MOST_TRIES + 1):
        before = over
        over = flow_over(P, k, place, halves, legs, gas)
        if abs(over) <= SETTLED * P * slope or high - low <= ROUNDING * P:
            break
        if over > 0.0:
            low = P
        else:
            high = P
        if tries > 1:
            steep = min(max((before - over) / (P - was), 0.3 * slope), 4.0 * slope)
        was = P
        P += min(max(over / steep, -0.3 * P), 0.3 * P)
        if not low < P < high or (tries > SECANTS and high < HUGE):
            P = 0.5 * (low + high) if high < HUGE else P
    balance(legs)
    return P, tries
