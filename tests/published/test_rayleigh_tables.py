"""NACA Report 1135 (1953) and Shapiro (1953): frictionless flow with heat in a straight duct.

Rayleigh's table for gamma 1.4, as printed there and in every gas dynamics text, and two rows of
the same closed form at gamma 1.33, lie in data/published, from each row to Mach 1; here the
march goes from one row to another.
"""

import pytest

from exhaust.published import values
from exhaust.published.ducts import heated

NAMES = ("Mach number in", "temperature", "pressure", "total pressure")
SONIC = (1.0, 1.0, 1.0, 1.0, 1.0)


def table(source):
    """Return rows of T0/T0*, Mach, T/T*, p/p*, p0/p0*."""
    columns = [values(source, f"heating to Mach 1, {name}") for name in NAMES]
    rows = zip(*columns, strict=True)
    return [(row[0].inputs["start_total"], *(one.number for one in row)) for row in rows]


TABLE, TABLE_133 = table("naca1135"), table("shapiro")
PAIRS = [(TABLE[a], TABLE[b], 1.4) for a, b in [(0, 1), (1, 3), (2, 4), (0, 5), (3, 5)]]
PAIRS += [(TABLE_133[0], TABLE_133[1], 1.33)]


@pytest.mark.parametrize(("start", "end", "gamma"), PAIRS)
def test_heating_from_one_row_to_the_next(start, end, gamma):
    flow = heated(gamma, start[0], end[0], end[1])
    # Five to seven printed figures; T0 at Mach 0.1 has five, and pressure hardly depends on it.
    tight = 3e-5
    assert not flow["choked"]
    assert flow["mach"] == pytest.approx(start[1], rel=tight)
    assert flow["mach_out"] == pytest.approx(end[1], rel=tight)
    assert flow["temperature"] == pytest.approx(start[2] / end[2], rel=tight)
    assert flow["pressure"] == pytest.approx(start[3] / end[3], rel=tight)
    assert flow["total pressure"] == pytest.approx(start[4] / end[4], rel=tight)


@pytest.mark.parametrize("start", TABLE)
def test_heating_ends_at_mach_one(start):
    # Rounding decides whether the outlet counts as choked: it is there either way.
    assert heated(1.4, start[0])["mach_out"] == pytest.approx(1.0, rel=3e-5)


@pytest.mark.parametrize("rows", [(0, 1), (1, 3), (2, 4)])
def test_cooling_gives_total_pressure_back(rows):
    """The same rows the other way: a gas that cools slows down and its total pressure rises."""
    cool, hot = TABLE[rows[0]], TABLE[rows[1]]
    flow = heated(1.4, hot[0], cool[0], cool[1])
    assert flow["mach"] == pytest.approx(hot[1], rel=1e-4)
    assert flow["pressure"] == pytest.approx(hot[3] / cool[3], rel=3e-5)
    assert flow["total pressure"] < 1.0
