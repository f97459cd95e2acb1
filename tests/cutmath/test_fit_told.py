"""What a fit tells of its errors: tables, words and limits, each number from its closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fit_models import BEND, TUBE, A, R, fitted
from test_fit_up import JOINTS, SAW, H, X, each_joint

from exhaust import HPipe, ParallelX, Saw, Tolerances, Tube, fit_up, show
from exhaust.cutmath.fit import words
from exhaust.cutmath.fit.h_pipe import HFit
from exhaust.cutmath.fit.model import ANGLES, KINDS, LONG, VERTICAL
from exhaust.cutmath.fit.parallel_x import ParallelFit
from exhaust.cutmath.fit.result import Chance, chance_of

SMALL, FIRST = 1e-5, 1e-3
NOTHING = dict.fromkeys(ANGLES, "0 deg") | dict.fromkeys(set(KINDS) - set(ANGLES), "0 mm")

# Tables


@each_joint
def test_each_errors_rate_times_its_tolerance_is_its_gap(joint: ParallelX) -> None:
    """First order, to 5 % at a tolerance; a rate is per degree or per length, never both."""
    answer = fit_up(joint, SAW, samples=16)
    table = answer.each_error()
    assert len(table.rows) == len(answer.effects)
    names = {words: kind for kind, words in KINDS.items()}
    for _, error, shown, gap, step, per_degree, per_length in table.rows:
        kind = names[str(error)]
        size = float(getattr(answer.tolerances, kind))
        assert shown == show.quantity(size, "angle" if kind in ANGLES else "tube")
        degrees, lengths = float(per_degree), float(per_length)
        assert math.isnan(degrees) != math.isnan(lengths)
        assert math.isnan(lengths) == (kind in ANGLES)
        made = degrees * math.degrees(size) if kind in ANGLES else lengths * size
        assert float(gap) == pytest.approx(made, rel=0.05, abs=1e-7)
        assert math.isnan(float(step)) == isinstance(joint, HPipe)


@each_joint
def test_the_rows_and_facts_are_the_answers_own(joint: ParallelX) -> None:
    answer = fit_up(joint, SAW, samples=64)
    for row, seam in zip(answer.rows().rows, answer.seams, strict=True):
        assert row[0] == seam.name
        assert (row[1], row[2]) == seam.gap
        assert seam.gap[0] <= seam.gap[1]
        if seam.step is None:
            assert math.isnan(float(row[3]))
            assert math.isnan(float(row[4]))
        else:
            assert (row[3], row[4]) == seam.step
        assert row[5] == KINDS[seam.most.kind]
        assert row[6] == seam.chance.middle
    facts = {fact.name: fact for fact in answer.facts()}
    assert facts["Gap allowed"].value == pytest.approx(1e-3)
    chances = [facts[f"Chance that every seam is within it{end}"].value for end in ("", ", low")]
    assert chances == [answer.chance.middle, answer.chance.low]
    for end in answer.ends:
        fact = facts[f"Spacing off at {end.name}, faces pulled flat"]
        assert fact.value == end.error[1]
        assert end.most is not None
        assert fact.note.endswith(f"mostly {KINDS[end.most]}")
        assert show.quantity(end.error[0], "tube") in fact.note
    none = fit_up(joint, SAW, Tolerances(**NOTHING), samples=4)
    assert {row[5] for row in none.rows().rows} == {"–"}
    assert all("nothing is off" in fact.note for fact in none.facts() if "Spacing" in fact.name)


def test_a_jig_leaves_what_both_cuts_are_too_deep() -> None:
    """Depths alone, two normal errors added: 95 % of what is not less than nought.

    Nine in ten within 0.5 mm is a deviation of 0.5/1.645; the sum's is sqrt(2) of it.
    """
    only = Tolerances(**(NOTHING | {"depth": "0.5 mm"}))
    held = fit_up(X, SAW, only, samples=4096).held
    generator = np.random.default_rng(5)
    drawn = generator.normal(0, 0.5e-3 / 1.6448536, (400_000, 2)).sum(axis=1)
    assert held == pytest.approx(np.quantile(np.maximum(drawn, 0.0), 0.95), rel=0.05)


def test_cuts_too_shallow_leave_no_gap_in_a_jig() -> None:
    """What one is too deep and the other too shallow takes from it; less than nought is none."""
    for model, names in (
        (HFit(H), ("notch_1", "notch_2")),
        (ParallelFit(X), ("depth_A", "depth_B")),
    ):
        for off, held in (((3e-4, -1e-4), 2e-4), ((-3e-4, 1e-4), 0.0), ((3e-4, 1e-4), 4e-4)):
            found = fitted(model, **dict(zip(names, off, strict=True))).held
            assert found.tolist() == [pytest.approx(held)]


# Chances


def test_a_share_is_inside_its_own_interval_at_both_ends() -> None:
    """Wilson's for none and all of n: 0 to z²/(n + z²), and its mirror."""
    z = 1.959963984540054
    for n in (1, 16, 1000):
        none, every = chance_of(0, n), chance_of(n, n)
        assert (none.low, none.middle) == (0.0, 0.0)
        assert none.high == pytest.approx(z**2 / (n + z**2), rel=1e-12)
        assert (every.middle, every.high) == (1.0, 1.0)
        assert every.low == pytest.approx(1 - none.high, rel=1e-12)
    assert chance_of(1, 1000).low > 0.0
    assert chance_of(999, 1000).high < 1.0


