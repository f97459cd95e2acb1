"""The results as JSON: every number in SI, with its unit and what it is."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from exhaust import __version__
from exhaust.choices import MeasuredComparison
from exhaust.choices.measured_words import named
from exhaust.choices.one_parameter import Move
from exhaust.cutmath import CutSheet
from exhaust.cutmath.as_measured_result import AsMeasured
from exhaust.job import Job
from exhaust.sheet.folder import digest
from exhaust.show import KINDS, Fact, Result, Table

SCHEMA = 1
WHAT = (
    "Results of one job, in SI units. Each value is {value, unit, what}; a table has columns "
    "{key, unit, what} and rows of values in their order. A value that is not known is null. "
    "Angles are radians, temperatures and pressures absolute unless the name says gauge."
)


def results_json(job: Job, results: Mapping[str, Result]) -> bytes:
    """Return `results` by name as JSON (UTF-8), the same bytes for the same job."""
    content = {
        "schema": SCHEMA,
        "what": WHAT,
        "program": f"exhaust {__version__}",
        "job": {
            "name": job.name,
            "customer": job.customer,
            "shown_in": job.units,
            "file_sha256": digest(job.text.encode("utf-8")),
        },
        "results": {name: result_content(result) for name, result in results.items()},
    }
    text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def result_content(result: Result) -> dict[str, Any]:
    """Return one result as plain values."""
    content: dict[str, Any] = {"title": result.title, "values": values(result.facts())}
    rows = result.rows()
    if rows is not None:
        content["table"] = table(rows)
    if isinstance(result, CutSheet):
        del content["values"]  # they are told step by step
        content["steps"] = [
            {
                "title": step.title,
                "parts": step.parts,
                "settings": values(step.settings),
                "checks": values(step.checks),
            }
            for step in result.steps
        ]
        content["finished"] = table(result.finished)
    if isinstance(result, MeasuredComparison):
        content["moves"] = [moved(one) for one in result.moves]
        content["next_job"] = list(result.next_job)
    if isinstance(result, (CutSheet, AsMeasured)):
        content["warnings"] = list(result.warnings)
    content["assumptions"] = list(result.assumptions)
    return content


def moved(move: Move) -> dict[str, Any]:
    """Return one assumption moved to meet readings: bands as [low, middle, high]."""
    return {
        "what": named(move),
        "unit": move.unit,
        "stated": list(move.stated),
        "needed": list(move.needed) if move.met else None,
        "meets_readings": move.fits,
        "likelihood": move.likelihood,
        "share_of_band": move.share,
    }


def values(facts: Iterable[Fact]) -> dict[str, dict[str, Any]]:
    """Return facts by key, each {value, unit, what}.

    >>> values([Fact("Mass flow", 0.3, "mass_flow")])
    {'mass_flow': {'value': 0.3, 'unit': 'kg/s', 'what': 'Mass flow'}}
    """
    found: dict[str, dict[str, Any]] = {}
    for fact in facts:
        what = f"{fact.name}: {fact.note}" if fact.note else fact.name
        key, number = key_of(fact.name), 1
        while key in found:
            number += 1
            key = f"{key_of(fact.name)}_{number}"
        found[key] = {"value": _plain(fact.value), "unit": KINDS[fact.kind][0], "what": what}
    return found


def table(rows: Table) -> dict[str, Any]:
    """Return a table as columns {key, unit, what} and rows of plain values."""
    return {
        "columns": [
            {"key": column.key, "unit": KINDS[column.kind][0], "what": column.title}
            for column in rows.columns
        ],
        "rows": [[_plain(value) for value in row] for row in rows.rows],
        "marked_row": rows.marked,
    }


def key_of(name: str) -> str:
    """Return a fact's name as a key.

    >>> key_of("Stop to the blade's far face (kept side)")
    'stop_to_the_blades_far_face_kept_side'
    """
    words = re.findall(r"[a-z0-9]+", name.lower().replace("'", ""))
    return "_".join(words) or "value"


def _plain(value: float | str | None) -> float | str | None:
    if value is None or isinstance(value, (str, int)):
        return value
    return float(value) if math.isfinite(value) else None
