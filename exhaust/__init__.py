"""A flow and sizing workbench for people who build one-off exhausts.

Describe the job once, ask many questions. Public names load when first used, so that
`import exhaust` stays cheap.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from exhaust.choices import Limits as Limits
    from exhaust.choices import PortReading as PortReading
    from exhaust.choices import PortReadings as PortReadings
    from exhaust.choices import Pulses as Pulses
    from exhaust.choices import Room as Room
    from exhaust.choices import compare_balance_tubes as compare_balance_tubes
    from exhaust.choices import compare_crossovers as compare_crossovers
    from exhaust.choices import compare_measured as compare_measured
    from exhaust.choices import compare_merges as compare_merges
    from exhaust.choices import compare_merges_in_pulses as compare_merges_in_pulses
    from exhaust.choices import compare_sound as compare_sound
    from exhaust.choices import compare_speeds as compare_speeds
    from exhaust.choices import compare_tubes as compare_tubes
    from exhaust.choices import flow_through as flow_through
    from exhaust.choices import joints_that_fit as joints_that_fit
    from exhaust.choices import kept_apart as kept_apart
    from exhaust.choices import simulate as simulate
    from exhaust.cutmath import cut_sheet as cut_sheet
    from exhaust.cutmath.as_measured import as_measured as as_measured
    from exhaust.cutmath.fit import Tolerances as Tolerances
    from exhaust.cutmath.fit import fit_up as fit_up
    from exhaust.cutmath.measured import Measured as Measured
    from exhaust.cutmath.ordinates import ordinates as ordinates
    from exhaust.cutmath.rework import rework as rework
    from exhaust.cutmath.stock_plan import stock_plan as stock_plan
    from exhaust.cutmath.supply import Offcut as Offcut
    from exhaust.cutmath.supply import PurgeGas as PurgeGas
    from exhaust.cutmath.supply import Stock as Stock
    from exhaust.cutmath.templates import templates as templates
    from exhaust.engine import Ambient as Ambient
    from exhaust.engine import Cam as Cam
    from exhaust.engine import Engine as Engine
    from exhaust.engine import OperatingPoint as OperatingPoint
    from exhaust.engine import exhaust_flow as exhaust_flow
    from exhaust.errors import ExhaustError as ExhaustError
    from exhaust.job import keep_choice as keep_choice
    from exhaust.job import load_job as load_job
    from exhaust.joints import HPipe as HPipe
    from exhaust.joints import ParallelToSplayedX as ParallelToSplayedX
    from exhaust.joints import ParallelX as ParallelX
    from exhaust.joints import SplayedX as SplayedX
    from exhaust.joints import SplitJoint as SplitJoint
    from exhaust.joints import YMerge as YMerge
    from exhaust.published import published_checks as published_checks
    from exhaust.sheet.answers import Answers as Answers
    from exhaust.sheet.here import save_sheet_here as save_sheet_here
    from exhaust.sheet.solids import save_solid as save_solid
    from exhaust.sheet.templates import save_templates as save_templates
    from exhaust.show import use_units as use_units
    from exhaust.stock import Bend as Bend
    from exhaust.stock import Saw as Saw
    from exhaust.stock import Tube as Tube
    from exhaust.system import Cone as Cone
    from exhaust.system import Inlet as Inlet
    from exhaust.system import Merge as Merge
    from exhaust.system import Part as Part
    from exhaust.system import Run as Run
    from exhaust.system import Sensor as Sensor
    from exhaust.system import System as System

__version__ = "0.1.0"

_HOMES = {
    "Ambient": "exhaust.engine",
    "Answers": "exhaust.sheet.answers",
    "Bend": "exhaust.stock",
    "Cam": "exhaust.engine",
    "Cone": "exhaust.system",
    "Engine": "exhaust.engine",
    "ExhaustError": "exhaust.errors",
    "HPipe": "exhaust.joints",
    "Inlet": "exhaust.system",
    "Limits": "exhaust.choices",
    "Measured": "exhaust.cutmath.measured",
    "Merge": "exhaust.system",
    "Offcut": "exhaust.cutmath.supply",
    "OperatingPoint": "exhaust.engine",
    "ParallelToSplayedX": "exhaust.joints",
    "ParallelX": "exhaust.joints",
    "Part": "exhaust.system",
    "PortReading": "exhaust.choices",
    "PortReadings": "exhaust.choices",
    "PurgeGas": "exhaust.cutmath.supply",
    "Pulses": "exhaust.choices",
    "Room": "exhaust.choices",
    "Run": "exhaust.system",
    "Saw": "exhaust.stock",
    "Sensor": "exhaust.system",
    "SplayedX": "exhaust.joints",
    "SplitJoint": "exhaust.joints",
    "Stock": "exhaust.cutmath.supply",
    "System": "exhaust.system",
    "Tolerances": "exhaust.cutmath.fit",
    "Tube": "exhaust.stock",
    "YMerge": "exhaust.joints",
    "as_measured": "exhaust.cutmath.as_measured",
    "compare_balance_tubes": "exhaust.choices",
    "compare_crossovers": "exhaust.choices",
    "compare_measured": "exhaust.choices",
    "compare_merges": "exhaust.choices",
    "compare_merges_in_pulses": "exhaust.choices",
    "compare_sound": "exhaust.choices",
    "compare_speeds": "exhaust.choices",
    "compare_tubes": "exhaust.choices",
    "cut_sheet": "exhaust.cutmath",
    "exhaust_flow": "exhaust.engine",
    "fit_up": "exhaust.cutmath.fit",
    "flow_through": "exhaust.choices",
    "joints_that_fit": "exhaust.choices",
    "keep_choice": "exhaust.job",
    "kept_apart": "exhaust.choices",
    "load_job": "exhaust.job",
    "published_checks": "exhaust.published",
    "rework": "exhaust.cutmath.rework",
    "ordinates": "exhaust.cutmath.ordinates",
    "save_sheet_here": "exhaust.sheet.here",
    "save_solid": "exhaust.sheet.solids",
    "save_templates": "exhaust.sheet.templates",
    "stock_plan": "exhaust.cutmath.stock_plan",
    "templates": "exhaust.cutmath.templates",
    "simulate": "exhaust.choices",
    "use_units": "exhaust.show",
}

__all__ = sorted(_HOMES)


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        value = getattr(importlib.import_module(_HOMES[name]), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'exhaust' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})
