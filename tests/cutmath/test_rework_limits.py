"""Holes and balance tubes of wrong sizes, and the limits of what is mended, by hand; mm."""

from __future__ import annotations

import math

import pytest
from test_rework_by_hand import (
    BEND,
    CALIPER,
    HALF,
    RULE,
    SAW,
    SPLAYED,
    THETA,
    TUBE,
    A,
    D,
    H,
    X,
    numbers,
    told,
)

from exhaust import Bend, ParallelX, YMerge, rework
from exhaust.show import shown_in

# Holes and balance tubes: bore 47.498, outside 50.8, 240 between the primaries' axes


def hole(size: float, more: dict[str, float]) -> dict[str, float]:
    return {
        "Measured length of the hole": size,
        "Should have been": 47.498,
        "Covered by the balance tube": 50.8,
        "The reading alone makes": CALIPER,
    } | more


def test_holes_of_every_size() -> None:
    for size, verdict, more in (
        (47.7, "leave it", {}),
        (47.3, "leave it", {}),
        (46.0, "recut it", {"Open it out, each end": (47.498 - 46.0) / 2}),
        (48.5, "leave it", {"Edge left on the primary, each end": (50.8 - 48.5) / 2}),
        (49.1, "leave it", {"Edge left on the primary, each end": (50.8 - 49.1) / 2}),
        (49.2, "scrap it", {}),  # less than half of the wall's foot, 1.651 / 2
    ):
        found = rework(H, SAW, f"{size} mm")
        assert found.verdict == verdict, size
        told(found, hole(size, more))
        assert found.deeper * 1e3 == pytest.approx(size - 47.498)
        assert (found.cutback, found.wanted) == pytest.approx((size / 47.498, 1.0))
        assert found.band == pytest.approx(((size - 0.25) / 47.498, (size + 0.25) / 47.498))
        assert (found.after is None) == (verdict == "scrap it")
    with shown_in("metric"):
        reason = rework(H, SAW, "50 mm").reason
    assert "the hole is 2.50 mm too long" in reason
    assert "has 0.40 mm to stand on" in reason
    assert f"{50.0 + 1.651:.2f} mm outside or more" in reason  # half a wall each end
    skew = rework(H.with_(angle="60 deg"), SAW, "57.5 mm")
    covered = 50.8 / math.sin(math.radians(60))
    assert numbers(skew)["Covered by the balance tube"] == pytest.approx(covered, abs=1e-3)


def test_balance_tubes_of_every_length() -> None:
    """Square: 240 - 2 x 31.75 on its shortest line; skew by 70 degrees 1/sin of the spacing."""

    def tube(size: float, wanted: float, more: dict[str, float]) -> dict[str, float]:
        return {
            "Measured shortest line, saddle to saddle": size,
            "Should have been": wanted,
            "The reading alone makes": RULE if size > 150 else CALIPER,
        } | more

    for size, verdict, more in (
        (176.9, "leave it", {}),
        (176.1, "leave it", {}),
        (180.0, "recut it", {"Grind off one notch, all round, along the tube": 3.5}),
        (170.0, "recut the mates", {"Spacing that it fits": 233.5}),
    ):
        found = rework(H, SAW, kept=f"{size} mm")
        assert found.verdict == verdict, size
        told(found, tube(size, 176.5, more))
        assert found.deeper * 1e3 == pytest.approx(176.5 - size)
    sine = math.sin(math.radians(70))
    wanted = (240 - 2 * A) / sine
    skew = rework(H.with_(angle="70 deg"), SAW, kept="170 mm")
    nearer = 240 - (wanted - 170) * sine
    told(skew, tube(170.0, wanted, {"Spacing that it fits": nearer}))
    with shown_in("metric"):
        said = rework(H.with_(angle="70 deg"), SAW, kept="170 mm").reason
        short = rework(H, SAW, kept="10 mm").reason
    assert f"is {wanted - 170:.2f} mm too short" in said
    assert f"{240 - nearer:.2f} mm nearer" in said
    assert "10.0 mm of it is too little" in short
    already = H.with_(spacing="80 mm")  # 16.5 mm, too short for a torch as it was drawn
    torch = rework(already, SAW, kept="14 mm")
    assert torch.verdict == "recut the mates"


# What is left past the tip: 12 mm to clamp and to weld (common practice, no source)


