"""What the job file takes, key by key, written by hand; and the demo job with changes."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import tomlkit

from exhaust.errors import JobError
from exhaust.job import read_job
from exhaust.tables import shipped

DEMO = shipped("data") / "jobs" / "v8-parallel-x.toml"
TEXT = DEMO.read_text(encoding="utf-8")
INCH = 0.0254
NAN, INFINITE = math.nan, math.inf


class Key(NamedTuple):
    """What a key takes: a kind, values out of its range, whether it must be there."""

    kind: str
    out: tuple[object, ...] = ()
    required: bool = False


KEYS = {
    "job.name": Key("text", (), True),
    "job.customer": Key("text"),
    "job.note": Key("text"),
    "engine.displacement": Key("volume", ("0 L", "-5 L", "5000 L", "5.1 cc"), True),
    "engine.cylinders": Key("count", (0, -8, 25), True),
    "engine.firing_order": Key("list"),
    "engine.left_bank": Key("list"),
    "engine.fuel": Key("choice"),
    "engine.compression_ratio": Key("ratio", (0, -10, 4.9, 26)),
    "duty.speed": Key("speed", ("0 rpm", "-10 rpm", "99 rpm", "26000 rpm"), True),
    "duty.volumetric_efficiency": Key("ratio", (0, -1, 92, 1.7)),
    "duty.power": Key("power", ("0 kW", "-300 hp")),
    "duty.bsfc": Key("fuel_per_energy", ("0 g/kWh", "-1 g/kWh", "99 g/kWh", "1501 g/kWh")),
    "duty.lambda": Key("ratio", (0, -0.88, 0.49, 8.1)),
    "duty.boost_gauge": Key("pressure", ("-1 psi", "601 kPa")),
    "duty.charger": Key("choice"),
    "duty.charge_temperature": Key("temperature", ("-60 degC", "300 degC", "-1 K")),
    "duty.gas_temperature": Key("temperature", ("0 degC", "1600 degC")),
    "duty.gas_temperature_at": Key("choice"),
    "ambient.altitude": Key("length", ("-501 m", "6001 m")),
    "ambient.temperature": Key("temperature", ("-60 degC", "60 degC")),
    "ambient.humidity": Key("ratio", (-0.1, 1.1, 40)),
    "tube.od": Key("length", ("0 in", "-3 in", "1/8 in", "13 in"), True),
    "tube.wall": Key("length", ("0 in", "-1 mm"), True),
    "tube.material": Key("choice"),
    "bend.clr": Key("length", ("0 in", "-4.5 in"), True),
    "bend.angle": Key("angle", ("0 deg", "-90 deg", "186 deg")),
    "bend.tangent": Key("length", ("-1 in",)),
    "system.pipes": Key("count", (0, -2, 9)),
    "run 1.name": Key("text", (), True),
    "run 1.length": Key("length", ("0 in", "-46 in"), True),
    "run 1.loss": Key("ratio", (-0.1, 1001)),
    "run 1.from": Key("text"),
    "run 1.to": Key("text"),
    "run 1.tube": Key("tube"),
    "run 1.bends": Key("list"),
    "run 1.straights": Key("list", (["46 in"], ["10 in", "10 in", "10 in"])),
    "run 3.bends 1.angle": Key("angle", ("0 deg", "-60 deg", "300 deg"), True),
    "run 3.bends 1.clr": Key("length", ("0 in", "-4.5 in", "1.4 in")),
    "run 3.bends 1.count": Key("count", (0, -2, 51)),
    "part 1.name": Key("text", (), True),
    "part 1.kind": Key("choice"),
    "part 1.loss": Key("ratio", (-0.1, 1001)),
    "part 1.rated_flow": Key("volume_flow", ("0 cfm", "-450 cfm")),
    "part 1.rated_depression": Key("pressure", ("0 inH2O", "-28 inH2O", "50 psi")),
    "inlet 1.name": Key("text", (), True),
    "inlet 1.cylinders": Key("list"),
    "inlet 1.distance": Key("length", ("0 in", "-24 in", "21 m")),
    "cone 1.name": Key("text", (), True),
    "cone 1.length": Key("length", ("0 in", "-4 in", "6 m"), True),
    "merge 1.name": Key("text", (), True),
    "merge 1.angle": Key("angle", ("-1 deg", "91 deg")),
    "sensor 1.name": Key("text", (), True),
    "sensor 1.run": Key("text", (), True),
    "sensor 1.distance": Key("length", ("0 in", "-20 in"), True),
    "room.width": Key("length", ("0 in", "-17 in", "1 in"), True),
    "room.height": Key("length", ("0 in", "-6 in", "1 in"), True),
    "room.length": Key("length", ("0 in", "-40 in"), True),
    "room.clearance": Key("length", ("-1 in", "50 in")),
    "joint.at": Key("text"),
    "joint.kind": Key("choice", (), True),
    "joint.cutback": Key("ratio", (0, -0.28, 1, 28), True),
    "joint.spacing": Key("length", ("0 in", "-10 in", "2 in", "50 m")),
    "joint.gap": Key("length", ("-1 in", "50 m")),
    "joint.outside_width": Key("length", ("0 in", "-13 in", "4 in", "50 m")),
    "joint.spacer": Key("length", ("-1 in", "50 m")),
    "joint.return_clr": Key("length", ("0 in", "-4.5 in", "1.4 in")),
    "saw.kerf": Key("length", ("0 in", "-1 mm", "6 mm"), True),
    "saw.kind": Key("choice"),
    "saw.height_capacity": Key("length", ("0 in", "-7 in")),
    "saw.width_capacity": Key("length", ("0 in", "-7 in")),
    "saw.largest_angle": Key("angle", ("-1 deg", "76 deg")),
    "saw.angle_step": Key("angle", ("0 deg", "-1 deg", "16 deg")),
    "saw.clamp_length": Key("length", ("-1 in",)),
    "shelf.tubes": Key("list", ([],), True),
    "shelf.outlets": Key("list", ([],)),
    "stock.lengths": Key("list", (["1 in"],)),
    "stock.trim": Key("length", ("-1 mm", "3 in")),
    "stock.bend_angles": Key("list", ([], ["4 deg"])),
    "stock.on_hand": Key("list"),
    "stock.price_per_length": Key("price_per_length", ("0 /ft", "-4 /ft")),
    "stock.price_per_bend": Key("ratio", (0, -18)),
    "purge.flow": Key("volume_flow", ("0 cfh", "-15 L/min")),
    "purge.oxygen": Key("ratio", (0, 0.21, 2)),
    "limits.worth_having": Key("ratio", (-0.01, 0.6)),
    "limits.largest_od": Key("length", ("0 in", "-3 in")),
    "tolerances.depth": Key("length", ("-1 mm", "11 mm")),
    "tolerances.blade_angle": Key("angle", ("-1 deg", "11 deg")),
    "tolerances.clocking": Key("angle", ("-1 deg", "11 deg")),
    "tolerances.halving": Key("angle", ("-1 deg", "11 deg")),
    "tolerances.bend_angle": Key("angle", ("-1 deg", "11 deg")),
    "tolerances.od": Key("length", ("-1 mm", "11 mm")),
    "tolerances.offset": Key("length", ("-1 mm", "11 mm")),
    "tolerances.gap": Key("length", ("-1 mm", "7 mm")),
    "limits.largest_back_pressure_gauge": Key("pressure", ("0 psi", "-4 psi")),
    "after_build.gauge_accuracy": Key("pressure", ("0 psi", "-1 psi", "60 kPa")),
    "after_build.readings": Key("list", ([], [{"speed": "6000 rpm"}]), True),
    "after_build.altitude": Key("length", ("-501 m", "6001 m")),
    "after_build.temperature": Key("temperature", ("-60 degC", "60 degC")),
    "after_build.humidity": Key("ratio", (-0.1, 1.1, 40)),
    "cam.opens": Key("angle", ("-1 deg", "121 deg")),
    "cam.closes": Key("angle", ("-1 deg", "91 deg")),
    "cam.lift": Key("length", ("0 mm", "-1 mm", "51 mm")),
    "cam.valve": Key("length", ("0 mm", "-1 mm", "201 mm")),
    "cam.valves": Key("count", (0, -1, 5)),
    "cam.discharge": Key("ratio", (0, -0.7, 1.1)),
    "cam.bore": Key("length", ("0 mm", "-94 mm", "1.1 m")),
    "cam.rod": Key("length", ("0 mm", "-150 mm", "3.1 m")),
    "header.primary": Key("tube", (3, "wide", "1-3/4 in")),
}
UNITS = {
    "length": "in", "volume": "L", "speed": "rpm", "power": "kW", "fuel_per_energy": "g/kWh",
    "pressure": "psi", "volume_flow": "cfm", "temperature": "degC", "angle": "deg",
    "price_per_length": "/ft",
}  # fmt: skip
OTHER_WAYS = {"spacing", "gap", "outside_width", "spacer"}  # only one of them may stand


# What the demo job has no use for, put behind its last run: sections by name, and where it leads.
MORE: dict[str, tuple[str, dict[str, list[dict[str, Any]]]]] = {
    "inlet": (
        "",
        {"inlet": [{"name": "bank", "cylinders": [1, 3, 5, 7], "distance": "24 in"}]},
    ),
    "cone": (
        "step",
        {
            "cone": [{"name": "step", "length": "4 in"}],
            "run": [{"name": "tip", "tube": "2-1/2 in x 16 ga", "length": "6 in"}],
        },
    ),
    "merge": (
        "fork",
        {
            "merge": [{"name": "fork", "angle": "10 deg"}],
            "run": [
                {"name": "upper tip", "from": "fork", "length": "6 in"},
                {"name": "lower tip", "from": "fork", "length": "6 in"},
            ],
        },
    ),
}


# Sections that the demo job has no use for, and what they must have.
ALONE: dict[str, dict[str, Any]] = {
    "cam": {},
    "header": {},
    "after_build": {"readings": [{"speed": 6000, "back_pressure_gauge": 1.1}]},
}


def with_more(document: Any, name: str) -> None:
    """Put the section `name` into the demo job where it has none."""
    to, sections = MORE[name]
    if to:
        document["run"][-1]["to"] = to
    for section, tables in sections.items():
        for table in tables:
            document.setdefault(section, tomlkit.aot()).append(tomlkit.item(table))


def edited(changes: dict[str, Any]) -> str:
    """Return the demo job with values changed by key; None takes a key away."""
    document: Any = tomlkit.parse(TEXT)
    for key, value in changes.items():
        place, *rest = key.split(".")
        name, _, number = place.partition(" ")
        if not rest:  # a whole section, taken away
            document.remove(name)
            continue
        if name in MORE and name not in document:
            with_more(document, name)
        table = (
            document.setdefault(name, tomlkit.item(ALONE[name]))
            if name in ALONE
            else document[name]
        )
        if number:
            table = table[int(number) - 1]
        if len(rest) == 2:  # run 3.bends 1.clr
            inner, which = rest[0].split(" ")
            table = table[inner][int(which) - 1]
        if value is None:
            table.remove(rest[-1])
        else:
            table[rest[-1]] = value
            if name == "joint" and rest[-1] in OTHER_WAYS - {"spacing"}:
                table.pop("spacing", None)
    return tomlkit.dumps(document)


def mistakes(changes: dict[str, Any]) -> tuple[str, ...]:
    """Return what the reader says of the demo job with `changes`; nothing if it is sound."""
    try:
        read_job(edited(changes))
    except JobError as error:
        return error.mistakes
    return ()


def only_mistake(changes: dict[str, Any]) -> str:
    said = mistakes(changes)
    assert len(said) == 1, said
    assert "Traceback" not in said[0]
    assert "\n" not in said[0]
    return said[0]


def keys(*kinds: str) -> list[str]:
    return [key for key, what in KEYS.items() if what.kind in kinds]
