"""The cut sheet: what any joint becomes at the saw."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from typing import NamedTuple

import attrs

from exhaust.cutmath.pose import Pose
from exhaust.joints import Joint
from exhaust.show import Column, Fact, Result, System, Table, facts_html, items_html, quantity
from exhaust.stock import Bend, Saw, Tube


class Blank(NamedTuple):
    """What comes off the shelf for one kind of piece, before it is shaped.

    `stock` is the tube that it is sawn from square, or the bend that is taken whole; `length` of
    one along its centreline [m], every kerf and handle inside it counted, those of the cuts that
    part it from the stock not; `makes`, how many pieces come out of one.

    >>> Blank(Tube(od="3 in", wall="16 ga"), 0.46, makes=2).name
    'tube 3 in x 16 ga'
    """

    stock: Tube | Bend
    length: float
    makes: int = 1

    @classmethod
    def whole(cls, bend: Bend, makes: int = 1) -> Blank:
        """Return a whole `bend`, its straight ends with it."""
        return cls(bend, bend.centreline_length, makes)

    @property
    def name(self) -> str:
        """What to take off the shelf, in words."""
        return shelf_name(self.stock)


def shelf_name(stock: Tube | Bend) -> str:
    """Return what a tube or a bend is asked for by.

    >>> shelf_name(Tube(od="3 in", wall="16 ga"))
    'tube 3 in x 16 ga'
    """
    return stock.name if isinstance(stock, Bend) else f"tube {stock.name}"


class Part(NamedTuple):
    """One kind of piece of the joint."""

    label: str  # A, B, C as marked on the metal
    what: str
    pieces: int
    blank: Blank
    length: float  # along the centreline, as finished [m]
    mass: float  # of one piece [kg]

    @property
    def blanks(self) -> int:
        """How many blanks its pieces take."""
        return -(-self.pieces // self.blank.makes)


class Step(NamedTuple):
    """One thing to do at the saw or the bench, in order."""

    title: str
    parts: str  # labels of the pieces it is done to
    words: str
    settings: tuple[Fact, ...] = ()
    checks: tuple[Fact, ...] = ()
    poses: tuple[Pose, ...] = ()


@attrs.frozen(kw_only=True, repr=False)
class CutSheet(Result):
    """Parts, order of cuts, settings, checks and cautions for one joint on one saw.

    `parts`, `steps` in order; `checks` gathers every measurement to take; `finished` the
    dimensions after tacking and after welding; `warnings` what this saw or shape makes awkward.
    """

    joint: Joint
    saw: Saw
    parts: tuple[Part, ...]
    steps: tuple[Step, ...]
    finished: Table
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    title: str = "Cut sheet"

    @property
    def checks(self) -> tuple[Fact, ...]:
        """Every measurement to take, in the order of the steps."""
        return tuple(check for step in self.steps for check in step.checks)

    @property
    def poses(self) -> tuple[Pose, ...]:
        """Every drawing of a piece in the saw, in order."""
        return tuple(pose for step in self.steps for pose in step.poses)

    def facts(self) -> Sequence[Fact]:
        """Return every saw setting, in the order of the steps."""
        return tuple(setting for step in self.steps for setting in step.settings)

    def body_html(self, system: System | None = None) -> str:
        """Return the parts, then each step with what to set and what to measure."""
        parts = [self.rows().html(system)]
        for number, step in enumerate(self.steps, start=1):
            parts.append(
                f"<h5>{number}. {html.escape(step.title)} ({html.escape(step.parts)})</h5>"
            )
            parts.append(f"<p>{html.escape(step.words)}</p>")
            for word, facts in (("Set", step.settings), ("Measure", step.checks)):
                if facts:
                    parts.append(f"<p>{word}</p>{facts_html(facts, system)}")
        parts.append(f"<h5>Finished</h5>{self.finished.html(system)}")
        for word, lines in (("Mind", self.warnings), ("Cautions", self.cautions)):
            parts.append(items_html(word, lines))
        return "".join(parts)

    def rows(self) -> Table:
        """Return the parts as a table."""
        return parts_table(self.parts)


def parts_table(parts: Iterable[Part]) -> Table:
    """Return parts as a table, with the blanks that they are sawn from."""
    columns = (
        Column("label", "Mark"),
        Column("what", "Piece"),
        Column("pieces", "Pieces", "count"),
        Column("stock", "From"),
        Column("length", "Length on the centreline", "cut"),
        Column("mass", "Mass of one", "mass"),
        Column("blanks", "Blanks", "count"),
        Column("blank", "Length of a blank", "cut"),
    )
    rows = (
        (
            *(part.label, part.what, part.pieces, part.blank.name, part.length, part.mass),
            *(part.blanks, part.blank.length),
        )
        for part in parts
    )
    return Table(columns, tuple(rows))


def fits(saw: Saw, height: float, width: float) -> bool:
    """Return whether a piece `height` by `width` [m] goes under the guides of `saw`.

    The width counts on a horizontal saw only: an upright one lets the work be fed past.
    """
    narrow = saw.kind == "horizontal" and width > saw.width_capacity
    return height <= saw.height_capacity and not narrow


def under_guides(
    what: str, saw: Saw, height: float, width: float, *, turned: bool = False
) -> list[str]:
    """Return the warning for a piece that does not go under the guides, if it does not.

    `turned`: it may as well be sawn the other way up.

    >>> under_guides("A leg", Saw(kerf="1.1 mm", height_capacity="100 mm"), 0.0635, 0.2)
    []
    """
    if fits(saw, height, width) or (turned and fits(saw, width, height)):
        return []
    need, have = quantity(height, "cut"), quantity(saw.height_capacity, "cut")
    text = f"{what} needs {need} of height"
    if saw.kind == "horizontal":
        text += f" and {quantity(width, 'cut')} of width"
        have += f" by {quantity(saw.width_capacity, 'cut')}"
    return [f"{text}; this saw takes {have}: rough it out by hand and file to the lines"]
