"""Measures of solid models, each asked for with its tolerance: the defaults are good to 2e-6 only.

What is asked of OpenCascade: lengths in mm, as the models are.
"""

from __future__ import annotations

from build123d import Edge, Face, Part, Plane, Rectangle, Vector
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepGProp import BRepGProp
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.GProp import GProp_GProps

MM = 1e-3
FAR = 4000.0
ASKED = 1e-10  # relative tolerance asked of every integral


def area(faces: list[Face]) -> float:
    total = 0.0
    for face in faces:
        found = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face.wrapped, found, ASKED, True)
        total += found.Mass()
    return total


def volume(part: Part) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(part.wrapped, found, ASKED, True, True)
    return found.Mass()


def length(edges: list[Edge]) -> float:
    return sum(GCPnts_AbscissaPoint.Length_s(BRepAdaptor_Curve(e.wrapped), ASKED) for e in edges)


def flat(origin: tuple[float, float, float], normal: tuple[float, float, float]) -> Face:
    return (Plane(origin=origin, z_dir=normal) * Rectangle(FAR, FAR)).face()


def reach_along(part: Part | Face, direction: tuple[float, float, float]) -> float:
    """Return how far the shape goes in a direction, by its distance from a far plane."""
    far = Vector(*direction) * (FAR / 4)
    return FAR / 4 - part.distance_to(flat(tuple(far), direction))
