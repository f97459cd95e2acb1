"""Flat cuts of a balance tube sawn as the sheet tells them: what they clear and what they leave.

The words are read as at the bench: which line lies up or level, which side is deepest, how far
from the sawn end the blade stands on that line. The plane that this makes is laid on the real
notch, found by rays in space.
"""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from h_frames import CLOCK, GRIND, HS, MM, SAMPLED, SAW, SPLAYED, Frame, sheet_of, step

from exhaust import HPipe, Saw, Tube
from exhaust.cutmath.h_pipe_work import SAVED, WORTH, work_on
from exhaust.geometry.saddle_rough import flat_cuts
from exhaust.show import Fact
from exhaust.stock import INCH

HALF_TURN = math.pi
AT = {"exit": 0.0, "entry": HALF_TURN, "top": HALF_TURN / 2}
SAWS = {
    "fine": SAW,
    "low": SAW.with_(largest_angle="30 deg", angle_step="5 deg"),
}
MORE = HS | {
    "wide, up": HPipe(
        Tube(od="63.5 mm", wall="1.651 mm"),
        balance_tube=Tube(od="38 mm", wall="1.5 mm"),
        spacing="200 mm",
        offset="12 mm",
        angle="50 deg",
    ),
    "wide, down, leant back": HPipe(
        Tube(od="63.5 mm", wall="1.651 mm"),
        balance_tube=Tube(od="38 mm", wall="1.5 mm"),
        spacing="200 mm",
        offset="-12 mm",
        angle="125 deg",
    ),
}


def told(facts: tuple[Fact, ...], end: str, side: str) -> dict[str, Fact]:
    """The facts of one cut, by what they say after the colon."""
    starts = [f"{end} end, {side} side: "] if end else [f"{side} side: ", "both sides: "]
    found = {}
    for fact in facts:
        for start in starts:
            if fact.name.lower().startswith(start):
                found[fact.name[len(start) :].lower()] = fact
    return found


def size(fact: Fact) -> float:
    assert isinstance(fact.value, (int, float))
    return float(fact.value)


def plane(cut: dict[str, Fact], side: str, radius: float) -> np.ndarray:
    """How far from the sawn end the blade stands on every line [m]."""
    words = cut["blade from square"].note
    deepest = side if "same both ways" in words else words.split()[3]
    where = cut["sawn end to the blade"].note
    rolled = cut.get("line of the cut, round the tube")
    if rolled is None:
        line = side if "entry side line" in where and "exit" in where else where.split()[2]
        clock = AT[line]
    else:
        way, line = re.match(r"(.+) from the (\w+)", rolled.note).groups()  # type: ignore[union-attr]
        turn = size(rolled) / radius
        sign = {"up": 1, "down": -1, "towards the exit side": -1, "towards the entry side": 1}[way]
        clock = AT[line] + sign * turn * (-1 if line == "entry" else 1)
        assert ("until it is up" in rolled.note) == (line == "top")
    if line == "top":  # it lies up, so the blade leans square to it
        towards = clock + (-HALF_TURN / 2 if deepest == "exit" else HALF_TURN / 2)
    else:
        assert line == deepest
        towards = clock
    angle = size(cut["blade from square"])
    if wedge := cut.get("wedge between fence and tube"):
        angle += size(wedge)
    lean = radius * math.tan(angle)
    depth = size(cut["sawn end to the blade"])
    return np.asarray(depth + lean * (np.cos(CLOCK - towards) - math.cos(clock - towards)))


@pytest.mark.parametrize("saw", SAWS.values(), ids=SAWS)
@pytest.mark.parametrize("name", MORE)
def test_cuts_sawn_as_told_clear_the_edge_and_leave_what_they_say(name: str, saw: Saw) -> None:
    h = MORE[name]
    frame, radius = Frame(h), h.balance_tube.od / 2
    found = [each for each in sheet_of(h, saw).steps if each.title.startswith("Rough")]
    if not found:
        return
    (rough,) = found
    alike = not h.splay
    for number, end in enumerate(("left", "right")[: 1 if alike else 2]):
        sign = 1.0 - 2.0 * number
        met = sign * frame.met(number, CLOCK, radius)
        edge = met - met.min() + GRIND  # from the sawn end
        for side, sine in (("exit", 1.0), ("entry", -1.0)):
            own = sine * np.cos(CLOCK) >= -1e-9
            cut = told(rough.settings, "" if alike else end, side)
            (left,) = told(rough.checks, "" if alike else end, side).values()
            most = edge[own].max()
            if not cut:
                assert left.note == "no flat cut: it would save little"
                assert size(left) == pytest.approx(most, abs=SAMPLED)
                continue
            sawn = np.maximum(plane(cut, side, radius), 0.0)
            assert (edge - sawn).min() == pytest.approx(GRIND, abs=2 * SAMPLED)
            assert size(left) == pytest.approx((edge - sawn)[own].max(), abs=4 * SAMPLED)
            assert most - size(left) > 2 * saw.kerf  # or it was not worth setting up
            inches = float(left.note.removesuffix(" without the flat cut").split()[0])
            assert inches == pytest.approx(most / INCH, abs=6e-4)


def test_a_wedge_is_set_up_where_it_saves_five_millimetres() -> None:
    """Common practice, no source: of each cut by itself, up to 70 degrees from square."""
    seen = set()
    for name, h in MORE.items():
        for saw in SAWS.values():
            for end in work_on(h, saw).ends:
                plain = flat_cuts(
                    end.saddle,
                    [n * saw.angle_step for n in _marks(saw, saw.largest_angle)],
                    end.square,
                    GRIND,
                )
                past = flat_cuts(
                    end.saddle,
                    [n * saw.angle_step for n in _marks(saw, math.radians(70))],
                    end.square,
                    GRIND,
                )
                for cut, one, other in zip(end.cuts, plain, past, strict=True):
                    wedged = one.left - other.left > 5 * MM
                    seen.add(wedged)
                    assert cut.left == pytest.approx(other.left if wedged else one.left), name
    assert seen == {True, False}
    assert (SAVED, WORTH) == (5e-3, 2.0)


def _marks(saw: Saw, most: float) -> range:
    count = math.floor(most / saw.angle_step + 1e-9)
    return range(-count, count + 1)


def test_both_ends_of_a_splayed_h_are_told() -> None:
    names = [fact.name for fact in step(sheet_of(SPLAYED, SAW), "Rough").checks]
    assert [name.split(":")[0] for name in names] == [
        "Left end, exit side",
        "Left end, entry side",
        "Right end, exit side",
        "Right end, entry side",
    ]
