"""Readings beside what they should be, what moves at the saw, what to mind: by hand, in mm.

Nominal sizes from circles and triangles; tolerances as the tables' own standards have them.
"""

from __future__ import annotations

import math

import pytest
from test_as_measured import HALF, SAW, SPLAYED, UNEQUAL, H, X, Y

from exhaust import Measured, Saw, as_measured
from exhaust.cutmath.as_measured_result import AsMeasured, Change, Reading
from exhaust.joints import Joint
from exhaust.show import shown_in

D, A, R = 63.5, 31.75, 95.25
HEEL, QUARTER = R + A, math.pi / 4
EDGE = 0.25  # common practice: what a caliper reads of a sawn edge
D3 = 0.0075  # EN ISO 1127, class D3: 0.75 % of the diameter
HALF_DEGREE = math.radians(0.5)
OPENING = D / math.cos(math.radians(22.5))


def found(joint: Joint, **given: str) -> AsMeasured:
    return as_measured(joint, SAW, Measured(**given))


def test_every_reading_stands_beside_its_nominal_value_and_tolerance() -> None:
    answer = found(
        X,
        od_heel_to_throat="63.1 mm",
        od_side_to_side="64 mm",
        wall="1.6 mm",
        heel_wall="1.2 mm",
        bend_angle="91 deg",
        return_angle="90.3 deg",
        tangent="39 mm",
        return_tangent="41 mm",
        opening_length="135 mm",
        opening_height="57 mm",
        kerf="1.3 mm",
    )
    chord = 2 * math.sqrt(HEEL**2 - (HEEL - 0.3 * D) ** 2)
    high = 2 * math.sqrt(A**2 - (0.4 * A) ** 2)
    right, off = math.degrees(math.pi / 2), 0.5
    thinned = 1.6 * R / (R + 63.1 / 2)  # of the tube as measured
    wanted = [
        ("Outside diameter, heel to throat", "tube", 63.1, D, D3 * D, True),
        ("Outside diameter, side to side", "tube", 64.0, D, D3 * D, False),
        ("Mean of the two", "tube", 63.55, D, None, None),
        ("Ovality", "tube", 0.9, 0.0, 1.651 / 2, False),
        ("Wall", "tube", 1.6, 1.651, 0.2, True),
        ("Kerf on a test cut", "saw", 1.3, 1.1, None, None),
        ("Wall at the heel", "A", 1.2, thinned, None, False),
        ("Angle of the bend", "A", 91.0, right, off, False),
        ("Angle of the return's bend", "B", 90.3, right, off, True),
        ("Straight end", "A", 39.0, 40.0, None, None),
        ("Straight end of the return's bend", "B", 41.0, 40.0, None, None),
        ("Length of the opening", "A", 135.0, chord, EDGE, False),
        ("Height of the opening", "A", 57.0, high, EDGE, False),
    ]
    assert [one.name for one in answer.readings] == [name for name, *_ in wanted]
    for one, (name, piece, size, nominal, tolerance, within) in zip(
        answer.readings, wanted, strict=True
    ):
        unit = math.degrees(1.0) if one.kind == "angle" else 1e3
        assert (one.piece, one.within) == (piece, within), name
        assert one.measured * unit == pytest.approx(size), name
        assert one.nominal * unit == pytest.approx(nominal, abs=1e-9), name
        assert one.difference * unit == pytest.approx(size - nominal, abs=1e-9), name
        if tolerance is None:
            assert one.tolerance is None
        else:
            assert one.tolerance is not None
            assert one.tolerance * unit == pytest.approx(tolerance, rel=1e-9), name
    out = "outside diameter, side to side, ovality, wall at the heel, angle of the bend, length of"
    assert answer.reason.startswith(f"Out of tolerance: {out} the opening, height of the opening.")
    rows = {row[0]: row for row in answer.rows().texts("metric")}
    assert rows["Ovality"] == ["Ovality", "tube", "0.90", "0.00", "0.90", "0.83", "no"]
    assert rows["Wall at the heel"][5:] == ["at least", "no"]
    assert rows["Angle of the bend"][2:] == ["91.0°", "90.0°", "1.0°", "0.5°", "no"]
    assert rows["Straight end"][5:] == ["–", "–"]
    assert rows["Wall"][6] == "yes"


