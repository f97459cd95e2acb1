"""The welds of a joint, and what it measures once tacked and once welded."""

from __future__ import annotations

from exhaust.cutmath.cutsheet import Step
from exhaust.joints import Joint
from exhaust.show import Column, Fact, Table, cut_length
from exhaust.stock import material

SHRINK = (0.5e-3, 1.0e-3)  # of one welded joint [m]; common practice, no source


def finished_table(rows: tuple[tuple[str, float, float], ...]) -> Table:
    """Return dimensions as tacked and as welded: each weld across one draws in by `SHRINK`.

    `rows` of name, dimension [m] and how many welds lie across it.

    >>> finished_table((("Gap", 0.1, 2.0),)).texts("metric")
    [['Gap', '100.0', '99.0', '98.0']]
    """
    columns = (
        Column("dimension", "Dimension"),
        Column("tacked", "After tacking", "cut"),
        Column("welded_most", "After welding, at most", "cut"),
        Column("welded_least", "After welding, at least", "cut"),
    )
    least, most = SHRINK
    found = [(name, size, size - n * least, size - n * most) for name, size, n in rows]
    return Table(columns, tuple(found))


def draws_in() -> str:
    """Return the assumption that `finished_table` makes, in words.

    >>> draws_in()
    'Each welded joint draws in 0.020 in (1/64) to 0.039 in (3/64) (common practice).'
    """
    least, most = (cut_length(each) for each in SHRINK)
    return f"Each welded joint draws in {least} to {most} (common practice)."


def weld(joint: Joint, order: str, purged: str = "inside") -> Step:
    """Return the step that welds a joint: its welds with their lengths and filler, and the order.

    >>> from exhaust import SplayedX, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> [fact.name for fact in weld(x, "Feather tips last and cold.").settings]
    ['1 x round the opening', '2 x mitre', 'Weld in all', 'Filler']
    """
    settings = (
        *(Fact(f"{seam.count} x {seam.name}", seam.length, "cut") for seam in joint.seams),
        Fact("Weld in all", joint.weld_length, "run"),
        Fact("Filler", material(joint.tube.material).filler, "text"),
    )
    purge = (
        f"Purge {purged} until a meter reads the oxygen wanted; four volume changes are a start, "
        "not a proof. "
    )
    return Step("Weld", "all", purge + order, settings)
