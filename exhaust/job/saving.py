"""Writes a job file again with another tube, outlet or crossover; its comments stay."""

from __future__ import annotations

from collections.abc import Callable, Iterator, MutableMapping
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

import tomlkit

from exhaust import show
from exhaust.choices.merged import leg_of
from exhaust.errors import ExhaustError, broken
from exhaust.job.crossed import wrong_outlet
from exhaust.job.description import Job
from exhaust.job.files import write_new
from exhaust.job.reading import read_job
from exhaust.job.sections import shelf_tube
from exhaust.job.text import with_comments
from exhaust.joints import HPipe, Joint
from exhaust.stock import INCH, MILLIMETRE, Tube, alike
from exhaust.system import Cone, System
from exhaust.units import SI, length


def save_copy(job: Job, path: str | Path, tube: Tube | None = None) -> Path:
    """Write the job file again at `path`, in `tube` if one is given, and return the path.

    The tube that most of the exhaust is made of is changed, wherever it stands; its bends keep
    their clr over od. Refuses to overwrite; raises `JobError`, and writes nothing, when the job
    cannot be made in that tube.

    >>> import tempfile
    >>> from exhaust.job import load_job
    >>> from exhaust.tables import shipped
    >>> job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = save_copy(job, Path(folder) / "mine.toml", Tube(od="2-3/4 in", wall="16 ga"))
    ...     load_job(path).system.tube.name
    '2-3/4 in x 16 ga'
    """
    path = Path(path)
    text = job.text if tube is None else with_tube(job, tube)
    read_job(text, path)
    write_new(path, text.encode("utf-8"))
    return path


def with_tube(job: Job, tube: Tube) -> str:
    """Return the text of the job file in `tube`, comments kept."""
    document: Any = with_comments(job.text, job.path)
    old, usual = job.system.tube, job.tube
    radii: list[tuple[MutableMapping[str, Any], str]] = []
    if alike(usual, old):
        _restock(document["tube"], old, tube, job.units)
        usual = tube
        radii += _usual_radii(document)
    for named in _named_tubes(document, job):
        if named.follows and alike(named.tube, old):
            named.table[named.key] = _shelf_text(tube, usual, job.units)
        elif usual.material != job.tube.material:  # keep the metal it had
            named.table[named.key] = _shelf_text(named.tube, usual, job.units)
    for table, run in zip(document["run"], job.system.runs, strict=True):
        radii += _radii(table) if alike(run.tube, old) else ()
    if tube.od != old.od:
        for holder, key in radii:
            holder[key] = _written(length(str(holder[key])) * tube.od / old.od, job.units)
    _straighten(document, job, old, tube)
    _keep_metal(document, job, usual)
    with suppress(ExhaustError):  # whoever reads the text says why it cannot be, each by its key
        system = job.system.with_tube(tube, instead_of=old)
        _take_cones(document, job, system)
        _take_outlets(document, job, system)
    _take_readings(document)
    return tomlkit.dumps(document)


def with_system(job: Job, system: System) -> str:
    """Return the text of the job file with the runs and the joint of `system`, comments kept.

    `system` has the same runs, in other lengths or tubes, and its joint is the job's own in
    another size, an H pipe, or none.
    """
    document: Any = with_comments(job.text, job.path)
    for table, old, new in zip(document["run"], job.system.runs, system.runs, strict=True):
        if not alike(old.tube, new.tube):
            table["tube"] = _shelf_text(new.tube, job.tube, job.units)
            for holder, key in _radii(table):
                ratio = new.tube.od / old.tube.od
                holder[key] = _written(length(str(holder[key])) * ratio, job.units)
        if new.straights != old.straights:
            table["straights"] = [_written(one, job.units) for one in new.straights]
        if new.length != old.length:
            table["length"] = _written(new.length, job.units)
    if system.joint != job.system.joint:
        _put_joint(document, job, system.joint)
        _take_readings(document)
    _take_cones(document, job, system)
    return tomlkit.dumps(document)


def _put_joint(document: Any, job: Job, joint: Joint | None) -> None:
    """Write what differs of the joint into its section, or another kind of joint whole."""
    old = job.system.joint
    if joint is None:
        del document["joint"]
        document.pop("measured", None)  # a kerf, too, has no use then
    elif type(joint) is type(old):
        section = document["joint"]
        for key, write in _SIZES.items():
            new = getattr(joint, key, None)
            if new is not None and new != getattr(old, key):
                section[key] = write(new, job)
    elif isinstance(joint, HPipe):
        section = tomlkit.table()
        section.update({"kind": "H pipe", "at": job.system.joint_at})
        section["balance_tube"] = _tube_text(joint.balance_tube, job)
        section["spacing"] = _written(joint.spacing, job.units)
        document["joint"] = section
    else:
        rule = "must be of the job's own kind, an H pipe, or none"
        raise broken(rule, type(joint).__name__).named("joint")


