"""Two solid models with sawn faces that are off, measured by OpenCascade; mm in the models."""

from __future__ import annotations

import math

import numpy as np
import pytest
from build123d import (
    Axis,
    Box,
    Circle,
    Cylinder,
    Edge,
    GeomType,
    Plane,
    Pos,
    Rot,
    Vector,
    revolve,
)
from fit_models import A, R

from exhaust.geometry import fit
from exhaust.geometry.fit import BentWall, Seating

MM, FAR = 1e3, 400.0


def test_the_edge_of_a_slanting_and_leaning_slice_lies_on_the_solids_edge() -> None:
    """A torus sliced by a half space, half a degree askew both ways and 0.4 mm deep.

    The stations that the code finds, put into space, are on the solid's edge to 10 nm.
    """
    slant, lean, middle = math.radians(0.5), math.radians(-0.4), 107.95 - 0.4
    ring = Plane(origin=(R * MM, 0, 0), z_dir=(0, 1, 0)) * Circle(A * MM)
    torus = revolve(ring, Axis.Z, 360)
    drawn = BentWall(A, R, 0.10795)
    turn = np.linspace(-1.1, 1.1, 11)
    r = R + A * np.cos(turn)
    edge = fit.outline(drawn, np.sqrt(r**2 - 0.10795**2), A * np.sin(turn))
    # the plane x = X + t sin(slant) + z sin(lean), y = t cos(slant), height z cos(lean)
    wall = drawn._replace(plane=middle / MM, slant=slant, lean=lean)
    out = fit.reach(wall, edge)
    t, z = edge.t + out * edge.normal_t, edge.z + out * edge.normal_z
    x = middle / MM + t * math.sin(slant) + z * math.sin(lean)
    points = np.stack([x, t * math.cos(slant), z * math.cos(lean)], axis=-1) * MM
    along, up = (
        Vector(math.sin(slant), math.cos(slant), 0),
        Vector(math.sin(lean), 0, math.cos(lean)),
    )
    cut = Plane(origin=(middle, 0, 0), x_dir=along, z_dir=along.cross(up))
    kept = torus & (cut * Pos(0, 0, -FAR / 2) * Box(FAR, FAR, FAR))
    removed = torus & (cut * Pos(0, 0, FAR / 2) * Box(FAR, FAR, FAR))
    assert kept.volume > removed.volume
    (face,) = (f for f in kept.faces() if f.geom_type == GeomType.PLANE)
    edges: list[Edge] = face.edges()
    for point in points:
        assert min(e.distance_to(Vector(*point)) for e in edges) < 1e-5


def test_a_twisted_and_lifted_tube_is_seated_where_the_solids_just_touch() -> None:
    """A notched tube turned 1.5 degrees and lifted 0.4 mm: pushed out as far as the code says it
    shares nothing with the primary, and a hundredth of a millimetre further in it does.
    """
    twist, lift, rho = math.radians(1.5), 0.4e-3, 0.0254
    clock = np.linspace(-math.pi, math.pi, 2001)
    drawn = Seating(A, rho, math.pi / 2)
    at = drawn._replace(offset=lift, twist=twist)
    seat = fit.seated(drawn.meets_at(clock), clock, at)
    primary = Rot(90, 0, 0) * Cylinder(A * MM, FAR)
    tube = Pos(100, 0, 0) * Rot(0, 90, 0) * Cylinder(rho * MM, 200)
    notched = tube - primary
    turned = Pos(0, 0, lift * MM) * Rot(math.degrees(twist), 0, 0) * notched

    def shared(out: float) -> float:
        common = (Pos(out, 0, 0) * turned) & primary
        return 0.0 if common is None else sum(solid.volume for solid in common.solids())

    out = float(seat.out) * MM
    assert out > 0.3
    assert shared(out + 2e-3) < 1e-6
    assert shared(out - 1e-2) > 1e-5
    point = int(np.argmax(seat.normal))
    edge = drawn.meets_at(clock)[point] * MM + out
    where = Vector(
        edge,
        rho * MM * math.cos(clock[point] + twist),
        rho * MM * math.sin(clock[point] + twist) + lift * MM,
    )
    assert (Pos(out, 0, 0) * turned).distance_to(where) < 1e-3  # it is a point of the notch
    assert primary.distance_to(where) == pytest.approx(float(seat.normal.max()) * MM, abs=1e-6)
