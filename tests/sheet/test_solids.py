"""Saved solid models against the joints' own formulas, and against themselves read back.

The bodies come from the package; OpenCascade measures them, which the formulas never call. The
formulas stand on solid models of the tests' own too (tests/joints), so neither leans on the other.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from build123d import GeomType, Shape, Vertex, import_step
from measures import area, flat, reach_along, volume

from exhaust import (
    Bend,
    ExhaustError,
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    SplayedX,
    SplitJoint,
    Tube,
    YMerge,
    save_solid,
)
from exhaust.joints import Joint
from exhaust.sheet.solid_bodies import body
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10
WRITTEN = 1e-9  # a STEP file holds fifteen digits
PLACED = 1e-6  # [mm]

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
THIN = Tube(od="50.8 mm", wall="1.2446 mm")
BEND = Bend(TUBE, clr="95.25 mm")
TIGHT = Bend(TUBE, clr="63.5 mm", tangent="30 mm")
UNEQUAL: dict[str, Any] = {
    "included_angle": "45 deg",
    "exit_angle": "70 deg",
    "leg_length": "180 mm",
    "exit_leg_length": "140 mm",
}
LEG: dict[str, Any] = {"cutback": 0.3, "included_angle": "45 deg", "leg_length": "180 mm"}

JOINTS: dict[str, Joint] = {
    "parallel": ParallelX(BEND, cutback=0.3, spacing="230 mm"),
    "parallel, trimmed": ParallelX(BEND, cutback=0.3, spacing="120 mm", return_bend=TIGHT),
    "parallel, runs on": ParallelX(TIGHT, cutback=0.5, spacer="40 mm"),
    "splayed": SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="180 mm"),
    "splayed, bisector": SplayedX(TUBE, cutback=0.3, **UNEQUAL),
    "splayed, plain": SplayedX(TUBE, cutback=1 / 3, unequal="plain", **UNEQUAL),
    "parallel to splayed": ParallelToSplayedX(BEND, parallel_end="exit", **LEG),
    "parallel to splayed, butted": ParallelToSplayedX(BEND, legs="butted", **LEG),
    "merge": YMerge(BEND, spacing="180 mm"),
    "merge, stepped": YMerge(
        BEND, outlet=Tube(od="3 in", wall="1.651 mm"), cutback=0.36, outlet_straight="80 mm"
    ),
    "merge, splayed": YMerge(TIGHT, legs="splayed", spacer="45 mm"),
    "balance tube": HPipe(TUBE, balance_tube=THIN, spacing="230 mm", angle="70 deg", offset="4 mm"),
    "balance tube, equal": HPipe(TUBE, spacing="200 mm"),
    "balance tube, split": HPipe(
        TUBE,
        spacing="220 mm",
        splay="12 deg",
        split=SplitJoint(kind="V-band", length="30 mm", gap="3 mm"),
    ),
}
SAVED = ("parallel", "splayed, plain", "parallel to splayed", "merge, stepped", "balance tube")


@cache
def built(name: str, what: str) -> Shape[Any]:
    return body(JOINTS[name], what)


def metal_volume(joint: Joint) -> float:
    """Return the metal that the joint's own mass stands for [mm^3]; one material all through."""
    return joint.mass / material(joint.tube.material).density * 1e9


@pytest.mark.parametrize("name", JOINTS)
def test_metal_and_gas_are_the_joints(name: str) -> None:
    joint, metal, gas = JOINTS[name], built(name, "metal"), built(name, "gas")
    assert metal.is_valid
    assert gas.is_valid
    assert volume(metal) == pytest.approx(metal_volume(joint), rel=SOLID)
    assert volume(gas) == pytest.approx(joint.inside_volume * 1e9, rel=SOLID)
    assert len(gas.solids()) == 1
    assert len(metal.solids()) == (2 if name.endswith("split") else 1)


