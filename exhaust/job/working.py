"""Working copies: a job file with a choice in it, for the next notebook to go on from.

A working copy says in its first line what it is a copy of. It is written anew only while it is as
it was written; one that somebody has changed is theirs, and is left alone.
"""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import attrs

from exhaust.errors import ExhaustError, broken
from exhaust.job.files import write_new, write_whole
from exhaust.job.text import text_of
from exhaust.tables import shipped

if TYPE_CHECKING:
    from exhaust.job.description import Job
    from exhaust.joints import Joint
    from exhaust.stock import Tube
    from exhaust.system import System

ENDING = "-working.toml"
_FIRST = "# Working copy of {origin}; written anew until you change it ({mark})."
_READ = re.compile(r"# Working copy of (?P<origin>.+); .* \((?P<mark>[0-9a-f]{12})\)\.")


class Weighed(Protocol):
    """An option of a comparison of crossovers or of balance tubes."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def joint(self) -> Joint | None:
        """The joint; none stands for straight pipes."""

    @property
    def system(self) -> System:
        """What the job's system becomes with it."""


@attrs.frozen(kw_only=True, repr=False)
class Kept:
    """Where a working copy was written, and what was kept in it, in words."""

    path: Path
    choice: str

    def __repr__(self) -> str:
        return f'Kept: {self.choice}. For the next notebook: job_file = "{self.path.name}"'


def keep_choice(
    job: Job,
    *,
    tube: Tube | None = None,
    outlet: Tube | None = None,
    crossover: Weighed | None = None,
) -> Kept:
    """Write a working copy of the job file with one choice in it, and return where it is.

    A `tube` for most of the exhaust; the `outlet` of its merge, which is then cut to reach it; or
    a `crossover`, an option of a comparison. None of them: the job as it is. Two pipes that cross
    are not merged: an outlet leaves them as they are. Raises `ExhaustError`, and writes nothing,
    where the job cannot be made so or somebody has changed the working copy.

    >>> import contextlib
    >>> from exhaust import Tube, load_job
    >>> job, tube = load_job("v8-parallel-x.toml"), Tube(od="2.75 in", wall="16 ga")
    >>> with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
    ...     kept = keep_choice(job, tube=tube)
    ...     load_job(kept.path).system.tube.name
    '2.75 in x 16 ga'
    >>> kept
    Kept: 2.75 in x 16 ga. For the next notebook: job_file = "v8-parallel-x-working.toml"
    """
    from exhaust.job.saving import with_system, with_tube

    if sum(one is not None for one in (tube, outlet, crossover)) > 1:
        raise ExhaustError("keep_choice keeps one choice at a time; call it once for each")
    if tube is not None:
        return save_working(job, with_tube(job, tube), tube.name)
    if outlet is not None and _merges(job.system):
        from exhaust.choices.merged import merged

        text = with_system(job, merged(job.system, outlet))
        return save_working(job, text, f"a merge into {outlet.name}")
    if crossover is not None:
        return save_working(job, with_system(job, _crossed(job, crossover)), crossover.name)
    return save_working(job, job.text, "the job as it is")


def _merges(system: System) -> bool:
    """Return whether the joint of a system makes one pipe of two."""
    joint = system.joint
    return joint is not None and (joint.legs_in, joint.legs_out) == (2, 1)


def _crossed(job: Job, one: Weighed) -> System:
    """Return the job's system with the crossover `one`; an H pipe that it has stays but in size.

    What the comparison left out of an H pipe (its length, its split joint) is then kept.
    """
    from exhaust.choices.crossover_systems import Crossover, crossing_place, with_crossover
    from exhaust.joints import HPipe

    own, system = job.system.joint, job.system
    if not (isinstance(own, HPipe) and isinstance(one.joint, HPipe)):
        return one.system
    place = crossing_place(system)

    def longer(number: int) -> float:
        return float(one.system.runs[number].length - system.runs[number].length)

    (ahead, *_), (behind, *_) = system.graph.into(place), system.graph.out_of(place)
    moved = (longer(ahead.run) - longer(behind.run)) / 2
    joint = own.with_(balance_tube=one.joint.balance_tube)
    return with_crossover(system, Crossover(joint, round(moved, 6)))


def save_working(job: Job, text: str, choice: str) -> Kept:
    """Write `text` as the working copy of `job`; `choice` says in words what it holds.

    Raises `JobError` when `text` is no sound job, `ExhaustError` when the working copy that is
    there was changed and is not the text of `job` itself.
    """
    from exhaust.job.reading import read_job

    origin = origin_of(job)
    path = working_folder(make=True) / f"{Path(origin).stem}{ENDING}"
    body = _body(text)
    read_job(body, path)
    first = _FIRST.format(origin=origin, mark=_mark(body))
    data = f"{first}\n{body}".encode()
    if not os.path.lexists(path):
        write_new(path, data)
    elif _may_replace(path, origin, job.text):
        write_whole(path, data)
    else:
        rule = f"{path} is no working copy of {origin}, or was changed since it was written"
        raise ExhaustError(f"{rule}; move it, or name it in the inputs cell to go on from it")
    return Kept(path=path, choice=choice)


def working_folder(make: bool = False) -> Path:
    """Return where working copies go: the current folder, unless it came with the package.

    Then one in the system's folder for temporary files; `make` makes it.

    >>> working_folder() == Path.cwd()
    True
    """
    here = Path.cwd()
    own = (shipped("data"), shipped("notebooks"))
    if not any(here.is_relative_to(folder.resolve()) for folder in own):
        return here
    user = os.getuid() if hasattr(os, "getuid") else "user"
    folder = Path(tempfile.gettempdir()) / f"exhaust-{user}"
    if make:
        folder.mkdir(mode=0o700, exist_ok=True)
        if folder.is_symlink() or (user != "user" and folder.stat().st_uid != user):
            raise broken("belongs to somebody else", None, "move it").named(str(folder))
    return folder


def found(path: Path) -> Path:
    """Return where a job file is that is named by its name alone: here, a demo, a working copy."""
    if len(path.parts) == 1 and not os.path.exists(path):
        for folder in (shipped("data") / "jobs", working_folder()):
            if os.path.isfile(folder / path.name):
                return folder / path.name
    return path


def origin_of(job: Job) -> str:
    """Return the name of the file that `job` was first read from."""
    first = _READ.fullmatch(job.text.partition("\n")[0].rstrip())
    return first["origin"] if first else job.path.name


def _body(text: str) -> str:
    """Return the text of a job file without the first line of a working copy."""
    first, _, rest = text.partition("\n")
    return rest if _READ.fullmatch(first.rstrip()) else text


def _may_replace(path: Path, origin: str, known: str) -> bool:
    """Return whether the file is a working copy of `origin` with nothing in it to lose."""
    text = text_of(path)
    first = _READ.fullmatch(text.partition("\n")[0].rstrip())
    if first is None or first["origin"] != origin:
        return False
    return first["mark"] == _mark(_body(text)) or text == known


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:12]
