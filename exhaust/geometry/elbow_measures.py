"""Areas, lengths and volumes of a sliced elbow that need an integral.

The outline is a spiric section, (r - R)² + z² = rho² with r² = plane² + y². On straight ends it
goes on as an ellipse. Plain quadrature in y stalls at the tips, where z falls as a square root;
with y = tip sin u every integrand here is smooth from end to end.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from exhaust.errors import broken
from exhaust.geometry import segment
from exhaust.geometry.elbow import (
    SLACK,
    SlicedElbow,
    check_surface,
    onto_straight,
    opening_length,
    straight_offset,
)
from exhaust.geometry.quadrature import Array, integral


def _spiric_tip(elbow: SlicedElbow, rho: float) -> float:
    """Return y of the tip if the bend went on for ever [m]."""
    outer = elbow.clr + rho
    return math.sqrt((outer - elbow.plane) * (outer + elbow.plane))


def _spiric_end(elbow: SlicedElbow, rho: float) -> float:
    """Return u where the spiric part ends [rad]: y = tip sin u; pi/2 inside the bend."""
    if not onto_straight(elbow, rho):
        return math.pi / 2.0
    return math.asin(elbow.plane * math.tan(elbow.half_angle) / _spiric_tip(elbow, rho))


def _ellipse_end(elbow: SlicedElbow, rho: float) -> float:
    """Return the ellipse's parameter from its tip to the end of the bend [rad]."""
    return math.acos(straight_offset(elbow) / rho)


def opening_area(elbow: SlicedElbow, rho: float) -> float:
    """Return the area inside the outline that the cut leaves on the surface `rho` [m^2].

    4 integral tip² cos² u sqrt((rho - R + r)/(rho + R + r)) du, and on straight ends
    2 removed_area(rho, w)/sin theta [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(opening_area(elbow, elbow.radius) * 1e6, 2)
    6371.68
    """
    check_surface(elbow, rho)
    tip = _spiric_tip(elbow, rho)

    def strip(u: Array) -> Array:
        r = np.hypot(elbow.plane, tip * np.sin(u))
        root = np.sqrt((rho - elbow.clr + r) / (rho + elbow.clr + r))
        return (tip * np.cos(u)) ** 2 * root

    area = 4.0 * integral(strip, 0.0, _spiric_end(elbow, rho))
    if onto_straight(elbow, rho):
        piece = segment.removed_area(rho, straight_offset(elbow))
        area += 2.0 * piece / math.sin(elbow.half_angle)
    return area


def curve_length(elbow: SlicedElbow, rho: float) -> float:
    """Return the length of the outline that the cut leaves on the surface `rho`, once round [m].

    4 integral hypot(tip cos u, (r - R)(y/r) sqrt((rho + R + r)/(rho - R + r))) du, and on
    straight ends the arcs of an ellipse with semi-axes rho/sin theta and rho [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(curve_length(elbow, elbow.radius) * 1e3, 3)
    318.234
    """
    check_surface(elbow, rho)
    tip = _spiric_tip(elbow, rho)
    long = rho / math.sin(elbow.half_angle)

    def spiric(u: Array) -> Array:
        y = tip * np.sin(u)
        r = np.hypot(elbow.plane, y)
        root = np.sqrt((rho + elbow.clr + r) / (rho - elbow.clr + r))
        return np.hypot(tip * np.cos(u), (r - elbow.clr) * (y / r) * root)

    def ellipse(psi: Array) -> Array:
        return np.hypot(long * np.sin(psi), rho * np.cos(psi))

    length = 4.0 * integral(spiric, 0.0, _spiric_end(elbow, rho))
    if onto_straight(elbow, rho):
        length += 4.0 * integral(ellipse, 0.0, _ellipse_end(elbow, rho))
    return length


def outline(elbow: SlicedElbow, rho: float, count: int = 120) -> tuple[Array, Array]:
    """Return the outline in the plane of the cut for drawing: y [4 count + 1] and z [m], closed.

    It starts at the far tip (y > 0) and goes round by the upper side (z > 0).

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> y, z = outline(elbow, elbow.radius, count=30)
    >>> y.shape, round(float(y.max() - y.min()) * 1e3, 3), round(float(z.max()) * 2e3, 3)
    ((121,), 133.803, 58.199)
    """
    if count < 2:
        raise broken("must be 2 or more", count).named("count")
    end = opening_length(elbow, rho) / 2.0
    y = end * np.sin(np.linspace(math.pi / 2.0, 0.0, count + 1))
    r = np.hypot(elbow.plane, y)
    depth = r - elbow.clr  # from the centreline to the cut, square to it
    if onto_straight(elbow, rho):
        theta = elbow.half_angle
        along = elbow.plane * math.cos(theta) + y * math.sin(theta) - elbow.clr
        depth = np.where(y > elbow.plane * math.tan(theta), along, depth)
    z = np.sqrt(np.maximum((rho - depth) * (rho + depth), 0.0))
    z[0] = 0.0  # the tip itself
    y, z = np.concatenate([y, -y[-2::-1]]), np.concatenate([z, z[-2::-1]])
    return np.concatenate([y, y[-2::-1]]), np.concatenate([z, -z[-2::-1]])


