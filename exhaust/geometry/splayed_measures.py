"""Areas, lengths and volumes of a mitred leg with its heel sliced off, and sections along it."""

from __future__ import annotations

import math

import numpy as np

from exhaust.geometry import segment
from exhaust.geometry.quadrature import Array, integral
from exhaust.geometry.splayed import MitredLeg, check_surface


def opening_area(leg: MitredLeg, rho: float) -> float:
    """Return this leg's part of the opening between the sides [m^2].

    removed_area(rho, offset) / sin(angle) [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(opening_area(leg, leg.bore) * 1e6, 2)
    2088.8
    """
    check_surface(leg, rho)
    return segment.removed_area(rho, leg.offset) / math.sin(leg.angle)


def opening_seam(leg: MitredLeg, rho: float) -> float:
    """Return the length of this leg's part of the opening's outline, round its tip [m].

    (2 rho / sin t)[E(m) - E(pi/2 - b | m)], m = cos² t, cos b = offset/rho: arcs of an ellipse with
    semi-axes rho / sin(angle) and rho [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(opening_seam(leg, leg.radius) * 1e3, 3)
    133.823
    """
    check_surface(leg, rho)
    beta = math.acos(leg.offset / rho)
    return 2.0 * _ellipse_arc(rho / math.sin(leg.angle), rho, beta)


def face_area(leg: MitredLeg, rho: float) -> float:
    """Return the area inside the mitre face that the slice leaves [m^2].

    kept_area(rho, offset) / cos(mitre) [mitred]. Flow comes to it at the angle of the mitre, so
    that square to the flow it is less: `normal_area`.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(2 * face_area(leg, leg.bore) * 1e6, 2)
    4430.83
    """
    return normal_area(leg, rho) / math.cos(leg.mitre)


def normal_area(leg: MitredLeg, rho: float) -> float:
    """Return the area left at the mitre as the flow sees it, square to the leg [m^2].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(2 * normal_area(leg, leg.bore) * 1e6, 2)
    4093.55
    """
    check_surface(leg, rho)
    return segment.kept_area(rho, leg.offset)


def mitre_seam(leg: MitredLeg, rho: float) -> float:
    """Return the length of the mitre's outline that the slice leaves [m]: one weld of a side.

    (2 rho / cos m)[E(pi/2 | k) + E(pi/2 - b | k)], k = sin² m, cos b = offset/rho [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(mitre_seam(leg, leg.radius) * 1e3, 3)
    127.188
    """
    check_surface(leg, rho)
    left = math.acos(-leg.offset / rho)
    return 2.0 * _ellipse_arc(rho / math.cos(leg.mitre), rho, left)


def _ellipse_arc(long: float, short: float, end: float) -> float:
    """Return the arc from a long-axis vertex as far as the parameter `end` [rad]."""

    def speed(psi: Array) -> Array:
        return np.hypot(long * np.sin(psi), short * np.cos(psi))

    middle = min(end, math.pi / 2.0)  # the speed is steepest at the vertices: end pieces there
    return integral(speed, 0.0, middle) + integral(speed, middle, end)


def removed_volume(leg: MitredLeg, rho: float) -> float:
    """Return the volume that the slice takes off the mitred leg inside the surface `rho` [m^3].

    (cot(angle) + tan(mitre)) [2/3 (rho² - h²)^(3/2) - h removed_area(rho, h)], h = offset [mitred].
    The metal of the piece that falls off is that of `radius` less that of `bore`.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round((removed_volume(leg, leg.radius) - removed_volume(leg, leg.bore)) * 1e9, 1)
    4660.6
    """
    check_surface(leg, rho)
    h = leg.offset
    moment = 2.0 / 3.0 * ((rho - h) * (rho + h)) ** 1.5 - h * segment.removed_area(rho, h)
    return float(leg.spread * moment)


def along(leg: MitredLeg, distance: Array) -> tuple[Array, Array]:
    """Return the flow area left [m^2] and the height of the window [m], section by section.

    A section is parallel to the mitre of legs of equal angle; `distance` [m] of it from the corner
    along the joint, towards the leg's end. kept_area and chord of the bore at
    offset + distance sin(angle): the area is that square to the leg [mitred]. Arrays as `distance`.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> area, height = along(leg, np.array([0.0, 0.025, 0.06]))
    >>> [round(float(a) * 1e6, 1) for a in area], [round(float(h) * 1e3, 3) for h in height]
    ([2046.8, 2538.1, 2846.1], [56.354, 44.717, 0.0])
    """
    bore = leg.bore
    chord = np.minimum(leg.offset + distance * math.sin(leg.angle), bore)
    area = np.array([segment.kept_area(bore, float(h)) for h in chord.flat])
    return area.reshape(chord.shape), 2.0 * np.sqrt((bore - chord) * (bore + chord))


def stations(tip: float, end: float, count: int) -> Array:
    """Return `count` + 1 places from 0 to `end` [m] at which a window that ends at `tip` is read.

    Two thirds of the steps are on the window and close up towards its tip, where its height falls
    as a square root.

    >>> [round(float(x), 3) for x in stations(0.05, 0.2, 6)]
    [0.0, 0.019, 0.035, 0.046, 0.05, 0.125, 0.2]
    """
    inside = count if tip >= end else max(1, round(2 * count / 3))
    near = min(tip, end) * np.sin(np.linspace(0.0, math.pi / 2.0, inside + 1))
    if inside == count:
        near[-1] = end
        return np.asarray(near)
    return np.concatenate([near, np.linspace(tip, end, count - inside + 1)[1:]])
