"""SI to shop units: rounding for use, never a bare SI float."""

from __future__ import annotations

from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import show
from exhaust.show import Column, Fact, Result, Table

INCH = 0.0254


@given(st.integers(0, 64 * 40))
def test_the_nearest_64th_stands_beside_the_decimal(parts: int) -> None:
    text = show.cut_length(parts / 64 * INCH, "inch")
    decimal, fraction = text.rstrip(")").split(" in (")
    whole, _, rest = fraction.partition("-")
    read = Fraction(whole) + (Fraction(rest) if rest else 0)
    assert read == Fraction(parts, 64)
    assert float(decimal) == pytest.approx(parts / 64, abs=0.000501)


@pytest.mark.parametrize(
    ("value", "kind", "inch", "metric"),
    [
        (0.0762, "cut", "3.000 in", "76.2 mm"),
        (6894.757, "pressure", "1.00 psi", "6.9 kPa"),
        (1093.15, "temperature", "1508 °F", "820 °C"),
        (60.0, "temperature_step", "108 °F", "60 K"),
        (0.3, "mass_flow", "39.7 lb/min", "300.0 g/s"),
        (100.0, "velocity", "328 ft/s", "100 m/s"),
        (3.0933, "mass_per_length", "2.08 lb/ft", "3.09 kg/m"),
        (0.785398, "angle", "45.0°", "45.0°"),
        (-1e-9, "percent", "0.0 %", "0.0 %"),
        (float("nan"), "ratio", "–", "–"),
    ],
)
def test_one_number_in_two_systems(value: float, kind: str, inch: str, metric: str) -> None:
    assert show.quantity(value, kind, "inch") == inch
    assert show.quantity(value, kind, "metric") == metric


def test_shown_in_is_undone_at_the_end() -> None:
    before = show.unit_system()
    with show.shown_in("metric"):
        assert show.unit_system() == "metric"
    assert show.unit_system() == before


class Answer(Result):
    title = "A <b>bold</b> name"
    assumptions = ("Gas at 820 °C",)

    def facts(self) -> list[Fact]:
        return [Fact("stop", 0.0762, "cut", "to the <far> face"), Fact("filler", "ER308L")]


def test_a_result_shows_itself_and_escapes_text() -> None:
    answer = Answer()
    html = answer._repr_html_()
    assert "&lt;b&gt;bold" in html
    assert "<b>" not in html
    assert "to the &lt;far&gt; face" in html
    assert "Gas at 820 °C" in html
    assert repr(answer) == "<Answer: stop 3.000 in (3), filler ER308L>"


def test_a_table_is_si_for_pandas_and_shop_units_for_people() -> None:
    columns = (Column("tube", "Tube"), Column("pressure", "Back pressure", "pressure"))
    table = Table(columns, (("3 in", 6894.757),), marked=0)
    frame = table.frame()
    assert isinstance(frame, pd.DataFrame)
    assert list(frame.columns) == ["tube", "pressure [Pa]"]
    assert frame["pressure [Pa]"][0] == 6894.757
    assert "Back pressure [psi]" in table.html("inch")
    assert '<tr class="chosen">' in table.html("inch")
    assert table.texts("metric") == [["3 in", "6.9"]]
