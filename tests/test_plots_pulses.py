"""Figures and clips of pulses: what is drawn and played is what the results say."""

from __future__ import annotations

import numpy as np
import pytest

from exhaust import (
    Engine,
    OperatingPoint,
    Pulses,
    Run,
    System,
    Tube,
    compare_merges,
    compare_merges_in_pulses,
    compare_sound,
    plots,
    show,
    simulate,
)

SMALL, LARGE = (Tube(od=od, wall="16 ga") for od in ("2 in", "3 in"))
PAIR = System(runs=[Run(name=name, tube=SMALL, length="1 m") for name in "ab"], pipes=2)
TWIN = Engine(displacement="1.2 L", cylinders=2, firing_order=(1, 2), left_bank=(1,))
DUTY = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
COARSE = Pulses(cell="50 mm")


@pytest.fixture(scope="module")
def merges():
    steady = compare_merges(PAIR, TWIN, DUTY, outlets=[LARGE])
    return compare_merges_in_pulses(
        steady, COARSE.with_(speeds=["4000 rpm", "5000 rpm", "6000 rpm"], samples=2)
    )


@pytest.fixture(scope="module")
def sound():
    large = PAIR.with_tube(LARGE)
    pipes = {"small": PAIR, "large": large}
    return compare_sound(
        {name: simulate(TWIN, one, DUTY, pulses=COARSE) for name, one in pipes.items()}
    )


def test_a_figure_of_merges_shows_the_gain_and_its_parts(merges) -> None:
    left, right = plots.merges_in_pulses(merges).figure.axes
    one = merges.options[1]
    parts = [one.gain, one.parted.joint, one.parted.pipe]
    texts = [text.get_text() for text in left.texts]
    assert texts == [show.number(part.difference.middle, "percent") for part in parts]
    assert [label.get_text() for label in left.get_yticklabels()] == [
        LARGE.name, "joint", "pipe after it"]  # fmt: skip
    (line, _) = right.lines
    assert line.get_ydata() == pytest.approx(100 * np.array(one.by_speed))
    assert line.get_xdata() == pytest.approx([4000.0, 5000.0, 6000.0])


def test_a_figure_of_orders_has_a_bar_as_high_as_each_level(sound) -> None:
    picture = plots.orders(sound)
    for axes, one in zip(picture.figure.axes, sound.options, strict=True):
        tops = {round(bar.get_x() + bar.get_width() / 2, 3): bar.get_y() + bar.get_height()
                for bar in axes.patches if bar.get_width() > 0.3}  # fmt: skip
        for order, level in zip(sound.orders, one.apart, strict=True):
            if level > -40.0 and 0 < order <= 16.5:
                assert tops[order] == pytest.approx(level)
    assert picture.svg().startswith("<?xml")


def test_clips_play_each_option_at_one_scale_and_say_what_they_are_not(sound) -> None:
    made = plots.clips(sound, 0.2)
    assert [clip.samples.shape for clip in made] == [(2, 8820)] * 2
    assert max(np.max(np.abs(clip.samples)) for clip in made) == pytest.approx(0.9, rel=0.05)
    for clip, one in zip(made, sound.options, strict=True):
        shown = clip._repr_html_()
        assert "<audio" in shown
        assert "no noise measurement" in shown
        assert one.name in clip.caption
