"""Tube, bend and saw against handbook numbers and the trade's own rules."""

from __future__ import annotations

import math

import attrs
import pytest

from exhaust import Bend, ExhaustError, Saw, Tube, tables
from exhaust.published import Value, values
from exhaust.stock import material

MM = 1e-3


@pytest.mark.parametrize(
    ("od", "wall", "mass", "bore", "area"),
    [
        ("1.75 in", "0.065 in", 1.7759, 41.148, 1329.8),
        ("2 in", "16 ga", 2.0394, 47.498, 1771.91),
        ("2-1/2 in", "16 ga", 2.5664, 60.198, 2846.13),
        ("3 in", "16 ga", 3.0933, 72.898, 4173.7),
        ("3 in", "18 ga", 2.3446, 73.711, 4267.29),
    ],
)
def test_mass_bore_and_area(od: str, wall: str, mass: float, bore: float, area: float) -> None:
    """Exact: ring and circle at 8000 kg/m3, worked by hand to the digits shown."""
    tube = Tube(od=od, wall=wall)
    assert tube.mass_per_length == pytest.approx(mass, rel=1e-4)
    assert tube.inside_diameter / MM == pytest.approx(bore, abs=1e-3)
    assert tube.flow_area / MM**2 == pytest.approx(area, rel=1e-4)


@pytest.mark.parametrize("wall", values("bwg"), ids=repr)
def test_tube_gauge_is_bwg_and_not_sheet_gauge(wall: Value) -> None:
    """Birmingham wire gauge as three open tables have it; 16 is 0.065 in."""
    made = Tube(od="3 in", wall=str(wall.inputs["gauge"]))
    assert made.wall == pytest.approx(wall.number * 25.4 * MM)


def test_a_heel_thins_a_quarter_at_1_5_d_by_constant_volume() -> None:
    """Derived: wall times R/(R + a); 2/3 at 1.0 D, 3/4 at 1.5 D, 0.8 at 2.0 D."""
    tube = Tube(od="60 mm", wall="2 mm")
    for clr, share in ((60, 2 / 3), (90, 3 / 4), (120, 0.8)):
        assert Bend(tube, clr=f"{clr} mm").heel_wall == pytest.approx(2 * MM * share)


@pytest.mark.parametrize(
    ("grade", "density", "expansion"),
    [("304", 8000, 18.4), ("321", 7920, 18.9), ("409", 7800, 12.4)],
)
def test_materials_are_what_the_data_sheets_say(
    grade: str, density: float, expansion: float
) -> None:
    """Mill and supplier sheets (seen); mean expansion to about 540 or 600 °C."""
    stuff = material(grade)
    assert stuff.density == density
    assert stuff.expansion * 1e6 == pytest.approx(expansion)
    assert 1.0 * stuff.expansion * (538 - 20) / MM == pytest.approx(expansion * 0.518)


def test_every_tube_bend_and_material_in_the_data_can_be_made() -> None:
    for row in tables.read("tube"):
        tube = Tube(od=row["od"], wall=row["wall"])
        for bend in tables.read("bend"):
            clr = float(bend["clr_over_od"]) * tube.od
            assert Bend.from_si(tube=tube, clr=clr, angle=math.pi / 2).clr == pytest.approx(clr)
    for row in tables.read("material"):
        assert 4000 < material(row["grade"]).density < 9000


def test_copying_with_a_change_needs_no_text_twice() -> None:
    tube = Tube(od="3 in", wall="16 ga")
    assert attrs.evolve(tube, wall="18 ga") == Tube(od="3 in", wall="18 ga")
    assert tube.with_(material="321").od == tube.od
    assert Tube.from_si(od=float(tube.od), wall=float(tube.wall)) == tube


def test_a_bend_keeps_its_clr_over_od_in_another_tube() -> None:
    bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in", tangent="1 in")
    smaller = bend.with_tube(Tube(od="2 in", wall="16 ga"))
    assert smaller.clr == pytest.approx(3.0 * 25.4 * MM)
    assert smaller.tangent == bend.tangent


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (
            lambda: Tube(od="63.5 mm", wall="40 mm"),
            "wall must be less than half of od 63.5 mm (got 40 mm); check which number is the wall",
        ),
        (
            lambda: Tube(od="3 in", wall="16 ga", material="340"),
            'no material "340" in data/material.csv; nearest: "304", "304L"',
        ),
        (lambda: Tube(od=3, wall="16 ga"), "od must be a length with a unit (got 3); write it"),
        (lambda: Tube(od="3 in", wall="7 ga"), "wall has a BWG number that is not listed"),
        (
            lambda: Bend(Tube(od="3 in", wall="16 ga"), clr="1.5 in"),
            "clr must be more than half of od 3 in (got 1.5 in)",
        ),
        (lambda: Saw(kerf="0 mm"), "kerf must be between 0.2 mm and 5 mm (got 0 mm)"),
        (lambda: Saw(kerf="1 mm", kind="cold"), "kind is not a known choice (got 'cold')"),
    ],
)
def test_what_cannot_be_stock_is_refused_in_words(make, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ExhaustError) as caught:
        make()
    assert str(caught.value).startswith(words)