def test_a_way_is_surely_better_where_the_samples_that_differ_leave_no_doubt() -> None:
    """The sign test: of n samples within the gap one way only, half and 1.96 sqrt(n)/2 more."""

    def choice(gained: int, lost: int) -> words.Choice:
        one = np.array([True] * gained + [False] * lost + [True] * 50)
        other = np.array([False] * gained + [True] * lost + [True] * 50)
        return words.Choice(LONG, one, other, True)

    assert choice(60, 40).surely_better  # 20 of 100: 1.96 x 10 = 19.6
    assert not choice(59, 41).surely_better
    assert not choice(40, 60).surely_better
    assert not choice(0, 0).surely_better
    assert choice(4, 0).surely_better  # 4 of 4: 1.96 x 2
    assert not choice(3, 0).surely_better


# Words


@pytest.fixture
def metric() -> object:
    with show.shown_in("metric"):
        yield


def test_the_answer_carries_the_worst_seams_gap_and_the_ends(metric: object) -> None:
    answer = fit_up(X, SAW, samples=256)
    worst = min(answer.seams, key=lambda seam: seam.chance.middle)
    off = max(end.error[1] for end in answer.ends)
    assert f"over it is {worst.name}, typically {1e3 * worst.gap[0]:.2f} mm" in answer.reason
    assert f"most of it from {KINDS[worst.most.kind]}." in answer.reason
    assert f"comes out up to {1e3 * off:.2f} mm off its spacing" in answer.reason
    shares = [f"{100 * each:.0f}" for each in answer.chance]
    assert f"{shares[1]} % ({shares[0]} to {shares[2]} %) of joints" in answer.reason
    assert words.share(Chance(0.014, 0.016, 0.02)) == "2 % (1 to 2 %)"


def test_the_worst_seam_is_the_one_least_often_within_the_gap() -> None:
    for joint in JOINTS.values():
        answer = fit_up(joint, SAW, samples=64)
        worst = words.worst_of(answer.seams)
        assert worst.chance.middle == min(seam.chance.middle for seam in answer.seams)
    none = fit_up(X, SAW, Tolerances(gap="6 mm"), samples=16)  # all within: the wider gap
    assert {seam.chance.middle for seam in none.seams} == {1.0}
    assert words.worst_of(none.seams).gap[1] == max(seam.gap[1] for seam in none.seams)


