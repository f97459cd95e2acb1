"""What a wrong cut shows and what to set after it, every number worked by hand; mm and degrees.

A bend kept 43 mm where 44.45 were wanted, legs, holes and balance tubes: circles and triangles.
"""

from __future__ import annotations

import math

import pytest

from exhaust import (
    Bend,
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
    rework,
)
from exhaust.cutmath.rework_result import Rework
from exhaust.show import shown_in

D, A, R = 63.5, 31.75, 95.25
HEEL = R + A
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm", tangent="40 mm")
SAW = Saw(kerf="1.1 mm")
X = ParallelX(BEND, cutback=0.3, spacing="180 mm")
SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="200 mm")
HALF = ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="200 mm")
Y = YMerge(BEND, spacing="200 mm")
H = HPipe(TUBE, balance_tube=Tube(od="50.8 mm", wall="1.651 mm"), spacing="240 mm")
CALIPER, RULE = 0.25, 0.5  # common practice: what a caliper reads, past 150 mm a rule
NEAR = 1e-6


def numbers(found: Rework, *, areas: bool = False) -> dict[str, float]:
    facts = (*found.shown, *found.settings) if not areas else found.facts()
    return {
        fact.name: float(fact.value) * (1.0 if fact.kind in ("ratio", "ratio3") else 1e3)  # type: ignore[arg-type]
        for fact in facts
    }


def told(found: Rework, wanted: dict[str, float], near: float = NEAR) -> None:
    assert numbers(found) == {name: pytest.approx(x, abs=near) for name, x in wanted.items()}


def chord(depth: float) -> float:
    return 2 * math.sqrt(HEEL**2 - (HEEL - depth) ** 2)


def height(depth: float) -> float:
    return 2 * math.sqrt(A**2 - (A - depth) ** 2)


def read_of_kept(kept: float, wanted: float, of: float) -> dict[str, float]:
    """What a kept width shows: one for one."""
    word = "deeper" if kept < wanted else "shallower"
    return {
        "Measured width that is kept": kept,
        "Should have been": wanted,
        "Cutback that it shows": 1 - kept / of,
        "Cutback wanted": 1 - wanted / of,
        f"Cut {word} by": abs(wanted - kept),
        "The reading alone makes": CALIPER,
        "One deeper moves it by": -1.0,
    }


def test_a_bend_cut_too_deep_and_its_mates() -> None:
    found = rework(X, SAW, kept="43 mm")
    kept, depth = 43.0, D - 43.0
    straight = (180 / 2 - (HEEL - depth - R) - 2 * R * (1 - math.sqrt(0.5))) / math.sqrt(0.5)
    told(
        found,
        read_of_kept(kept, 44.45, D)
        | {
            "Mates: more comes off": 1.45,
            "Mates: throat to the blade's far face (kept side)": kept,
            "Mates: stop to the blade's far face (kept side)": depth,
            "Mates: stop to the blade's near face": depth - 1.1,
            "Mates: length of the opening": chord(depth),
            "Mates: height of the opening": height(depth),
            "Straight that keeps the spacing": straight,
        },
    )
    assert found.band == pytest.approx((1 - 43.25 / D, 1 - 42.75 / D))
    assert (found.deeper, found.wanted) == pytest.approx((1.45e-3, 0.3))
    rows = {row[0]: row[1:] for row in found.rows().rows}  # type: ignore[union-attr]
    length = chord(0.3 * D) / 1e3, chord(depth) / 1e3
    assert rows["Opening length of the joint"] == pytest.approx((*length, length[1] - length[0]))
    assert rows["Spacing"] == pytest.approx((0.18, 0.1771, -0.0029))
    assert rows["Gap between the tubes"] == pytest.approx((0.1165, 0.1136, -0.0029))
    assert rows["Outside width"] == pytest.approx((0.2435, 0.2406, -0.0029))
    assert rows["Overall length"][2] == pytest.approx(0.0, abs=1e-12)
    (stands,) = found.warnings
    with shown_in("metric"):
        assert f"{(chord(depth) - chord(0.3 * D)) / 2:.1f} mm at a tip" in stands_off(X, "43 mm")
        (less, _) = rework(X, SAW, kept="44 mm").warnings  # 0.45 mm of metal, under the kerf
    assert "less than the kerf (1.1 mm)" in less
    assert "stand off by" in stands


