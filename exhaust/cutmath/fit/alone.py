"""Which error does what: one after another by itself, at its tolerance and at its smallest."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from exhaust.cutmath.fit.model import KINDS, WAYS, Fitted, Model, SeamFit, Slips
from exhaust.cutmath.fit.result import Effect, per_unit
from exhaust.cutmath.fit.tolerances import Tolerances
from exhaust.geometry.quadrature import Array

NOTHING = 1e-9  # [m]; what rounding leaves
SMALL = 1e-3  # of a degree or a millimetre: where first order is all there is
_SLICE = (("slice slant", "long slant"), ("slice lean", "long lean"))


class Blade(NamedTuple):
    """What a blade off by its tolerance does to the seam along the joint [m]."""

    slant_gap: float
    slant_step: float
    lean_gap: float
    lean_step: float


class Alone:
    """The errors of one joint, each by itself."""

    def __init__(self, model: Model, limits: Tolerances, way: str) -> None:
        self.model, self.limits, self.way = model, limits, way
        self._sizes = {kind: float(getattr(limits, kind)) for kind in KINDS}
        self._whole = self._each(self._sizes, WAYS[way])

    def _each(self, sizes: Mapping[str, float], sign: int) -> Fitted:
        """Return one sample for each error, that one off by `sizes` of its kind."""
        errors = self.model.errors
        size = np.diag([sizes[error.kind] for error in errors])
        columns = {error.name: size[:, [at]] for at, error in enumerate(errors)}
        base = self.model.fitted(Slips({}, 1), sign)  # a step that is drawn is no error
        found = self.model.fitted(Slips(columns, len(errors)), sign)
        seams = {
            name: SeamFit(seam.gap, _more(seam.step, base.seams[name].step))
            for name, seam in found.seams.items()
        }
        return found._replace(seams=seams)

    def _together(self, values: Array | None, kind: str) -> float | None:
        """Return the errors of one kind added as squares: each piece's is its own."""
        if values is None:
            return None
        of = [error.kind == kind for error in self.model.errors]
        return float(np.sqrt(np.sum(np.square(values[of]))))

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of error that the joint has."""
        have = {error.kind for error in self.model.errors}
        return tuple(kind for kind in KINDS if kind in have)

    def effects(self) -> tuple[Effect, ...]:
        """Return what each kind of error does to each seam, largest gap first."""
        units = {kind: per_unit(kind) for kind in KINDS}
        small = self._each({kind: SMALL * unit for kind, unit in units.items()}, WAYS[self.way])
        found: list[Effect] = []
        for name, seam in self._whole.seams.items():
            slight = small.seams[name]
            alone = []
            for kind in self.kinds:
                sizes = [self._together(of, kind) for of in (seam.gap, seam.step)]
                rates = [self._together(of, kind) for of in (slight.gap, slight.step)]
                gap_rate, step_rate = (None if r is None else r / SMALL for r in rates)
                alone.append(
                    Effect(name, kind, sizes[0] or 0.0, sizes[1], gap_rate or 0.0, step_rate)
                )
            found += sorted(alone, key=lambda one: -one.gap)
        return tuple(found)

    def most_at(self, end: str) -> str | None:
        """Return the kind of error that makes most of the spacing's error at an end, if any."""
        sizes = {kind: self._together(self._whole.ends[end], kind) or 0.0 for kind in self.kinds}
        most = max(sizes, key=sizes.__getitem__)
        return most if sizes[most] > NOTHING else None

    def blade(self, way: str) -> Blade:
        """Return what slant and lean do to the seam along the joint, turned `way`."""
        seam = next(iter(self._each(self._sizes, WAYS[way]).seams.values()))
        found = []
        for ends in _SLICE:
            at = [n for n, error in enumerate(self.model.errors) if error.name.endswith(ends)]
            assert seam.step is not None
            found += [float(values[at].max()) for values in (seam.gap, seam.step)]
        return Blade(*found)


def _more(step: Array | None, drawn: Array | None) -> Array | None:
    return None if step is None or drawn is None else np.abs(step - drawn)