def _tube_text(tube: Tube, job: Job) -> Any:
    return _shelf_text(tube, job.tube, job.units)


_SIZES: dict[str, Callable[[Any, Job], Any]] = {
    "cutback": lambda cutback, job: round(float(cutback), 4),
    "outlet": _tube_text,
    "balance_tube": _tube_text,
}


class _Named(NamedTuple):
    """A tube that a run or a joint names for itself."""

    table: MutableMapping[str, Any]
    key: str
    tube: Tube
    follows: bool  # when the tube that it is alike changes


def _named_tubes(document: Any, job: Job) -> Iterator[_Named]:
    """Yield every tube in the file beside [tube] and the shelf."""
    for table, run in zip(document["run"], job.system.runs, strict=True):
        if "tube" in table:
            yield _Named(table, "tube", run.tube, True)
    joint = document.get("joint", {})
    for key, follows in (("outlet", True), ("balance_tube", False)):
        if key in joint:
            yield _Named(joint, key, getattr(job.system.joint, key), follows)


def _restock(stock: MutableMapping[str, Any], old: Tube, new: Tube, units: show.System) -> None:
    """Write what differs of a tube into its section."""
    if new.od != old.od:
        stock["od"] = _typed(new.od, units)
    if new.wall != old.wall:
        stock["wall"] = _typed(new.wall, units)
    if new.material != old.material:
        stock["material"] = new.material


def _shelf_text(tube: Tube, usual: Tube, units: show.System) -> Any:
    """Return a tube as a run names it; `usual` gives the material where none is said."""
    od, wall = _typed(tube.od, units), _typed(tube.wall, units)
    if tube.material == usual.material:
        return f"{od} x {wall}"
    table = tomlkit.inline_table()
    table.update({"od": od, "wall": wall, "material": tube.material})
    return table


def _usual_radii(document: Any) -> Iterator[tuple[MutableMapping[str, Any], str]]:
    """Yield where the clr of the usual bend and of the joint stands: the table and its key."""
    if "bend" in document:
        yield document["bend"], "clr"
    if "return_clr" in document.get("joint", {}):
        yield document["joint"], "return_clr"


def _radii(run: MutableMapping[str, Any]) -> Iterator[tuple[MutableMapping[str, Any], str]]:
    """Yield where a clr stands in a run."""
    for bend in run.get("bends", ()):
        if hasattr(bend, "keys") and "clr" in bend:
            yield bend, "clr"


def _straighten(document: Any, job: Job, old: Tube, new: Tube) -> None:
    """Write the straights that the bends of `new` leave, where a run in `old` names its own."""
    for table, run in zip(document["run"], job.system.runs, strict=True):
        if run.straights and alike(run.tube, old) and new.od != old.od:
            try:
                found = run.with_tube(new).straights
            except ExhaustError:
                continue  # whoever reads the text says why it cannot be
            table["straights"] = [_written(one, job.units) for one in found]


def _keep_metal(document: Any, job: Job, usual: Tube) -> None:
    """Leave what is on hand in the metal that it is of, now that `usual` says another."""
    if usual.material == job.tube.material:
        return
    for entry in document.get("stock", {}).get("on_hand", ()):
        tube = shelf_tube("on_hand", entry["tube"], job.tube.material)
        entry["tube"] = _shelf_text(tube, usual, job.units)


def _take_cones(document: Any, job: Job, system: System) -> None:
    """Take out the cones that `system` does not have: nothing is left to bring together."""
    left = {place.name for place in system.places}
    gone = {one.name for one in job.system.places if isinstance(one, Cone)} - left
    if gone:
        cones = document["cone"]
        for number in reversed(range(len(cones))):
            if cones[number]["name"] in gone:
                del cones[number]
        if not cones:
            del document["cone"]


def _take_outlets(document: Any, job: Job, system: System) -> None:
    """Take out of the shelf the outlets that a merge of `system` cannot have."""
    if not job.outlets:
        return
    leg = leg_of(system)
    for number in reversed(range(len(job.outlets))):
        if wrong_outlet(leg, job.outlets[number]):
            del document["shelf"]["outlets"][number]
    if not document["shelf"]["outlets"]:
        del document["shelf"]["outlets"]


def _take_readings(document: Any) -> None:
    """Take out what was measured on the old tube: all but the saw's kerf."""
    document.pop("after_build", None)
    readings = document.get("measured", {})
    for key in [key for key in readings if key != "kerf"]:
        del readings[key]
    if not readings:
        document.pop("measured", None)


def _written(length: float, units: show.System) -> str:
    unit, scale = ("in", INCH) if units == "inch" else ("mm", MILLIMETRE)
    return f"{length / scale:.6g} {unit}"


def _typed(length: float, units: show.System) -> str:
    return length.written() if isinstance(length, SI) else _written(length, units)