@pytest.mark.parametrize(("more", "verdict"), [(0.1, "recut the mates"), (-0.1, "scrap it")])
def test_legs_want_twelve_millimetres_past_the_tip(more: float, verdict: str) -> None:
    off = (D / math.cos(THETA) - 43.0) * math.cos(THETA)
    past = off * (math.tan(THETA) + 1 / math.tan(THETA)) - A * math.tan(THETA)
    short = SPLAYED.with_(leg_length=f"{past + 12.0 + more} mm")
    found = rework(short, SAW, kept="43 mm")
    assert found.verdict == verdict
    with shown_in("metric"):
        reason = rework(short, SAW, kept="43 mm").reason
    assert ("only 11.9 mm of round tube is left past its tip" in reason) == (more < 0)


@pytest.mark.parametrize(("more", "verdict"), [(0.1, "recut the mates"), (-0.1, "scrap it")])
def test_half_bends_want_it_too_their_straight_with_them(more: float, verdict: str) -> None:
    """A bend of 1.0 D, cut deeper than it turns: the opening runs onto the straight."""
    clr, heel = 63.5, 63.5 + A
    depth = D - 34.0
    past = (heel * math.cos(math.pi / 4) - (heel - depth)) / math.sin(math.pi / 4)
    assert past > 0.0
    y = YMerge(
        Bend(TUBE, clr=f"{clr} mm", tangent="0 mm"),
        legs="splayed",
        cutback=0.3,
        spacer=f"{past + 12.0 + more} mm",
    )
    assert rework(y, SAW, kept="34 mm").verdict == verdict


@pytest.mark.parametrize(("more", "verdict"), [(0.1, "recut the mates"), (-0.1, "scrap it")])
def test_the_legs_of_half_an_x_are_long_enough_for_its_deeper_bends(
    more: float, verdict: str
) -> None:
    off = (D / math.cos(THETA) - 43.0) * math.cos(THETA)
    past = off * (math.tan(THETA) + 1 / math.tan(THETA)) - A * math.tan(THETA)
    short = HALF.with_(leg_length=f"{past + 12.0 + more} mm", spacer="40 mm")
    assert rework(short, SAW, kept="43 mm", piece="A").verdict == verdict


@pytest.mark.parametrize(("more", "again"), [(0.1, True), (-0.1, False)])
def test_a_leg_is_mitred_again_if_it_keeps_twelve_millimetres(more: float, again: bool) -> None:
    """Shorter by what the mitre moves up, as long as its own tip wants and twelve more."""
    up = (44.45 - 43.0) * math.cos(THETA) * (1 / math.tan(THETA) + math.tan(THETA))
    off = (D / math.cos(THETA) - 44.45) * math.cos(THETA)
    least = off * (math.tan(THETA) + 1 / math.tan(THETA)) - A * math.tan(THETA)
    x = HALF.with_(leg_length=f"{least + 12.0 + up + more} mm")
    found = rework(x, SAW, kept="43 mm", piece="D")
    assert found.verdict == ("recut it" if again else "scrap it")


def test_past_the_middle_less_than_half_a_tube_is_left() -> None:
    """A bend cut past half of its diameter is scrap, unless that is what was wanted."""
    wide = ParallelX(BEND, cutback=0.45, spacer="60 mm")
    inside, past = (rework(wide, SAW, kept=f"{D * share} mm") for share in (0.505, 0.495))
    assert inside.verdict == "recut the mates"
    assert "less than half a tube" in past.reason
    deep = ParallelX(BEND, cutback=0.52, spacer="60 mm")
    assert rework(deep, SAW, kept=f"{D * 0.47} mm").verdict == "recut the mates"
    for kept, words in (("1.7 mm", "less than half a tube"), ("1.6 mm", "nothing of the tube")):
        assert words in rework(X, SAW, kept=kept).reason  # a wall of 1.651 mm


def test_what_is_left_behind_a_tip_counts_with_the_straight() -> None:
    """1.0 D at 0.3: 95.25 (45° - acos(76.2/95.25)) of bend and 10 of straight are enough; at 0.45

    the opening runs (95.25 cos 45 - 66.675)/sin 45 onto the straight, and 9 mm are left of it.
    """
    y = YMerge(
        Bend(TUBE, clr="63.5 mm", tangent="0 mm"), legs="splayed", cutback=0.3, spacer="10 mm"
    )
    runs = (95.25 * math.sqrt(0.5) - (95.25 - 0.45 * D)) / math.sqrt(0.5)
    with shown_in("metric"):
        found = rework(y, SAW, kept=f"{0.55 * D} mm")
    assert found.verdict == "scrap it"
    assert f"only {10 - runs:.1f} mm of round tube is left past its tip" in found.reason
    assert rework(y, SAW, kept=f"{0.6 * D} mm").verdict == "recut the mates"
