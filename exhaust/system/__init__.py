"""The exhaust as installed: one graph of runs and places that every solver reads."""

from exhaust.system.checks import GraphError, Wrong
from exhaust.system.exhaust_system import System
from exhaust.system.graph import Graph, Line
from exhaust.system.places import Cone, Inlet, Merge, Part, Place, Sensor
from exhaust.system.run import OPEN_AIR, Run

__all__ = [
    "OPEN_AIR",
    "Cone",
    "Graph",
    "GraphError",
    "Inlet",
    "Line",
    "Merge",
    "Part",
    "Place",
    "Run",
    "Sensor",
    "System",
    "Wrong",
]
