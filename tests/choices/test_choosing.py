import numpy as np
import pytest

from exhaust.bands import Band
from exhaust.choices import Limits
from exhaust.choices.choosing import percent_band, smallest_good_enough, turned
from exhaust.choices.limits import misfits
from exhaust.choices.shelf import by_size, given_tubes, shelf_tubes
from exhaust.errors import ExhaustError
from exhaust.stock import Tube

SHARED = np.linspace(-0.03, 0.03, 101)  # an error that all options have in common


def costs(*middles):
    return np.array([[middle] for middle in middles]) + SHARED


def test_smallest_within_what_is_worth_having():
    standing = smallest_good_enough(costs(0.08, 0.045, 0.039, 0.036), [True] * 4, 0.01)
    assert (standing.best, standing.chosen) == (3, 1)
    words = [one.word for one in standing.verdicts]
    assert words == ["worse", *["not worth deciding on"] * 3]


def test_best_is_sought_among_those_that_fit():
    standing = smallest_good_enough(costs(0.08, 0.06, 0.02), [True, True, False], 0.01)
    assert (standing.best, standing.chosen) == (1, 1)
    assert standing.verdicts[2].word == "better"  # than the best that fits


def test_what_cannot_be_told_goes_to_the_smaller():
    wide = np.vstack([0.05 + SHARED, 0.04 - SHARED])  # errors of their own: they do not cancel
    standing = smallest_good_enough(wide, [True, True], 0.005)
    assert standing.verdicts[0].word == "cannot tell"
    assert standing.chosen == 0


def test_words():
    assert percent_band(Band(0.012, 0.02, 0.031)) == "2.0 % (1.2 to 3.1 %)"
    assert turned(turned(Band(1.0, 2.0, 3.0))) == Band(1.0, 2.0, 3.0)


def test_limits_are_checked_when_made():
    assert Limits().worth_having == 0.01
    assert Limits(largest_back_pressure_gauge="1 psi").largest_back_pressure_gauge == pytest.approx(
        6894.757, abs=1e-3
    )
    with pytest.raises(ExhaustError, match=r"worth_having must be between 0 and 0\.5"):
        Limits(worth_having=1.0)
    with pytest.raises(ExhaustError, match="largest_od must be more than zero"):
        Limits(largest_od="0 in")
    with pytest.raises(ExhaustError, match="largest_od must be a length with a unit"):
        Limits(largest_od=3)
    with pytest.raises(ExhaustError, match=r"largest_back_pressure_gauge takes plain psi"):
        Limits(largest_back_pressure_gauge="2 psig")


def test_a_tube_as_large_as_the_limit_fits():
    limits = Limits(largest_od="76.2 mm")
    assert misfits(Tube(od="3 in", wall="16 ga"), False, 0.0, limits) == []
    assert misfits(Tube(od="3.001 in", wall="16 ga"), False, 0.0, limits)


def test_shelf_has_one_wall_per_od_the_nearest():
    thick = shelf_tubes(Tube(od="3 in", wall="14 ga", material="321"))
    thin = shelf_tubes(Tube(od="3 in", wall="18 ga", material="321"))
    for shelf in (thick, thin):
        assert len({float(one.od) for one in shelf}) == len(shelf)
        assert shelf == sorted(shelf, key=by_size)
        assert {one.material for one in shelf} == {"321"}
    assert {one.wall for one in thick} == {0.065 * 0.0254}
    assert min(one.wall for one in thin) == pytest.approx(0.049 * 0.0254)


def test_given_tubes_are_sorted_and_each_once():
    small, large = Tube(od="2 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
    assert given_tubes((large, small, large), "tubes") == [small, large]