def test_readings_of_legs_and_halves_name_their_pieces() -> None:
    splayed = found(
        SPLAYED, mitre_opening="69 mm", exit_mitre_opening="68.5 mm", opening_length="50 mm"
    )
    told = {one.name: (one.piece, round(one.nominal * 1e3, 6)) for one in splayed.readings}
    run_out = 0.3 * D / math.sin(math.radians(22.5))
    assert told == {
        "Run-out, corner to tip": ("A", pytest.approx(run_out, abs=1e-6)),
        "Mitre opening": ("A", pytest.approx(OPENING, abs=1e-6)),
        "Mitre opening of the exit": ("B", pytest.approx(OPENING, abs=1e-6)),
    }
    half = found(HALF, mitre_opening="69 mm", halved_opening="88 mm")
    told = {one.name: (one.piece, round(one.nominal * 1e3, 6)) for one in half.readings}
    assert told["Mitre opening"] == ("D", pytest.approx(OPENING, abs=1e-6))
    assert told["Halved opening"] == ("A", pytest.approx(1.4 * D))


def test_a_reading_is_within_at_its_very_tolerance() -> None:
    """A reading at the limit of what is allowed is good; of a least value, at it and above."""
    one = Reading("Wall", "tube", 1.5e-3, 1.7e-3, tolerance=0.2e-3)
    assert one.within is True
    assert one._replace(measured=1.9e-3).within is True
    assert one._replace(measured=1.91e-3).within is False
    assert one._replace(tolerance=None).within is None
    least = Reading("Wall at the heel", "A", 1.2e-3, 1.2e-3, least=True)
    assert least.within is True
    assert least._replace(measured=1.19e-3).within is False


# What moves


def moved(answer: AsMeasured) -> dict[tuple[str, str, str], tuple[float, float]]:
    return {
        (one.step, one.parts, one.name): (one.before * 1e3, one.after * 1e3)
        for one in answer.changes
    }


def test_settings_that_move_are_told_by_step_and_pieces() -> None:
    """A bend of 89 instead of 90 degrees, opening 83 mm: a half bend from its sawn face."""
    answer = found(Y, bend_angle="89 deg", opening_length="83 mm")
    half = math.radians(44.5)
    start = math.sqrt(HEEL**2 - 0.55**2)
    depth = start - math.sqrt(HEEL**2 - 83.55**2)
    heel, throat = (HEEL * QUARTER + 40, HEEL * half + 40), ((R - A) * QUARTER + 40,)
    throat += ((R - A) * half + 40,)
    told = moved(answer)
    assert told["Measure and mark", "A B", "Heel, end to middle"] == pytest.approx(heel)
    for step, piece in (("Halve the bend and check the angle", "A"), ("Halve the returns", "B")):
        assert told[step, piece, "Heel, end to the middle of the blade"] == pytest.approx(heel)
        assert told[step, piece, "Throat, end to the middle of the blade"] == pytest.approx(throat)
    slicing = "Slice the heel", "A"
    far = told[(*slicing, "Stop to the blade's far face (kept side)")]
    assert far == pytest.approx((A, depth))
    assert told[(*slicing, "Stop to the blade's near face")] == pytest.approx(
        (A - 1.1, depth - 1.1)
    )
    assert told[(*slicing, "Straight to the blade")] == pytest.approx((QUARTER * 1e3, half * 1e3))
    assert len(told) == 9
    assert len(answer.facts()) == 8  # the rest is in `changes`
    sizes = [abs(one.moved) * (D / 1e3 if one.kind == "angle" else 1.0) for one in answer.changes]
    assert sizes == sorted(sizes, reverse=True)
    assert "One step more than on the sheet as described: Form the outline" in answer.warnings[-1]


def test_a_step_that_goes_is_told() -> None:
    """Straight ends of 30.5 mm are what the straight and half a kerf take: none to shorten."""
    longer = X.with_(bend=X.bend.with_(tangent="30.5 mm"), spacer="29 mm")
    assert "Shorten the straight ends" in [s.title for s in found(longer).sheet.steps]
    answer = found(longer, tangent="29.55 mm")
    (gone,) = (line for line in answer.warnings if "step less" in line)
    assert gone == "One step less than on the sheet as described: Shorten the straight ends"


def test_a_setting_that_moves_less_than_is_shown_is_none() -> None:
    """Half of a ten-thousandth of an inch is not seen; a hundredth of a millimetre is half of it.

    The kerf is in the near face alone: 0.012 mm of it are not told, 0.014 mm are.
    """
    slight, seen = (found(X, kerf=f"{1.1 + more} mm") for more in (0.012, 0.014))
    near = [one for one in slight.changes if one.name == "Stop to the blade's near face"]
    assert near == []
    assert any(one.name == "Stop to the blade's near face" for one in seen.changes)
    turned = found(UNEQUAL, mitre_opening=f"{D / math.cos(math.radians(29.15)):.6f} mm")
    assert [one.name for one in turned.changes if one.kind == "angle"] == [
        "Blade from square, on the dial"
    ]


