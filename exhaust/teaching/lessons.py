"""Every exercise by its name, lesson by lesson."""

from __future__ import annotations

from functools import lru_cache

from exhaust.errors import ExhaustError, nearest
from exhaust.teaching import at_the_saw, balance, cutbacks, gas_flow, mitres, one_pulse, take_offs
from exhaust.teaching.exercise import Exercise

LESSONS = {
    "1-gas-flow": (
        gas_flow.air_breathed,
        gas_flow.grown_hot,
        gas_flow.gas_speed,
        gas_flow.absolute_pressure,
        gas_flow.mixed_gas,
    ),
    "2-cutback": (
        cutbacks.cut_depth,
        cutbacks.narrowest_share,
        cutbacks.window_as_wide_as_the_tube,
        cutbacks.length_of_the_opening,
        cutbacks.deepest_cut,
    ),
    "3-mitre": (
        mitres.dial_angle,
        mitres.mitre_opening,
        mitres.a_third_of_the_opening,
        mitres.share_really_cut,
        mitres.area_across_the_flow,
    ),
    "4-take-off": (
        take_offs.halved_opening,
        take_offs.take_off_of_a_leg,
        take_offs.share_of_its_opening,
        take_offs.take_off_as_measured,
    ),
    "5-one-pulse": (
        one_pulse.time_between_pulses,
        one_pulse.closest_pulses,
        one_pulse.valve_open,
        one_pulse.pulses_at_once,
        one_pulse.cylinders_for_one_pipe,
    ),
    "6-balance-tube": (
        balance.area_of_the_balance_tube,
        balance.hole_in_the_pipe,
        balance.depth_of_the_notch,
        balance.blank_of_the_balance_tube,
        balance.crank_while_a_wave_crosses,
    ),
    "7-at-the-saw": (
        at_the_saw.depth_of_the_slug,
        at_the_saw.kerf_on_the_kept_side,
        at_the_saw.length_of_a_half_bend,
        at_the_saw.a_degree_on_every_bend,
        at_the_saw.roll_in_the_saw,
        at_the_saw.slant_of_the_blade,
    ),
}

_MAKERS = {
    maker.__name__.replace("_", " "): maker for makers in LESSONS.values() for maker in makers
}


def names() -> tuple[str, ...]:
    """Return the names of all exercises, lesson by lesson.

    >>> "cut depth" in names()
    True
    """
    return tuple(_MAKERS)


@lru_cache(maxsize=64)
def exercise(name: str) -> Exercise:
    """Return the exercise `name`, worked out when first asked for, or refuse it with the nearest.

    >>> exercise("cut depth").kind
    'cut'
    """
    if name not in _MAKERS:
        raise ExhaustError(f"there is no exercise {name!r}; {nearest(str(name), _MAKERS)}")
    return _MAKERS[name]()
