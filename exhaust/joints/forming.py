"""What stretching takes: how far an outline can be swaged, by the metal it is made of."""

from __future__ import annotations

from typing import NamedTuple

from exhaust.geometry.merge import Ring
from exhaust.show import quantity
from exhaust.stock import Tube, material

# Common practice, no source: a swage of more is done in steps, and never past this share of what
# the metal's elongation allows.
MOST_IN_ONE_STEP = 0.15
SHARE_OF_ELONGATION = 0.75
FITS = 5e-4  # a share of outline that no shop can measure


class Stretching(NamedTuple):
    """How far an outline must be stretched, and what its metal takes.

    >>> stretching(0.2, Tube(od="3 in", wall="16 ga")).words(0.346)
    '20.0 % is over 15.0 % in one step: slice at 0.346'
    """

    share: float  # that the outline must grow; below zero: it is too long
    grade: str  # the material
    elongation: float  # its least, as a share
    ferritic: bool

    @property
    def most(self) -> float:
        """The most that the metal is stretched at all [-]."""
        return SHARE_OF_ELONGATION * self.elongation

    @property
    def in_one_step(self) -> float:
        """The most to stretch in one step [-]."""
        return min(MOST_IN_ONE_STEP, self.most)

    @property
    def past_the_metal(self) -> bool:
        """Whether it is more than the metal takes, in however many steps."""
        return self.share > self.most

    @property
    def warned(self) -> bool:
        """Whether it is more than one step takes."""
        return self.share > self.in_one_step

    def words(self, fitting: float) -> str:
        """Return the judgement in a few words; `fitting` is the cutback that needs no stretch."""
        if self.share < -FITS:
            return (
                f"{quantity(-self.share, 'percent')} too long: gather it or slice at {fitting:.3f}"
            )
        if self.share < FITS:
            return "no stretch"
        asked = quantity(self.share, "percent")
        if self.past_the_metal:
            text = f"{asked} is past what the metal takes: slice at {fitting:.3f}"
        elif self.warned:
            step = quantity(self.in_one_step, "percent")
            text = f"{asked} is over {step} in one step: slice at {fitting:.3f}"
        else:
            text = f"{asked} in one step"
        return f"{text}; ferritic, so less across a weld" if self.ferritic else text


def stretching(share: float, tube: Tube) -> Stretching:
    """Return what it takes to stretch an outline made of `tube` by `share`.

    >>> stretching(0.2, Tube(od="3 in", wall="16 ga", material="409")).past_the_metal
    True
    """
    metal = material(tube.material)
    return Stretching(share, tube.material, metal.elongation, metal.ferritic)


def ring(tube: Tube) -> Ring:
    """Return a tube's section as `geometry` has it.

    >>> round(ring(Tube(od="3 in", wall="16 ga")).middle * 1e3, 2)
    37.27
    """
    return Ring(float(tube.od), float(tube.wall))