def stands_off(joint: ParallelX, kept: str) -> str:
    return rework(joint, SAW, kept=kept).warnings[-1]


def test_the_answer_says_what_it_costs() -> None:
    with shown_in("metric"):
        reason = rework(X, SAW, kept="43 mm").reason
        areas = {fact.name: fact for fact in rework(X, SAW, kept="43 mm").facts()}
    assert "cut 1.45 mm too deep (cutback 0.323)" in reason
    assert "comes down by 2.90 mm" in reason
    after = X.with_(cutback=1 - 43 / D, spacing="177.1 mm")
    change = after.narrowest_area / X.narrowest_area - 1
    assert f"changes by {100 * change:.1f} %" in reason
    for name, joint in (("before", X), ("after", after)):
        assert areas[f"Narrowest area, {name}"].value == pytest.approx(joint.narrowest_area)
        share = 100 * joint.narrowest_area / (2 * TUBE.flow_area)
        assert areas[f"Narrowest area, {name}"].note == f"{share:.1f} % of two tubes"
        share = 100 * joint.window_area / TUBE.flow_area
        assert areas[f"Window, {name}"].note == f"{share:.1f} % of one tube"


def test_a_bend_cut_too_shallow_is_cut_on() -> None:
    told(
        rework(X, SAW, kept="45 mm"),
        read_of_kept(45.0, 44.45, D)
        | {
            "More comes off": 0.55,
            "Throat to the blade's far face (kept side)": 44.45,
            "Length of the opening": chord(0.3 * D),
            "Height of the opening": height(0.3 * D),
        },
    )


def test_a_trimmed_x_has_no_straight_to_keep_the_spacing_with() -> None:
    close = ParallelX(BEND, cutback=0.3, spacing="120 mm")
    assert close.trimmed
    assert "Straight that keeps the spacing" not in numbers(rework(close, SAW, kept="43 mm"))


def leg_settings(kept: float, shallower: float, angle: float, length: bool) -> dict[str, float]:
    """Mates of a leg that lost more than it should: off square to the leg, and along its mitre."""
    opening = D / math.cos(angle)
    off = (opening - kept) * math.cos(angle)
    again = (shallower - kept) * math.cos(angle) * (1 / math.tan(angle) + math.tan(angle))
    mates = {
        "Mates: more comes off": shallower - kept,
        "Mates: outer edge to the blade's near face": kept,
        "Mates: run-out, corner to tip": off / math.sin(angle),
        "Mates: height of the opening": height(off),
    }
    name = "Or mitre this leg again, further along by" if length else AGAIN
    return (mates if length else {}) | {name: again}


AGAIN = "Mitre this leg again, further along by"
THETA = math.radians(22.5)


def test_a_leg_cut_too_deep_has_mates_or_is_mitred_again() -> None:
    """Its long cut stays: up the leg the mitre meets it where it is (cot + tan) times less deep."""
    opening = D / math.cos(THETA)
    told(
        rework(SPLAYED, SAW, kept="47 mm"),
        read_of_kept(47.0, 0.7 * opening, opening) | leg_settings(47.0, 0.7 * opening, THETA, True),
    )


def test_legs_of_two_angles_keep_one_width() -> None:
    """Of the entry's mitre opening 0.7; the exit's leg at 30 degrees keeps as much of its own."""
    x = SPLAYED.with_(exit_angle="60 deg", unequal="equal width")
    wanted, own = 0.7 * D / math.cos(THETA), math.radians(30)
    found = rework(x, SAW, kept="43 mm", piece="B")
    opening = D / math.cos(own)
    told(found, read_of_kept(43.0, wanted, opening) | leg_settings(43.0, wanted, own, True))
    assert isinstance(found.after, SplayedX)
    entry, leaving = found.after.entry, found.after.exit
    assert (entry.kept_width, leaving.kept_width) == pytest.approx((43e-3, 43e-3))
    assert found.joint == x


def test_a_leg_of_half_an_x_is_mitred_again_and_shorter() -> None:
    found = rework(HALF, SAW, kept="43 mm", piece="D")
    opening = D / math.cos(THETA)
    told(found, read_of_kept(43.0, 44.45, opening) | leg_settings(43.0, 44.45, THETA, False))
    again = numbers(found)[AGAIN]
    rows = {row[0]: row[3] for row in found.rows().rows}  # type: ignore[union-attr]
    assert rows["Spacing"] * 1e3 == pytest.approx(-2 * again * math.sin(THETA))
    assert rows["Overall length"] * 1e3 == pytest.approx(-again * math.cos(THETA))