def removed_volume(elbow: SlicedElbow, rho: float) -> float:
    """Return the volume beyond the cut inside the surface `rho` [m^3].

    4 integral r acos(plane/r) sqrt(rho² - (r - R)²) dr from plane to R + rho, the angle not past
    theta; on both straight ends the wedges 2 rho³ (sin b - b cos b - sin³ b/3)/tan theta [spiric].
    The metal of the slug is removed_volume(radius) - removed_volume(bore).

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> metal = removed_volume(elbow, elbow.radius) - removed_volume(elbow, elbow.bore)
    >>> round(metal * 1e9, 2)
    12182.15
    """
    check_surface(elbow, rho)
    low, high = elbow.plane, elbow.clr + rho
    if not onto_straight(elbow, rho):
        return _torus_part(elbow, rho, (low, high))
    theta = elbow.half_angle
    turn = low / math.cos(theta)  # from here out the whole angle is beyond the cut
    b = _ellipse_end(elbow, rho)
    wedge = rho**3 * (math.sin(b) - b * math.cos(b) - math.sin(b) ** 3 / 3.0) / math.tan(theta)
    return (
        _torus_part(elbow, rho, (low, turn)) + _torus_part(elbow, rho, (turn, high)) + 2.0 * wedge
    )


def _torus_part(elbow: SlicedElbow, rho: float, span: tuple[float, float]) -> float:
    """Return the volume beyond the cut between two distances from the bend's axis [m^3]."""
    middle, half = (span[0] + span[1]) / 2.0, (span[1] - span[0]) / 2.0

    def shell(v: Array) -> Array:
        r = middle - half * np.cos(v)
        angle = np.arccos(np.minimum(elbow.plane / r, 1.0))
        angle = np.minimum(angle, elbow.half_angle)
        height = np.sqrt(np.maximum(rho**2 - (r - elbow.clr) ** 2, 0.0))
        return r * angle * height * half * np.sin(v)

    return 4.0 * integral(shell, 0.0, math.pi)


def section_area(elbow: SlicedElbow, y: float, rho: float) -> float:
    """Return the area of one tube in the plane square to the joint at `y` from its middle [m^2].

    The integral over z of the width between the two sides of the tube, as far as the cut.
    Raises `ExhaustError` for a plane that leaves through the end of the tube.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(2 * section_area(elbow, 0.0635 / 4, elbow.bore) * 1e6, 2)
    4529.79
    """
    _check_plane(elbow, y, rho)
    across = abs(y)
    edges = sorted({0.0, math.pi / 2.0, *_kinks(elbow, across, rho)})

    def width(t: Array) -> Array:
        half = rho * np.cos(t)
        outer = np.minimum(_side(elbow, across, half), elbow.plane)
        return np.maximum(outer - _side(elbow, across, -half), 0.0) * half

    return 2.0 * sum(integral(width, low, high) for low, high in pairwise(edges))


def _check_plane(elbow: SlicedElbow, y: float, rho: float) -> None:
    if not 0.0 < rho <= elbow.radius + SLACK:
        rule = f"must be between zero and {elbow.radius * 1e3:.6g} mm"
        raise broken(rule, f"{rho * 1e3:.6g} mm").named("rho")
    theta = min(elbow.half_angle, math.pi / 2.0)
    most = (elbow.clr - rho) * math.sin(theta) + elbow.straight * math.cos(theta)
    if not abs(y) <= most:
        rule = f"must be within {most * 1e3:.6g} mm of the middle, where the tube ends"
        raise broken(rule, f"{y * 1e3:.6g} mm").named("y")


def _side(elbow: SlicedElbow, y: float, offset: Array) -> Array:
    """Return x of the line `offset` from the centreline, in the bend or on its straight end."""
    r = elbow.clr + offset
    bent = np.sqrt(np.maximum(r * r - y * y, 0.0))
    if elbow.half_angle >= math.pi / 2.0:
        return bent
    along = r / math.cos(elbow.half_angle) - y * math.tan(elbow.half_angle)
    return np.where(y <= r * math.sin(elbow.half_angle), bent, along)


def _kinks(elbow: SlicedElbow, y: float, rho: float) -> list[float]:
    """Return the angles t (half width = rho cos t) where the width changes its law [rad]."""
    theta = elbow.half_angle
    widths = [abs(math.hypot(elbow.plane, y) - elbow.clr)]
    if theta < math.pi / 2.0:
        widths.append(abs(elbow.plane * math.cos(theta) + y * math.sin(theta) - elbow.clr))
        widths.append(abs(y / math.sin(theta) - elbow.clr))
    return [math.acos(width / rho) for width in widths if width < rho]
