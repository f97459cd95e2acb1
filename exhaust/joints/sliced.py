"""What a joint of bends with the heel sliced off answers about its cut."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from exhaust import units
from exhaust.errors import RuleError, broken
from exhaust.geometry import elbow, elbow_measures
from exhaust.geometry.elbow import SlicedElbow
from exhaust.units import SI

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]

NO_KERF = SI(0.0, "length")


class Sliced:
    """The cut, its opening and its slug; a joint adds `elbow` [geometry].

    `part` is how much of a sliced bend one piece is: the whole, or half of it, sawn in the middle
    of the opening. Lengths along the opening, its seam and the volume of the slug are that part.
    """

    part: float = 1.0

    @property
    def elbow(self) -> SlicedElbow:
        """The sliced bend as `geometry` has it."""
        raise NotImplementedError

    @property
    def cut_depth(self) -> float:
        """Depth of the cut from the heel, cutback times od [m]."""
        return self.elbow.depth

    @property
    def opening_length(self) -> float:
        """Length of the opening in the outer wall, tip to tip [m]: the gauge at the saw."""
        return self.part * elbow.opening_length(self.elbow, self.elbow.radius)

    @property
    def opening_height(self) -> float:
        """Greatest height of the opening in the outer wall [m]."""
        return elbow.opening_height(self.elbow, self.elbow.radius)

    @property
    def bore_opening_length(self) -> float:
        """Length of the opening in the bore [m]."""
        return self.part * elbow.opening_length(self.elbow, self.elbow.bore)

    @property
    def bore_opening_height(self) -> float:
        """Greatest height of the opening in the bore [m]."""
        return elbow.opening_height(self.elbow, self.elbow.bore)

    @property
    def opening_length_per_depth(self) -> float:
        """Growth of the outer opening's length for a cut deeper by one [m/m]."""
        return self.part * elbow.opening_length_per_depth(self.elbow)

    @property
    def cut_half_angle(self) -> float:
        """Bend angle from the middle to a tip of the opening [rad]; past half_angle: run-on."""
        return elbow.tip_angle(self.elbow, self.elbow.radius)

    @property
    def metal_left_angle(self) -> float:
        """Bend angle left between a tip and the bend's end [rad]; below zero: run-on."""
        return self.elbow.half_angle - self.cut_half_angle

    @property
    def metal_left_arc(self) -> float:
        """The same as an arc along the heel [m]; below zero: run-on."""
        return (self.elbow.clr + self.elbow.radius) * self.metal_left_angle

    @property
    def run_on(self) -> float:
        """How far the opening runs along the heel line of each straight end [m]."""
        return elbow.run_on(self.elbow)

    @cached_property
    def opening_seam(self) -> float:
        """Seam of the two sliced bends, once round the outside of the opening [m]."""
        return self.part * elbow_measures.curve_length(self.elbow, self.elbow.radius)

    def slug_length(self, kerf: Length = NO_KERF) -> float:
        """Return the length of the slug when the blade's `kerf` is gone from it [m]."""
        slug = self._slug(kerf)
        return self.part * elbow.opening_length(slug, slug.radius)

    def slug_depth(self, kerf: Length = NO_KERF) -> float:
        """Return the depth of the slug, cut depth less kerf [m]: all kerf is on its side."""
        return self._slug(kerf).depth

    def slug_height(self, kerf: Length = NO_KERF) -> float:
        """Return the greatest height of the slug when the kerf is gone from it [m]."""
        slug = self._slug(kerf)
        return elbow.opening_height(slug, slug.radius)

    def slug_volume(self, kerf: Length = NO_KERF) -> float:
        """Return the volume of metal in one slug when the kerf is gone from it [m^3]."""
        slug = self._slug(kerf)
        outside = elbow_measures.removed_volume(slug, slug.radius)
        return self.part * (outside - elbow_measures.removed_volume(slug, slug.bore))

    def _slug(self, kerf: Length) -> SlicedElbow:
        """Return the bend sliced at the slug's own face, or refuse the kerf."""
        try:
            width = units.length(kerf)
        except RuleError as error:
            raise error.named("kerf") from error
        most = self.elbow.depth - self.elbow.wall
        if not 0.0 <= width < most:
            limit = width.written(most) if isinstance(width, SI) else f"{most:.4g}"
            got = width.written() if isinstance(width, SI) else f"{width:.4g}"
            rule = f"must be between zero and {limit}, what the cut takes of the bore"
            raise broken(rule, got, "measure it on a test cut").named("kerf")
        return elbow.after_kerf(self.elbow, width)