@pytest.mark.parametrize("name", JOINTS)
def test_it_takes_the_room_that_the_joint_says(name: str) -> None:
    """Entry at the low end of y, the sides alike; half of the width lies on either side."""
    joint, metal = JOINTS[name], built(name, "metal")
    right, left = (reach_along(metal, (x, 0, 0)) for x in (1, -1))
    length = sum(reach_along(metal, (0, y, 0)) for y in (1, -1))
    assert right == pytest.approx(left, abs=PLACED)
    assert length == pytest.approx(joint.overall_length * 1e3, rel=SOLID)
    high = sum(reach_along(metal, (0, 0, z)) for z in (1, -1))
    assert high == pytest.approx(joint.envelope.height * 1e3, rel=SOLID)
    assert right + left >= joint.envelope.width * 1e3 - PLACED


@pytest.mark.parametrize(
    "name", ["parallel", "parallel, runs on", "splayed", "parallel to splayed, butted"]
)
def test_the_gas_is_narrowest_in_the_middle(name: str) -> None:
    joint, gas = JOINTS[name], built(name, "gas")
    sections = {y: area(list(flat((0, y, 0), (0, 1, 0)).intersect(gas))) for y in (0.0, 12.0)}
    assert sections[0.0] == pytest.approx(joint.narrowest_area * 1e6, rel=SOLID)
    assert sections[0.0] < sections[12.0]


def test_a_merges_gas_leaves_through_its_face_and_an_h_pipes_through_both_primaries() -> None:
    gas = built("merge", "gas")
    face = [
        one for one in gas.faces() if one.geom_type == GeomType.PLANE and abs(one.center().Y) < 1
    ]
    assert area(face) == pytest.approx(JOINTS["merge"].narrowest_area * 1e6, rel=SOLID)
    h, gas = JOINTS["balance tube"], built("balance tube", "gas")
    end = flat((0, h.centreline_length * 490.0, 0), (0, 1, 0)).intersect(gas)
    assert area(list(end)) == pytest.approx(h.narrowest_area * 1e6, rel=SOLID)


def test_entry_and_exit_are_where_the_joint_has_them() -> None:
    """A joint with its parallel tubes at the exit: there the planes are square to y."""
    metal = built("parallel to splayed", "metal")
    square = [
        f for f in metal.faces() if f.geom_type == GeomType.PLANE and abs(f.normal_at().Y) > 0.99
    ]
    ends = [face for face in square if abs(face.center().Y) > 1.0]
    assert [face.center().Y > 0 for face in ends] == [True] * 2
    spacing = max(f.center().X for f in ends) - min(f.center().X for f in ends)
    assert spacing == pytest.approx(JOINTS["parallel to splayed"].spacing * 1e3, rel=SOLID)


@pytest.mark.parametrize("name", SAVED)
@pytest.mark.parametrize("what", ["metal", "gas"])
def test_a_step_file_read_back_is_the_same_solid(name: str, what: str, tmp_path: Path) -> None:
    path = save_solid(JOINTS[name], tmp_path / "joint.step", what)
    back = import_step(path)
    assert back.is_valid
    assert len(back.solids()) == 1
    assert volume(back) == pytest.approx(volume(built(name, what)), rel=WRITTEN)


def triangles(path: Path) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return the corners of a binary STL's triangles [triangle, corner, xyz]."""
    data = path.read_bytes()
    count = int.from_bytes(data[80:84], "little")
    assert len(data) == 84 + 50 * count
    row = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    return np.frombuffer(data[84:], row)["corners"].astype(float)


def loose_edges(corners: np.ndarray[Any, np.dtype[np.float64]]) -> int:
    """Return how many edges have no like the other way round: none in a watertight surface."""
    _, names = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    around = names.reshape(-1, 3)
    there = np.concatenate([around[:, [k, (k + 1) % 3]] for k in range(3)])
    back = there[:, ::-1]
    ways = [np.unique(pairs, axis=0, return_counts=True) for pairs in (there, back)]
    if ways[0][0].shape != ways[1][0].shape:
        return len(there)
    return int(np.sum(np.any(ways[0][0] != ways[1][0], axis=1) | (ways[0][1] != ways[1][1])))