def test_changes_are_written_with_their_sign() -> None:
    with shown_in("metric"):
        facts = {fact.name: fact.note for fact in found(X, kerf="1.3 mm").facts()}
        back = {fact.name: fact.note for fact in found(X, kerf="0.9 mm").facts()}
        reason = found(X, kerf="1.3 mm").reason
    name = "Slice the heel (A): Stop to the blade's near face"
    assert facts[name] == "was 17.9 mm, -0.2 mm"
    assert back[name] == "was 17.9 mm, +0.2 mm"
    assert "settings move; the most is slice the heel, stop to the blade's near face" in reason
    assert Change("s", "A", "n", 1.0, 3.0, "cut").moved == 2.0


# What to mind


def test_warnings_start_past_what_a_shop_lives_with() -> None:
    """Half of the wall out of round; a twentieth of a degree; bends of one rack alike."""

    def words(joint: Joint = X, **given: str) -> str:
        with shown_in("metric"):
            return " ".join(found(joint, **given).warnings)

    side = {"od_side_to_side": "63.5 mm"}
    assert "out of round" not in words(od_heel_to_throat="62.68 mm", **side)  # 0.82 of 0.8255
    assert "0.83 mm out of round" in words(od_heel_to_throat="62.67 mm", **side)
    assert "halves into" not in words(bend_angle="90.04 deg")
    assert "halves into two of 45.0°" in words(bend_angle="90.06 deg")
    assert "halves into two of 45.5°" in words(return_angle="91 deg")
    assert "trim the" not in words(bend_angle="90.001 deg", return_angle="90 deg")
    assert "trim the returns' bends to 90.0°" in words(bend_angle="90 deg", return_angle="90.1 deg")
    assert words(bend_angle="90 deg") == ""
    length, high = X.opening_length * 1e3, X.opening_height * 1e3
    at = {"opening_length": f"{length!r} mm"}
    assert "believed" not in words(**at, opening_height=f"{high + 0.24!r} mm")
    assert "believed" in words(**at, opening_height=f"{high + 0.26!r} mm")
    assert f"where its length asks for {high:.2f} mm" in words(**at, opening_height="57 mm")
    for more, said in ((0.24, False), (0.26, True)):
        given = {
            "mitre_opening": f"{OPENING!r} mm",
            "exit_mitre_opening": f"{OPENING + more!r} mm",
        }
        assert ("legs are of two angles" in words(SPLAYED, **given)) is said
        plain = UNEQUAL.with_(unequal="plain")  # they are of two angles as drawn
        assert "legs are of two angles" not in words(plain, **given)


def test_a_cutback_that_is_shown_is_told() -> None:
    with shown_in("metric"):
        x = found(X, opening_length="135 mm").warnings
        legs = found(SPLAYED, opening_length="51 mm")
    assert "shows a cutback of 0.306 instead of 0.300: straights" in x[0]
    share = 51 * math.sin(math.radians(22.5)) / D
    assert (
        f"shows a cutback of {share:.3f} instead of 0.300: the exits come out" in legs.warnings[0]
    )
    assert f"{legs.joint.spacing * 1e3:.1f} mm apart" in legs.warnings[0]
    assert found(H, kerf="2 mm").warnings == ()


def test_what_is_sawn_is_not_sawn_again_but_matched() -> None:
    """Legs alike and one measured: none is left to mitre. A bend measured: its mates are left."""
    titles = [step.title for step in found(SPLAYED, mitre_opening="69 mm").sheet.steps]
    assert titles == ["The long cut", "Fit and tack", "Weld"]
    for given in ({"opening_length": "50 mm"}, {"opening_height": "58.5 mm"}):
        (cut,) = (s for s in found(SPLAYED, **given).sheet.steps if s.title == "The long cut")
        assert cut.words.startswith("One is sawn and was measured")
    half = found(HALF, opening_length="134 mm").sheet.steps
    told = {step.title: step.words.startswith("One is sawn") for step in half}
    assert (told["Slice the heel"], told["The long cut"]) == (True, False)
    wide = as_measured(X, Saw(kerf="1.1 mm"), Measured(kerf="1.4 mm")).saw
    assert wide.kerf == pytest.approx(1.4e-3)


def test_what_stands_for_a_reading_is_told_where_it_was_taken() -> None:
    """The plane of the cut with two diameters, the metal's volume with a heel, and sources."""
    plain, heel = found(X, kerf="1.2 mm"), found(X, heel_wall="1.3 mm")
    both = found(X, od_heel_to_throat="63.4 mm", od_side_to_side="63.6 mm")
    for answer, plane, volume in ((plain, False, False), (heel, False, True), (both, True, False)):
        said = " ".join(answer.assumptions)
        assert ("not the mean of the two" in said) is plane
        assert ("keeps the metal's volume" in said) is volume
    assert len(plain.assumptions) == 1
    assert sum(line.startswith("Tolerance: ") for line in both.assumptions) == 2
