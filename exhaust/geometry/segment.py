"""A round section with a piece sliced off by a straight chord.

`height` is the signed distance [m] from the centre to the chord; the piece beyond it goes. Below
zero, more than half goes. A chord that misses the circle takes nothing (height >= radius) or
everything (height <= -radius), and the areas say so exactly.
"""

from __future__ import annotations

import math

from exhaust.errors import broken


def _half_angle(radius: float, height: float) -> float:
    """Return the half angle that the piece spans at the centre [rad], 0 to pi."""
    if not radius > 0.0:
        raise broken("must be more than zero", f"{radius * 1e3:.6g} mm").named("radius")
    if math.isnan(height):
        raise broken("must be a number", "nan").named("height")
    if abs(height) >= radius:
        return 0.0 if height > 0.0 else math.pi
    return math.acos(height / radius)


def removed_area(radius: float, height: float) -> float:
    """Return the area of the piece beyond the chord [m^2].

    radius² acos(h/radius) - h sqrt(radius² - h²), for -radius <= h <= radius [segments].

    >>> round(removed_area(1.0, 0.0), 5), round(removed_area(1.0, 0.5), 5)
    (1.5708, 0.61418)
    """
    beta = _half_angle(radius, height)
    return radius * radius * (beta - math.sin(2.0 * beta) / 2.0)


def kept_area(radius: float, height: float) -> float:
    """Return the area left when the piece beyond the chord is gone [m^2].

    >>> round(kept_area(1.0, 0.0), 5), round(kept_area(1.0, 0.5), 5)
    (1.5708, 2.52741)
    """
    beta = math.pi - _half_angle(radius, height)
    return radius * radius * (beta - math.sin(2.0 * beta) / 2.0)


def kept_arc(radius: float, height: float) -> float:
    """Return the length of circle left when the piece beyond the chord is gone [m].

    2 radius (pi - acos(h/radius)), for -radius <= h <= radius [segments].

    >>> round(kept_arc(1.0, 0.0), 5), round(kept_arc(1.0, 0.5), 5)
    (3.14159, 4.18879)
    """
    return 2.0 * radius * (math.pi - _half_angle(radius, height))


def chord(radius: float, height: float) -> float:
    """Return the length of the chord [m], 2 sqrt(radius² - h²) [segments].

    Raises `ExhaustError` when the chord misses the circle.

    >>> round(chord(1.0, 0.5), 5)
    1.73205
    >>> chord(1.0, 1.5)
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: height must be between -1000 and 1000 mm, the radius (got 1500 mm)
    """
    _half_angle(radius, height)  # refuses a radius that is none
    if abs(height) > radius:
        limit = f"{radius * 1e3:.6g}"
        rule = f"must be between -{limit} and {limit} mm, the radius"
        raise broken(rule, f"{height * 1e3:.6g} mm").named("height")
    return 2.0 * math.sqrt((radius - height) * (radius + height))
