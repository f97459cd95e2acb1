"""Saves the finished joint as a solid model, to a STEP or an STL file."""

from __future__ import annotations

import io
import math
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from exhaust import units
from exhaust.errors import ExhaustError, RuleError, broken, nearest, typed
from exhaust.job.files import checked_path, write_new, write_whole
from exhaust.joints import Joint
from exhaust.units import SI

if TYPE_CHECKING:
    import pint
    from build123d import Face, Shape

    Length = str | float | pint.Quantity[Any]

SUFFIXES = (".step", ".stp", ".stl")
KINDS = ("metal", "gas")
CHORD = SI(1e-4, "length", "mm", 1e-3)
FINEST, COARSEST = 1e-5, 5e-3  # chord [m]: 20 000 and a few dozen triangles to a bend
PLENTY = 0.5  # [rad] between triangles at most
NO_TIME = "2000-01-01T00:00:00"  # in a STEP file's head: the same joint gives the same bytes


def save_solid(
    joint: Joint,
    path: str | Path,
    what: str = "metal",
    chord: Length = CHORD,
    overwrite: bool = False,
) -> Path:
    """Write a finished joint as a solid model in millimetres and return the path.

    The suffix of `path` says what is written: ".step" or ".stp", true cylinders and tori for a CAD
    program or a mesher, or ".stl", flat triangles no further than `chord` from them [m]. `what` is
    the "metal" of the joint or the "gas" that it holds, end to end. Weld metal is left out, and so
    is the forming of a merge: its legs are as cut. Needs build123d: pip install exhaust[solid].

    Raises `ExhaustError` for what is no joint, for another suffix, and for a file that is there
    already unless `overwrite` is asked for; then nothing is written.

    >>> import tempfile
    >>> from exhaust import HPipe, Tube
    >>> h = HPipe(Tube(od="2.5 in", wall="16 ga"), spacing="9 in")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_solid(h, Path(folder) / "h.step").name
    'h.step'
    """
    file = checked_path(path, SUFFIXES)
    if not isinstance(joint, Joint):
        raise broken("must be a joint", typed(joint), "for example an HPipe").named("joint")
    if what not in KINDS:
        known = nearest(what if isinstance(what, str) else "", KINDS)
        raise broken("must be the metal or the gas", typed(what), known).named("what")
    width = _checked_chord(chord)
    if not isinstance(overwrite, bool):
        raise broken("must be True or False", typed(overwrite)).named("overwrite")
    if os.path.lexists(file) and not overwrite:
        rule = f"{file} is there already and is not overwritten"
        raise ExhaustError(f"{rule}; choose another name or ask for overwrite=True")
    shape = _built(joint, what)
    data = _stl(shape, width) if file.suffix.lower() == ".stl" else _step(shape)
    (write_whole if overwrite else write_new)(file, data)
    return file


def _checked_chord(chord: Length) -> float:
    try:
        width = units.length(chord)
    except RuleError as error:
        raise error.named("chord") from error
    if not FINEST <= width <= COARSEST:
        rule = f"must be between {FINEST * 1e3:g} and {COARSEST * 1e3:g} mm"
        got = width.written() if isinstance(width, SI) else f"{width:.4g}"
        raise broken(rule, got, "it is how far a triangle may stand off the tube").named("chord")
    return width


def _built(joint: Joint, what: str) -> Shape[Any]:
    try:
        import build123d  # noqa: F401
    except ImportError as error:
        remedy = "pip install exhaust[solid]"
        raise ExhaustError(f"a solid model needs build123d, which is missing; {remedy}") from error
    from exhaust.sheet.solid_bodies import body

    shape = body(joint, what)
    shape.label = f"{type(joint).__name__}, {what}"
    return shape


def _step(shape: Shape[Any]) -> bytes:
    from build123d import export_step

    file = io.BytesIO()
    if not export_step(shape, file, timestamp=NO_TIME):
        raise ExhaustError("the solid model could not be written as STEP; try .stl")
    return file.getvalue()


def _stl(shape: Shape[Any], chord: float) -> bytes:
    """Return the triangles; half of the chord is for either way in which a bend is curved."""
    from build123d import export_stl

    from exhaust.sheet.triangles import closed_stl

    half, widest = chord / 2.0 * 1e3, max(_radius(face) for face in shape.faces())
    turn = min(2.0 * math.acos(1.0 - half / widest), PLENTY) if widest > half else PLENTY
    with tempfile.TemporaryDirectory() as folder, _silence():
        file = Path(folder) / "solid.stl"
        if not export_stl(shape, file, tolerance=half, angular_tolerance=turn):
            raise ExhaustError("the solid model could not be written as STL; try .step")
        return closed_stl(file.read_bytes())


@contextmanager
def _silence() -> Iterator[None]:
    """Keep the kernel from printing of the slivers that it leaves open."""
    from OCP.Message import Message, Message_Gravity

    printers = list(Message.DefaultMessenger_s().Printers())
    levels = [printer.GetTraceLevel() for printer in printers]
    for printer in printers:
        printer.SetTraceLevel(Message_Gravity.Message_Alarm)
    try:
        yield
    finally:
        for printer, level in zip(printers, levels, strict=True):
            printer.SetTraceLevel(level)


def _radius(face: Face) -> float:
    """Return the largest radius to which a face is curved [mm]; flat: none."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_SurfaceType

    surface = BRepAdaptor_Surface(face.wrapped)
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Torus:
        ring = surface.Torus()
        return float(ring.MajorRadius() + ring.MinorRadius())
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        return float(surface.Cylinder().Radius())
    return 0.0
