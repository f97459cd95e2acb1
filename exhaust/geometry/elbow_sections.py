"""A sliced elbow section by section along its own centreline: what is left, and the window.

A section stands square to the centreline. On the bend it is the plane through the bend's axis at
the angle psi from the middle; the cut x = plane runs through it at plane/cos(psi) from that axis,
so that a chord at plane/cos(psi) - R is left of the round tube. The chord stands upright, in the
cut as well as in the section: its length is the height of the opening there.
"""

from __future__ import annotations

import math

import numpy as np

from exhaust.geometry import segment
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.quadrature import Array


def chord_offset(elbow: SlicedElbow, position: Array) -> Array:
    """Return the cut's signed distance from the centreline in each section [m], as `position`.

    `position` [m] runs along the centreline from the middle of the bend, either way. On the bend
    plane/cos(psi) - R; on straight ends (plane + u sin theta)/cos theta - R, u past the bend's
    end [spiric]. Infinite where the section misses the cut.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> [round(float(h) * 1e3, 3) for h in chord_offset(elbow, np.array([0.0, 0.03]))]
    [12.7, 18.285]
    """
    theta = elbow.half_angle
    psi = np.minimum(np.abs(position) / elbow.clr, theta)
    past = np.maximum(np.abs(position) - theta * elbow.clr, 0.0)
    cosine = np.cos(psi)
    missed = cosine <= 1e-12  # square to the cut and beyond
    across = elbow.plane + past * math.sin(theta)
    return np.where(missed, np.inf, across / np.where(missed, 1.0, cosine) - elbow.clr)


def along(elbow: SlicedElbow, position: Array) -> tuple[Array, Array]:
    """Return the flow area left [m^2] and the height of the window [m] in each section.

    kept_area and chord of the bore at `chord_offset`; `position` [m] from the middle of the bend
    along its centreline, either way. Arrays as `position`.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> area, height = along(elbow, np.array([0.0, 0.03, 0.06]))
    >>> [round(float(a) * 1e6, 1) for a in area], [round(float(h) * 1e3, 3) for h in height]
    ([2164.2, 2451.7, 2846.1], [54.577, 47.817, 0.0])
    """
    bore = elbow.bore
    offset = np.minimum(chord_offset(elbow, position), bore)
    area = np.array([segment.kept_area(bore, float(h)) for h in offset.flat])
    return area.reshape(offset.shape), 2.0 * np.sqrt((bore - offset) * (bore + offset))
