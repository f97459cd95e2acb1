"""What the customer brings, and the gas it makes."""

from exhaust.engine.descriptions import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow

__all__ = ["Ambient", "Engine", "ExhaustFlow", "OperatingPoint", "exhaust_flow"]
