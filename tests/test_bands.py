"""Joint sampling against distributions whose quantiles are known in closed form."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.bands import Band, Verdict, band_of, contributions, draw, verdict
from exhaust.errors import ExhaustError

Z = 1.6448536269514722  # normal deviate at 95 %, any table


def test_uniform_samples_have_their_quantiles():
    assert band_of(np.linspace(10.0, 20.0, 1001)) == pytest.approx((10.5, 15.0, 19.5))


def test_inputs_keep_their_bands():
    inputs = {"a": Band(8.0, 10.0, 15.0), "b": Band(-1.0, 0.0, 1.0), "c": Band(5.0, 5.0, 5.0)}
    drawn = draw(inputs, samples=1024)
    for name, band in inputs.items():
        # quasi-random quantiles of 1024 samples: within about 1/1024 of probability
        assert band_of(drawn[name]) == pytest.approx(band, abs=0.02 * (1 + band.high - band.low))
    assert np.all(drawn["c"] == 5.0)


def test_a_ratio_stays_above_zero_and_keeps_its_band():
    band = Band(2e-6, 10e-6, 50e-6)
    rough = draw({"rough": band}, ratios=["rough"], samples=1024)["rough"]
    assert np.all(rough > 0)
    assert band_of(rough) == pytest.approx(band, rel=0.02)


def test_difference_of_two_independent_normals():
    """Widths add in squares: sd 3 and 4 make 5, exactly."""
    drawn = draw({"a": Band(100 - 3 * Z, 100, 100 + 3 * Z), "b": Band(90 - 4 * Z, 90, 90 + 4 * Z)})
    band = band_of(drawn["a"] - drawn["b"])
    # 256 joint samples fix the 5 % quantile to about 0.06 sd
    assert band == pytest.approx((10 - 5 * Z, 10, 10 + 5 * Z), abs=0.4)


def test_what_is_shared_cancels_exactly():
    """Two alternatives that differ by a known step and share a large error."""
    shared = draw({"error": Band(-50.0, 0.0, 50.0)})["error"]
    difference = (200.0 + 2 * shared) - (192.0 + 2 * shared)
    assert band_of(difference) == pytest.approx((8.0, 8.0, 8.0), abs=1e-12)
    assert verdict(difference, 5.0).word == "better"
    # the same alternatives, each with an error of its own, cannot be told apart
    own = draw({"one": Band(-50.0, 0.0, 50.0), "two": Band(-50.0, 0.0, 50.0)})
    assert verdict(8.0 + 2 * own["one"] - 2 * own["two"], 5.0).word == "cannot tell"


def test_inputs_are_drawn_independently():
    drawn = draw({"a": Band(-1.0, 0.0, 1.0), "b": Band(-1.0, 0.0, 1.0)}, samples=1024)
    assert abs(np.corrcoef(drawn["a"], drawn["b"])[0, 1]) < 0.02


def test_the_same_seed_draws_the_same_samples():
    inputs = {"a": Band(0.0, 1.0, 2.0)}
    assert np.array_equal(draw(inputs)["a"], draw(inputs)["a"])
    assert not np.array_equal(draw(inputs)["a"], draw(inputs, seed=1)["a"])
    assert draw({}) == {}


def spread_of(*widths):
    """Return joint samples of independent normals with those standard deviations."""
    inputs = {f"x{i}": Band(-w * Z, 0.0, w * Z) for i, w in enumerate(widths)}
    return draw(inputs, samples=1024)


@pytest.mark.parametrize("widths", [(4.0, 3.0), (3.0, 2.0, 6.0), (1.0, 1.0, 1.0, 1.0)])
def test_contributions_to_a_sum_are_the_shares_of_its_variance(widths):
    """var(sum) = sum of variances; a normal's rank correlation is (6/pi) asin(r/2)."""
    inputs = spread_of(*widths)
    found = contributions(inputs, sum(inputs.values()))
    for i, width in enumerate(widths):
        r = width / np.sqrt(np.sum(np.square(widths)))
        exact = (6 / np.pi * np.arcsin(r / 2)) ** 2
        assert found[f"x{i}"] == pytest.approx(exact, abs=0.01)  # 1024 samples
        assert exact == pytest.approx(r**2, abs=0.04)  # ranks or values: nearly one
    assert sum(found.values()) == pytest.approx(1.0, abs=0.1)


def test_contributions_come_largest_first_and_what_does_not_vary_has_none():
    inputs = spread_of(1.0, 5.0)
    inputs["still"] = np.full(1024, 7.0)
    found = contributions(inputs, inputs["x0"] - inputs["x1"])
    assert list(found) == ["x1", "x0", "still"]
    assert found["still"] == 0.0
    # an answer that does not vary is explained by nothing
    assert set(contributions(inputs, np.ones(1024)).values()) == {0.0}


def test_contributions_see_ranks_alone():
    """Any law that rises with the sum has the same shares, however bent."""
    inputs = spread_of(4.0, 3.0)
    total = sum(inputs.values())
    bent = np.exp(total / 3)
    assert contributions(inputs, bent) == pytest.approx(contributions(inputs, total), abs=1e-12)


@pytest.mark.parametrize(
    ("low", "high", "word"),
    [
        (0.012, 0.030, "better"),
        (0.004, 0.030, "better"),  # surely more than nothing, and in the middle worth having
        (-0.030, -0.004, "worse"),
        (0.004, 0.014, "cannot tell"),  # surely more than nothing, perhaps worth having
        (-0.002, 0.030, "cannot tell"),
        (-0.030, 0.030, "cannot tell"),
        (0.002, 0.008, "not worth deciding on"),
        (-0.008, 0.008, "not worth deciding on"),
    ],
)
def test_words_of_a_verdict(low, high, word):
    # uniform samples whose 5 % and 95 % quantiles are low and high
    reach = (high - low) / 18
    result = verdict(np.linspace(low - reach, high + reach, 2001), worth_having=0.01)
    assert isinstance(result, Verdict)
    assert result.word == word
    assert result.difference == pytest.approx((low, (low + high) / 2, high), abs=1e-9)


@given(st.lists(st.floats(-1, 1), min_size=3, max_size=30), st.floats(0, 0.5))
def test_turning_a_difference_round_turns_the_verdict_round(gain, worth):
    turned = {"better": "worse", "worse": "better"}
    word = verdict(gain, worth).word
    assert verdict([-g for g in gain], worth).word == turned.get(word, word)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: band_of([]), "values must be finite samples"),
        (lambda: band_of([1.0, np.nan]), "values must be finite samples"),
        (lambda: verdict([1.0], -0.1), "worth_having must not be less than zero"),
        (lambda: draw({"speed": Band(2.0, 1.0, 3.0)}), "speed must run from low"),
        (lambda: draw({"speed": Band(0.0, 1.0, 3.0)}, ["speed"]), "speed must be more than zero"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ExhaustError, match=words):
        call()