@pytest.mark.parametrize("mark", ["A", "B"])
def test_only_the_end_that_was_measured_gets_shorter_legs(mark: str) -> None:
    """The other end's legs are too short to follow the deeper cut; its own are mitred again."""
    lengths = {"A": "leg_length", "B": "exit_leg_length"}
    other = lengths["B" if mark == "A" else "A"]
    x = SPLAYED.with_(exit_angle="50 deg", unequal="plain", exit_leg_length="200 mm")
    x = x.with_(**{other: "56 mm"})
    end = x.entry if mark == "A" else x.exit
    kept, angle = end.kept_width * 1e3 - 5.0, end.angle
    found = rework(x, SAW, kept=f"{kept} mm", piece=mark)
    assert found.verdict == "recut it"
    assert isinstance(found.after, SplayedX)
    again = 5.0 * math.cos(angle) * (1 / math.tan(angle) + math.tan(angle))
    assert numbers(found)[AGAIN] == pytest.approx(again)
    own = lengths[mark]
    assert getattr(found.after, own) * 1e3 == pytest.approx(200.0 - again)
    assert getattr(found.after, other) * 1e3 == pytest.approx(56.0)


def test_deep_bends_of_half_an_x_are_told_with_their_legs() -> None:
    opening, depth = D / math.cos(THETA), D - 43.0
    told(
        rework(HALF, SAW, kept="43 mm", piece="A"),
        read_of_kept(43.0, 44.45, D)
        | {
            "Mates: more comes off": 1.45,
            "Mates: throat to the blade's far face (kept side)": 43.0,
            "Mates: stop to the blade's far face (kept side)": depth,
            "Mates: stop to the blade's near face": depth - 1.1,
            "Mates: length of the opening": chord(depth),
            "Mates: height of the opening": height(depth),
            "Take-off of each leg D, then": opening - 43.0,
            "Kept width of each leg D, then": 43.0,
        },
    )


def test_a_half_bend_is_read_from_its_sawn_face() -> None:
    """The face is half a kerf past the middle: its heel is sqrt(127² - 0.55²) from the axis."""
    start = math.sqrt(HEEL**2 - 0.55**2)

    def shown(opening: float) -> float:
        return start - math.sqrt(HEEL**2 - (opening + 0.55) ** 2)

    found = numbers(rework(Y, SAW, "74 mm"))
    assert found["Cutback that it shows"] * D == pytest.approx(shown(74.0))
    assert found["Cut shallower by"] == pytest.approx(A - shown(74.0))
    doubt = (shown(74.25) - shown(73.75)) / 2
    assert found["The reading alone makes"] == pytest.approx(doubt, rel=1e-9)
    slope = 1e-3 / (shown(74.0005) - shown(73.9995))
    assert found["One deeper moves it by"] == pytest.approx(slope, rel=1e-6)
    wanted = math.sqrt(HEEL**2 - (start - A) ** 2) - 0.55
    assert found["Should have been"] == found["Length of the opening"] == pytest.approx(wanted)
    assert found["Height of the opening"] == pytest.approx(D)
    assert found["Throat to the blade's far face (kept side)"] == pytest.approx(A)


@pytest.mark.parametrize(
    ("spacer", "share", "fits"),
    [(60.0, 0.42, True), (60.0, 0.50, True), (4.0, 0.42, True), (4.0, 0.50, False)],
)
def test_an_opening_is_as_long_as_its_piece_has_metal(
    spacer: float, share: float, fits: bool
) -> None:
    """On bends of 1.0 D the opening leaves the bend at 0.439 D; then the straight takes it.

    Past the end of the bend it runs on by (plane's depth below the end's heel)/sin 45.
    """
    clr = 63.5
    y = YMerge(
        Bend(TUBE, clr=f"{clr} mm", tangent="0 mm"),
        legs="splayed",
        cutback=0.3,
        spacer=f"{spacer} mm",
    )
    heel = clr + A
    runs = max(heel * math.cos(math.pi / 4) - (heel - share * D), 0.0) / math.sin(math.pi / 4)
    assert (runs < spacer) == fits
    found = rework(y, SAW, kept=f"{(1 - share) * D} mm")
    assert ("past the end" in found.reason) == (runs > spacer)
