"""What a joint measures once it is tacked, and once welded: every weld draws in a little."""

from __future__ import annotations

from exhaust.show import Column, Table, cut_length

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
    """Return the assumption that `finished_table` makes, in words."""
    least, most = (cut_length(each) for each in SHRINK)
    return f"Each welded joint draws in {least} to {most} (common practice)."
