"""What the customer brings, and the gas it makes.

The descriptions load at once; `exhaust_flow` and its result, which need numpy, when first used.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from exhaust.engine.cam import Cam
from exhaust.engine.descriptions import Ambient, Engine, OperatingPoint

if TYPE_CHECKING:
    from exhaust.engine.flow import ExhaustFlow, exhaust_flow

__all__ = ["Ambient", "Cam", "Engine", "ExhaustFlow", "OperatingPoint", "exhaust_flow"]


def __getattr__(name: str) -> Any:
    if name in {"ExhaustFlow", "exhaust_flow"}:
        value = getattr(importlib.import_module("exhaust.engine.flow"), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'exhaust.engine' has no attribute {name!r}")
