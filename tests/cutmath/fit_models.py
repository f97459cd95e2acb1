"""One sample of a joint's fit, its errors by name."""

from __future__ import annotations

import math

import numpy as np

from exhaust import Bend, Tube
from exhaust.cutmath.fit.model import LONG, WAYS, Fitted, Model, Slips

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm", tangent="30 mm")
A, R = 0.03175, 0.09525
GAP, STEP, NOTHING = 2e-3, 1e-2, 2e-6  # relative, relative, [m]
TENTHS = math.radians(0.4)


def arrays(off: dict[str, float]) -> Slips:
    return Slips({name.replace("_", " "): np.array([[x]]) for name, x in off.items()}, 1)


def fitted(model: Model, turned: str = LONG, **off: float) -> Fitted:
    assert {name.replace("_", " ") for name in off} <= {error.name for error in model.errors}
    return model.fitted(arrays(off), WAYS[turned])


def gap_of(found: Fitted, seam: str) -> float:
    return float(found.seams[seam].gap[0])


def step_of(found: Fitted, seam: str) -> float:
    step = found.seams[seam].step
    assert step is not None
    return float(step[0])
