"""Every key of the job file, given every kind of wrong value, is refused in one sentence.

What is expected of each key stands in `demo_keys.KEYS`; a key that the reader takes and that table
does not know fails `test_every_key_of_the_file_is_known_here`.
"""

from __future__ import annotations

import pytest
from demo_keys import INFINITE, KEYS, NAN, UNITS, keys, mistakes, only_mistake

from exhaust import Cam, Limits, PurgeGas, Room, Tolerances
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.job import About
from exhaust.job.keys import keys_of
from exhaust.job.sections import (
    BEND_KEYS,
    JOINT_KEYS,
    SYSTEM_KEYS,
    RunBend,
    after_build_keys,
    header_keys,
    run_keys,
    stock_keys,
)
from exhaust.stock import Saw, Tube
from exhaust.system import Cone, Inlet, Merge, Part, Sensor


def test_every_key_of_the_file_is_known_here() -> None:
    sections = {
        "job": keys_of(About), "engine": keys_of(Engine), "duty": keys_of(OperatingPoint),
        "ambient": keys_of(Ambient), "tube": keys_of(Tube), "bend": BEND_KEYS,
        "system": SYSTEM_KEYS, "run 1": run_keys(), "run 3.bends 1": keys_of(RunBend),
        "joint": JOINT_KEYS, "saw": keys_of(Saw), "limits": keys_of(Limits),
        "inlet 1": keys_of(Inlet), "cone 1": keys_of(Cone), "merge 1": keys_of(Merge),
        "part 1": keys_of(Part), "sensor 1": keys_of(Sensor), "room": keys_of(Room),
        "stock": stock_keys(), "purge": keys_of(PurgeGas),
        "tolerances": keys_of(Tolerances), "cam": keys_of(Cam), "header": header_keys(),
        "after_build": after_build_keys("inch"),
    }  # fmt: skip
    taken = {f"{place}.{key.name}" for place, known in sections.items() for key in known}
    assert taken | {"shelf.tubes", "shelf.outlets"} == set(KEYS)


@pytest.mark.parametrize("key", [key for key, what in KEYS.items() if what.required])
def test_a_missing_key_is_named(key: str) -> None:
    assert only_mistake({key: None}).startswith(f"{key} is missing; ")


MAY_BE_LEFT_OUT = [
    *("job.customer", "job.note", "engine.firing_order", "engine.left_bank", "engine.fuel"),
    *("engine.compression_ratio", "duty.lambda", "ambient.altitude", "ambient.temperature"),
    *("ambient.humidity", "tube.material", "bend.angle", "run 1.bends", "run 3.loss"),
    *("run 3.bends 1.clr", "run 3.bends 1.count", "joint.spacing", "saw.kind"),
    *("saw.height_capacity", "saw.width_capacity", "saw.largest_angle", "saw.angle_step"),
    *("inlet 1.cylinders", "inlet 1.distance", "merge 1.angle"),
    *("sensor 1", "part 1.kind", "room", "room.clearance"),
    *("saw.clamp_length", "shelf.outlets", "limits.worth_having", "limits.largest_od"),
    *("limits.largest_back_pressure_gauge", "stock", "stock.lengths", "purge", "purge.oxygen"),
    *("limits.largest_back_pressure_gauge", "tolerances", "tolerances.depth", "tolerances.gap"),
]


@pytest.mark.parametrize("key", MAY_BE_LEFT_OUT)
def test_other_keys_may_be_left_out(key: str) -> None:
    assert mistakes({key: None}) == ()


@pytest.mark.parametrize(
    ("key", "value"), [(key, value) for key, what in KEYS.items() for value in what.out]
)
def test_a_value_out_of_range_is_refused_with_its_key(key: str, value: object) -> None:
    assert only_mistake({key: value}).startswith(key)


@pytest.mark.parametrize("key", keys(*UNITS))
def test_a_bare_number_is_shown_how_to_carry_its_unit(key: str) -> None:
    for number in (3, 3.5, 0, NAN, INFINITE, "3"):
        said = only_mistake({key: number})
        assert said.startswith(f"{key} must be a")
        assert "with a unit" in said
        assert 'write it like "' in said


@pytest.mark.parametrize("key", keys(*UNITS))
def test_another_dimension_is_refused_with_the_units_that_would_do(key: str) -> None:
    unit = "deg" if KEYS[key].kind != "angle" else "in"
    said = only_mistake({key: f"3 {unit}"})
    assert said.startswith(key)
    assert "not a unit of it" in said
    assert "use " in said


@pytest.mark.parametrize("key", keys(*UNITS))
@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e999"])
def test_text_that_is_not_a_finite_number_is_refused(key: str, number: str) -> None:
    said = only_mistake({key: f"{number} {UNITS[KEYS[key].kind]}"})
    assert said.startswith(f"{key} must be a finite number")


@pytest.mark.parametrize("key", keys(*UNITS))
@pytest.mark.parametrize("value", ["", "  ", "wide", "in", "3 parsec-ish", "3,5 in", "1/0 in"])
def test_text_that_is_no_quantity_is_refused(key: str, value: str) -> None:
    assert only_mistake({key: value}).startswith(key)


@pytest.mark.parametrize("key", sorted(KEYS))
@pytest.mark.parametrize("value", [True, [["x"]], {"a": 1}, 10**400])
def test_a_value_of_another_type_is_refused(key: str, value: object) -> None:
    said = mistakes({key: value})
    assert said
    assert all(line.startswith(key) for line in said), said


@pytest.mark.parametrize("key", keys("ratio", "count"))
@pytest.mark.parametrize("value", [NAN, INFINITE, -INFINITE, "", "0.9", "3 in"])
def test_a_bare_number_must_be_one_and_finite(key: str, value: object) -> None:
    assert only_mistake({key: value}).startswith(f"{key} must be a ")


@pytest.mark.parametrize("key", keys("count"))
def test_a_count_is_whole(key: str) -> None:
    assert "must be a whole number (got 2.5)" in only_mistake({key: 2.5})


@pytest.mark.parametrize("key", keys("choice", "text"))
@pytest.mark.parametrize("value", [3, 3.5, NAN, ["x"], {}])
def test_a_name_must_be_text(key: str, value: object) -> None:
    assert only_mistake({key: value}).startswith(key)


@pytest.mark.parametrize("key", keys("choice"))
@pytest.mark.parametrize("value", ["", "no such thing"])
def test_a_choice_must_be_known(key: str, value: str) -> None:
    said = only_mistake({key: value})
    assert said.startswith(key)
    assert "known: " in said or "nearest: " in said


def test_the_job_needs_a_name_and_every_run_one_of_its_own() -> None:
    assert only_mistake({"job.name": "  "}) == "job.name is empty; write a name"
    assert only_mistake({"run 1.name": ""}).startswith("run 1.name must be a name")
    twice = only_mistake({"run 1.name": "X to silencer"})
    assert twice == "run 2 has a name that is taken already, 'X to silencer'; name each apart"