@pytest.mark.parametrize("name", SAVED)
@pytest.mark.parametrize("what", ["metal", "gas"])
def test_an_stl_file_is_watertight_and_within_its_chord(
    name: str, what: str, tmp_path: Path
) -> None:
    """No triangle is further from the solid than the chord, so neither is the volume by more than
    chord times surface; its corners lie on the solid to a float's seven digits."""
    path = save_solid(JOINTS[name], tmp_path / "joint.stl", what, chord="0.5 mm")
    corners, solid = triangles(path), built(name, what)
    assert loose_edges(corners) == 0
    inside = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6
    surface = area(list(solid.faces()))
    assert abs(inside - volume(solid)) < 0.5 * surface
    assert inside == pytest.approx(volume(solid), rel=2e-2)
    picked = np.random.default_rng(7).choice(len(corners), 25, replace=False)
    shell = solid.solid().shells()[0]
    for one in corners[picked]:
        for point, most in ((one.mean(axis=0), 0.5), (one[:2].mean(axis=0), 0.2), (one[0], 1e-4)):
            assert shell.distance_to(Vertex(*point)) <= most


@pytest.mark.parametrize("chord", ["5 mm", "1 mm"])
@pytest.mark.parametrize("name", ["splayed, plain", "parallel to splayed"])
def test_steps_that_run_out_to_nothing_are_closed(
    name: str, chord: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The two edges touch: their chords cross there, and the mesher alone leaves the face open."""
    path = save_solid(JOINTS[name], tmp_path / "joint.stl", chord=chord)
    assert loose_edges(triangles(path)) == 0
    assert capfd.readouterr() == ("", "")


def test_a_finer_chord_comes_closer(tmp_path: Path) -> None:
    """The error of flat triangles goes with the chord: a tenth of it is about a tenth of that."""
    exact, off, count = volume(built("balance tube", "gas")), [], []
    for chord in ("0.5 mm", "0.05 mm"):
        path = save_solid(JOINTS["balance tube"], tmp_path / "h.stl", "gas", chord, overwrite=True)
        corners = triangles(path)
        cross = np.cross(corners[:, 1], corners[:, 2])
        off.append(abs(np.einsum("ij,ij->i", corners[:, 0], cross).sum() / 6 / exact - 1))
        count.append(len(corners))
    assert off[1] < off[0] / 4
    assert count[1] > 2 * count[0]


@pytest.mark.parametrize("suffix", [".step", ".stl"])
def test_the_same_joint_gives_the_same_bytes(suffix: str, tmp_path: Path) -> None:
    one, two = (save_solid(JOINTS["splayed"], tmp_path / f"{n}{suffix}") for n in "ab")
    assert one.read_bytes() == two.read_bytes()


def test_what_is_there_stays_unless_asked(tmp_path: Path) -> None:
    path = tmp_path / "h.stl"
    path.write_bytes(b"somebody else's")
    with pytest.raises(ExhaustError, match="is there already and is not overwritten; choose"):
        save_solid(JOINTS["balance tube"], path)
    assert path.read_bytes() == b"somebody else's"
    save_solid(JOINTS["balance tube"], path, overwrite=True)
    assert path.read_bytes() != b"somebody else's"
    assert [file.name for file in tmp_path.iterdir()] == ["h.stl"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"path": "h.obj"}, r"path must end in \.step or \.stp or \.stl \(got 'h\.obj'\); the end"),
        ({"path": 3}, "path must be text or a Path"),
        ({"joint": TUBE}, "joint must be a joint"),
        ({"what": "water"}, "what must be the metal or the gas"),
        ({"chord": "6 mm"}, r"chord must be between 0\.01 and 5 mm \(got 6 mm\)"),
        ({"chord": 0.1}, r"chord must be a length with a unit \(got 0\.1\)"),
        ({"overwrite": "yes"}, "overwrite must be True or False"),
        ({"path": "no/such/folder/h.stl"}, "cannot be written"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    change: dict[str, Any], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ExhaustError, match=words):
        save_solid(**{"joint": JOINTS["balance tube"], "path": "h.stl"} | change)
    assert list(tmp_path.iterdir()) == []


def test_without_the_kernel_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "build123d", None)
    with pytest.raises(ExhaustError, match=r"needs build123d, .*; pip install exhaust\[solid\]"):
        save_solid(JOINTS["splayed"], tmp_path / "x.step")
    assert list(tmp_path.iterdir()) == []
