"""How two sliced legs are brought to their outlet: by the cut, or by stretching."""

from __future__ import annotations

from typing import NamedTuple

from exhaust.geometry.merge import Ring, stretch, zero_stretch_cutback
from exhaust.show import quantity
from exhaust.stock import Tube, material

# Common practice, no source: a swage of more is done in steps, and never past this share of what
# the metal's elongation allows.
MOST_IN_ONE_STEP = 0.15
SHARE_OF_ELONGATION = 0.75
HALF = 0.5


class Forming(NamedTuple):
    """What it takes to bring two legs to one outlet."""

    cutback: float  # that needs no stretch, on the middle of the wall
    stretch_at_half: float  # share that a half cutback must be stretched
    elongation: float  # least of the legs' material, as a share
    ferritic: bool

    @property
    def warned(self) -> bool:
        """Whether the stretch at a half cutback is more than one step takes."""
        return self.stretch_at_half > self.most

    @property
    def most(self) -> float:
        """The most to stretch in one step [-]."""
        return min(MOST_IN_ONE_STEP, SHARE_OF_ELONGATION * self.elongation)

    def words(self) -> str:
        """Return the judgement of a half cutback in a few words."""
        if self.stretch_at_half < 5e-4:
            return "no stretch"
        asked = quantity(self.stretch_at_half, "percent")
        if self.stretch_at_half > SHARE_OF_ELONGATION * self.elongation:
            text = f"{asked} is past what the metal takes: slice at {self.cutback:.3f}"
        elif self.warned:
            step = quantity(self.most, "percent")
            text = f"{asked} is over {step} in one step: slice at {self.cutback:.3f}"
        else:
            text = f"{asked} in one step"
        return f"{text}; ferritic, so less across a weld" if self.ferritic else text


def forming(leg: Tube, outlet: Tube) -> Forming:
    """Return what it takes to bring two legs of one tube to `outlet`.

    >>> small, large = Tube(od="2.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
    >>> ways = forming(small, large)
    >>> round(ways.cutback, 4), ways.words()
    (0.3456, '20.5 % is over 15.0 % in one step: slice at 0.346')
    """
    ring, wanted = Ring(leg.od, leg.wall), Ring(outlet.od, outlet.wall)
    metal = material(leg.material)
    return Forming(
        cutback=zero_stretch_cutback(ring, wanted),
        stretch_at_half=stretch(ring, HALF, wanted),
        elongation=metal.elongation,
        ferritic=metal.ferritic,
    )
