"""The cut list as a table that any spreadsheet opens."""

from __future__ import annotations

import csv
import io

from exhaust import show
from exhaust.cutmath.stock_result import StockPlan

_FORMULA = ("=", "+", "-", "@", "\t")  # how a spreadsheet knows a formula


def cut_list(plan: StockPlan, units: show.System) -> bytes:
    """Return every piece of joint and runs as CSV (UTF-8), the unit in each heading."""
    table = plan.parts_rows()
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow([column.heading(units) for column in table.columns])
    for row, texts in zip(table.rows, table.texts(units), strict=True):
        cells = zip(row, texts, strict=True)
        writer.writerow([plain(text) if isinstance(v, str) else text for v, text in cells])
    return buffer.getvalue().encode("utf-8")


def plain(text: str) -> str:
    """Return `text` so that a spreadsheet shows it and does not compute it.

    >>> plain("=1+1"), plain("main bend")
    ("'=1+1", 'main bend')
    """
    return f"'{text}" if text.startswith(_FORMULA) else text
