"""What a form asks: every key that the hand-written list of keys has, and no other."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from demo_keys import KEYS, TEXT, edited

from exhaust.job import read_job
from exhaust.job.editing import mistakes_in, with_values
from exhaust.job.entries import ORDER, Entry, sections_of
from exhaust.job.reading import SECTIONS
from exhaust.tables import shipped

DEMOS = sorted((shipped("data") / "jobs").glob("*.toml"))
METRIC = with_values(TEXT, {"units": "metric"})
MORE = {"inlet 1.name": "bank", "cone 1.name": "step", "merge 1.name": "fork"}  # not in the demo


def entries(text: str) -> dict[str, Entry]:
    return {one.place: one for those in sections_of(text).values() for one in those}


def test_every_section_is_asked_for() -> None:
    assert set(ORDER) == set(SECTIONS)


def test_every_key_is_asked_for() -> None:
    found = set(entries(TEXT))
    for place in MORE:
        found |= {
            one for one in entries(edited({place: "x"})) if one.startswith(place.split(".")[0])
        }
    assert {place for place in KEYS if place.count(".") == 1} <= found
    others = ("run 2", "run 3", "measured")
    assert {one for one in found - set(KEYS) if not one.startswith(others)} == {"units"}


def test_each_key_is_of_the_kind_that_the_list_says() -> None:
    asked = entries(TEXT)
    for place, what in KEYS.items():
        if place not in asked or place.partition(".")[0] == "measured":
            continue
        one = asked[place]
        plain = what.kind in {"text", "count", "ratio", "choice", "tube"}
        assert (not one.unit) is plain or what.kind == "list", place
        assert bool(one.key.many) is (what.kind == "list"), place
        assert bool(one.choices) is (what.kind == "choice"), place
        assert one.key.required is what.required or place == "header.primary", place


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_what_is_typed_again_as_shown_is_the_value_of_the_file(demo: Any) -> None:
    text = demo.read_text(encoding="utf-8")
    given = tomllib.loads(text)
    seen = 0
    for place, one in entries(text).items():
        if one.typed and one.in_line:
            section, _, key = place.rpartition(".")
            name, _, number = section.partition(" ")
            table = given[name] if name else given
            value = (table[int(number) - 1] if number else table)[key]
            assert one.value(one.typed) == value, place
            seen += 1
    assert seen > 45


# Hand-written: what a bare number in a shop of inches or of millimetres is taken for.
BARE = {
    "tube.od": ("2-1/2", "2-1/2 in", "2-1/2 mm"),
    "engine.displacement": ("350", "350 in^3", "350 L"),
    "duty.speed": ("6200", "6200 rpm", "6200 rpm"),
    "duty.gas_temperature": ("800", "800 degF", "800 degC"),
    "duty.power": ("400", "400 hp", "400 kW"),
    "ambient.altitude": ("300", "300 ft", "300 m"),
    "limits.largest_back_pressure_gauge": ("4", "4 psi", "4 kPa"),
    "purge.flow": ("30", "30 cfh", "30 L/min"),
    "run 1.bends": ("30, 45", ["30 deg", "45 deg"], ["30 deg", "45 deg"]),
    "run 1.straights": ("20; 1/2", ["20 in", "1/2 in"], ["20 mm", "1/2 mm"]),
    "stock.lengths": ("20, 6 m", ["20 ft", "6 m"], ["20 m", "6 m"]),
    "joint.return_clr": ("4.5", "4.5 in", "4.5 mm"),
    "duty.lambda": ("0.88", 0.88, 0.88),
    "engine.cylinders": ("8", 8, 8),
    "engine.firing_order": ("1-8-4-3-6-5-7-2", [1, 8, 4, 3, 6, 5, 7, 2], [1, 8, 4, 3, 6, 5, 7, 2]),
    "engine.left_bank": ("1 3, 5", [1, 3, 5], [1, 3, 5]),
    "job.name": ("350", "350", "350"),
    "tube.material": ("304", "304", "304"),
    "shelf.tubes": ("3 in x 16 ga, 2 in x 16 ga", ["3 in x 16 ga", "2 in x 16 ga"], None),
}


@pytest.mark.parametrize("place", BARE)
def test_a_bare_number_gets_the_unit_of_its_field(place: str) -> None:
    typed, inch, metric = BARE[place]
    assert entries(TEXT)[place].value(typed) == inch
    assert entries(METRIC)[place].value(typed) == (inch if metric is None else metric)
    assert entries(TEXT)[place].value("  ") is None


def test_what_carries_its_unit_or_cannot_be_read_stays_as_typed() -> None:
    one = entries(TEXT)["tube.od"]
    for typed in ("60 mm", "4 bananas", "3,5", "nan", "1/0 x", "-"):
        assert one.value(typed) == typed
    assert entries(TEXT)["engine.cylinders"].value("eight") == "eight"


USUAL = {"engine", "duty", "ambient", "tube", "saw", "tolerances", "limits", "room"}


def test_the_usual_is_what_holds_when_the_key_is_left_out() -> None:
    """Of what the reader makes of a job without the key; shown to three figures."""
    tried = 0
    for place, one in entries(METRIC).items():
        section = place.partition(".")[0]
        if section not in USUAL or not one.usual or one.key.many:
            continue
        job = read_job(with_values(METRIC, {place: None}) if one.typed else METRIC)
        left = getattr(getattr(job, section), one.key.argument)
        value = one.value(one.usual)
        said = one.key.read(place, value)
        assert said == (left if isinstance(left, str) else pytest.approx(left, rel=5e-3)), place
        tried += 1
    assert tried > 15


def test_unknown_keys_are_shown_so_that_they_can_be_taken_out() -> None:
    text = TEXT.replace('od = "3 in"\n', 'od = "3 in"\noutside = "3 in"\n')
    assert entries(text)["tube.outside"].typed == "3 in"
    assert mistakes_in(with_values(text, {"tube.outside": None})) == ()


def test_the_keys_of_the_joint_are_those_of_its_kind() -> None:
    h = (shipped("data") / "jobs" / "v6-h-pipe.toml").read_text(encoding="utf-8")
    assert "joint.balance_tube" in entries(h)
    assert "joint.cutback" not in entries(h)
    assert not entries(h)["joint.split"].in_line
    assert len(entries(TEXT)["joint.kind"].choices) == 5
