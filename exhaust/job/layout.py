"""Reads the exhaust of a job file: runs, what stands between them, the joint, into one System."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from exhaust.errors import ExhaustError
from exhaust.job.keys import build, read_table
from exhaust.job.reader import Reader
from exhaust.job.sections import (
    BEND_KEYS,
    JOINTS,
    PARALLEL_X,
    SYSTEM_KEYS,
    RunBend,
    run_keys,
)
from exhaust.stock import Bend, Tube, alike
from exhaust.system import Cone, GraphError, Inlet, Merge, Part, Run, Sensor, System

PLACES = {"part": Part, "cone": Cone, "merge": Merge}
LISTS = ("run", "inlet", *PLACES, "sensor")  # sections written [[ ]], once for each


def read_system(reader: Reader, tube: Tube | None) -> System | None:
    """Return the exhaust, or None when the mistakes of `reader` say why not.

    `tube` is what [tube] describes, None if that is wrong: the rest is read all the same.
    """
    bend = _bend(reader, tube)
    stock = [] if tube is None else [tube]
    runs = _runs(reader, stock, bend)
    parts = {name: reader.all_described(name, maker) for name, maker in PLACES.items()}
    inlets = reader.all_described("inlet", Inlet)
    sensors = reader.all_described("sensor", Sensor)
    joint = _joint(reader, stock, bend)
    values = reader.values("system", SYSTEM_KEYS) if "system" in reader.given else {}
    lists = (runs, *parts.values(), inlets, sensors)
    if values is None or joint is None or any(one is None for one in lists):
        return None
    places = [one for those in parts.values() for one in those or ()]
    given = {"runs": runs, "inlets": inlets, "places": places, "sensors": sensors, **joint}
    try:
        return System(**values, **given)
    except GraphError as error:
        reader.mistakes += _placed(error, {name: len(those or ()) for name, those in parts.items()})
    except ExhaustError as error:
        reader.mistakes.append(f"system: {error}")
    return None


def _placed(error: GraphError, counts: dict[str, int]) -> list[str]:
    """Return what is wrong with the graph, each starting with its key in the file."""
    places = [f"{name} {n + 1}" for name, count in counts.items() for n in range(count)]
    said = []
    for wrong in error.wrongs:
        if wrong.where == "places":
            place = places[wrong.number]
        else:
            place = wrong.where.removesuffix("s")
            place += "" if wrong.where == "joint" else f" {wrong.number + 1}"
        said.append(str(wrong.error.named(f"{place}.{wrong.key}" if wrong.key else place)))
    return said


def _bend(reader: Reader, tube: Tube | None) -> Bend | None:
    if "bend" not in reader.given:
        return None
    values = reader.values("bend", BEND_KEYS)
    return None if tube is None else build("bend", partial(Bend, tube), values, reader.mistakes)


def _runs(reader: Reader, stock: list[Tube], bend: Bend | None) -> list[Run] | None:
    if reader.given.get("run", []) == []:
        reader.mistakes.append("run is missing; add a section [[run]] for each run of tube")
        return None
    return reader.each("run", partial(_run, reader, stock, bend))


def _run(
    reader: Reader, stock: list[Tube], bend: Bend | None, place: str, given: object
) -> Run | None:
    """Return a run; `stock` holds the tubes so far, [tube] first, and takes in that of the run."""
    keys = run_keys(stock[0].material if stock else "304")
    values = read_table(place, given, keys, reader.mistakes)
    if values is None or not stock:
        return None
    own = _known(values.get("tube", stock[0]), stock)
    stock.append(own)
    usual = None if bend is None else bend.with_tube(own) if own != bend.tube else bend
    before = len(reader.mistakes)
    bends: list[Bend] = []
    for number, entry in enumerate(values.get("bends", ()), start=1):
        one = _run_bend(reader, f"{place}.bends {number}", entry, own, usual)
        bends += [one] * entry.count if one is not None else []
    if len(reader.mistakes) > before or ("bend" in reader.given and bend is None):
        return None
    return build(place, Run, values | {"tube": own, "bends": bends}, reader.mistakes)


def _known(tube: Tube, stock: Sequence[Tube]) -> Tube:
    """Return the tube in `stock` that is the same metal, however it is typed there, or `tube`."""
    return next((one for one in stock if alike(one, tube)), tube)


def _run_bend(
    reader: Reader, place: str, entry: RunBend, tube: Tube, usual: Bend | None
) -> Bend | None:
    """Return a bend of a run in `tube`; one without clr has that of the `usual` bend."""
    clr = entry.clr if entry.clr is not None else usual and usual.clr
    if clr is None:
        if "bend" not in reader.given:
            remedy = "give { angle, clr }, or describe the usual bend in [bend]"
            reader.mistakes.append(f"{place} has no clr; {remedy}")
        return None
    return build(place, partial(Bend, tube), {"clr": clr, "angle": entry.angle}, reader.mistakes)


def _joint(reader: Reader, stock: Sequence[Tube], bend: Bend | None) -> dict[str, Any] | None:
    """Return the joint and where it stands, nothing if there is none, None if it is wrong.

    `stock` holds the tubes of the runs, [tube] first; none if that is wrong.
    """
    if "joint" not in reader.given:
        return {}
    given = reader.given["joint"]
    said = given.get("kind") if isinstance(given, dict) else None
    kind = JOINTS.get(said) if isinstance(said, str) else None
    kind = kind or JOINTS[PARALLEL_X]  # the reader says what is wrong with it
    values = reader.values("joint", kind.keys_in(stock[0].material if stock else "304"))
    for name in ("bend", "saw") if kind.from_bend else ("saw",):
        if name not in reader.given:
            reader.mistakes.append(f"{name} is missing; the joint needs a section [{name}]")
    if values is None or not stock or (kind.from_bend and bend is None):
        return None
    del values["kind"]
    values |= {name: _known(values[name], stock) for name in kind.tubes if name in values}
    stands = {name: values.pop(name) for name in ("joint_at",) if name in values}
    if not _with_return(reader, values, bend):
        return None
    joint = build(
        "joint", partial(kind.maker, bend if kind.from_bend else stock[0]), values, reader.mistakes
    )
    return None if joint is None else {"joint": joint, **stands}


def _with_return(reader: Reader, values: dict[str, Any], bend: Bend | None) -> bool:
    """Make the return bend of a return_clr; False if that cannot be."""
    clr = values.pop("return_clr", None)
    if clr is None or bend is None:
        return True
    made = build("joint.return_clr", bend.with_, {"clr": clr}, reader.mistakes)
    values["return_bend"] = made
    return made is not None
