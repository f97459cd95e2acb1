"""Laws of convection: Gnielinski, Churchill with Chu and Bernstein, as the ht library has them.

Worked examples and hand calculations of the same laws lie in data/published. Depcik and Assanis
(2002) give the exhaust's own law.
"""

import math

import numpy as np
import pytest

from exhaust.flow.heat import FAR, NEAR, forced_nusselt, free_nusselt, pipe_nusselt
from exhaust.published import values


@pytest.mark.parametrize(
    ("reynolds", "prandtl"), [(1e4, 0.735), (3e4, 0.735), (1e5, 0.7), (2e5, 0.72)]
)
def test_against_the_ht_library(reynolds, prandtl):
    """The package writes these formulas out, as ht takes one number at a time."""
    from ht import Nu_cylinder_Churchill_Bernstein, Nu_horizontal_cylinder_Churchill_Chu
    from ht.conv_internal import turbulent_Gnielinski

    f = (0.790 * math.log(reynolds) - 1.64) ** -2
    cases = [
        (pipe_nusselt(reynolds, prandtl, np.inf), turbulent_Gnielinski(reynolds, prandtl, f)),
        (forced_nusselt(reynolds, prandtl), Nu_cylinder_Churchill_Bernstein(reynolds, prandtl)),
        (
            free_nusselt(reynolds * 100, prandtl),
            Nu_horizontal_cylinder_Churchill_Chu(prandtl, reynolds * 100 / prandtl),
        ),
    ]
    for ours, theirs in cases:  # the same formula: rounding alone
        assert float(ours) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("law", values("depcik"), ids=repr)
def test_augmentation_spans_the_published_exhaust_law_over_a_steady_pipe(law):
    """Depcik and Assanis: Nu = 0.07 Re^0.75 for the whole manifold."""
    ratio = law.number / float(pipe_nusselt(**law.inputs, diameters=np.inf))
    assert law.number == pytest.approx(0.07 * law.inputs["reynolds"] ** 0.75, abs=0.005)
    assert NEAR.low < ratio < NEAR.high
    assert FAR.high < ratio