def test_the_advice_gives_a_degree_of_a_scrap_and_what_a_turn_leaves(metric: object) -> None:
    """63.5 mm times tan 1°; half a degree: wedges over opening and height, doubled, or steps."""
    advice = fit_up(X, SAW, samples=64).advice
    long = 2 * math.sqrt((R + A) ** 2 - (R + 0.4 * A) ** 2)
    tall, half = 2 * math.sqrt(A**2 - (0.4 * A) ** 2), math.tan(math.radians(0.5))
    find, slant, lean = advice[1], advice[2], advice[3]
    assert f"{63.5 * math.tan(math.radians(1)):.2f} mm is a degree" in find
    assert f"no gap of {2e3 * long * half:.2f} mm" in slant
    assert f"doubles, to {2e3 * tall * half:.2f} mm" in slant
    assert f"no gap of {2e3 * tall * half:.2f} mm" in lean
    assert "edges step 1.88 mm at the tips (more than the wall: dress the tips)" in slant
    thick = X.with_(bend=BEND.with_(tube=Tube(od="63.5 mm", wall="2.1 mm")))
    assert "dress the tips" not in fit_up(thick, SAW, samples=4).advice[2]
    h = fit_up(H, SAW, samples=4).advice
    assert f"{50.8 * math.tan(math.radians(1)):.2f} mm is a degree" in h[1]


def test_a_balance_tube_nearly_as_wide_as_its_primary_is_filed_at_its_feathers() -> None:
    """Nine tenths of the primary's radius, offset counted either way (common practice)."""

    def said(od: str, offset: str = "0 mm") -> bool:
        h = HPipe(TUBE, balance_tube=Tube(od=od, wall="1.651 mm"), spacing="250 mm", offset=offset)
        return "feathers" in fit_up(h, SAW, samples=4).advice[-1]

    assert [said("57 mm"), said("57.3 mm")] == [False, True]
    assert [said("50.8 mm", f"{e} mm") for e in (3.1, 3.3, -3.3)] == [False, True, True]


def test_nothing_off_has_no_worst_error_to_mend() -> None:
    """Advice starts with the worst error, where there is one."""
    for joint in (X, H):
        some = fit_up(joint, SAW, samples=16).advice
        none = fit_up(joint, SAW, Tolerances(**NOTHING), samples=4).advice
        assert some[0].startswith("Too wide most often")
        assert not any(words.startswith("Too wide most often") for words in none)
        assert len(none) == len(some) - 1


def test_the_turn_is_told_as_it_was_chosen() -> None:
    asked = fit_up(X, SAW, turned=VERTICAL, samples=64).advice[-1]
    assert asked.startswith("Turned about the vertical as asked")
    leans = Tolerances(**(NOTHING | {"clocking": "3 deg"}))  # a turn changes nothing of these
    assert "cannot be told which way is better" in fit_up(X, SAW, leans, samples=64).advice[-1]
    upright, lying = fit_up(X, SAW, samples=4), fit_up(X, Saw(kerf="1 mm", kind="horizontal"))
    assert "the table is not square to the blade" in upright.advice[1]
    assert "the head does not come down square" in lying.advice[1]


def test_what_was_assumed_names_every_tolerance(metric: object) -> None:
    said = fit_up(H, SAW, samples=32).assumptions
    for text in ("depth 0.50 mm", "blade 0.5°", "clocking 1.0°", "halving 0.5°", "bends 1.0°"):
        assert text in said[0]
    assert "diameters 0.20 mm" in said[0]
    assert "offset 0.50 mm" in said[0]
    assert "bridge 1.00 mm" in said[1]
    assert said[3].startswith("Rigid")
    assert said[-1].startswith("32 samples")
    assert not any(words.startswith("Rigid") for words in fit_up(X, SAW, samples=4).assumptions)
