"""What the customer brings, and the gas it makes."""

from exhaust.engine.descriptions import Ambient, Engine, OperatingPoint

__all__ = ["Ambient", "Engine", "OperatingPoint"]
