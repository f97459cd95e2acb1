"""Every number on the sheet of an H pipe with its balance tube 6 mm up, worked by hand; mm.

Square to primaries of 76.2 mm, 230 apart, a tube of 50.8: a line of it at the height y meets the
primary sqrt(A² - y²) from its axis. Volumes and edges that are no circle are summed numerically.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from h_frames import OFFSET, SAW, SPLAYED, SPLIT, SQUARE, WIDE, named, sheet_of, step

from exhaust import HPipe, Saw, Tube
from exhaust.cutmath.h_pipe_work import work_on
from exhaust.show import shown_in
from exhaust.stock import material

A, BALANCE, BORE, WALL = 38.1, 25.4, 23.749, 1.651
UP, SPACING, GRIND, K = 6.0, 230.0, 1.0, 1.1
LENGTH = 2 * 76.2 + 50.8  # a diameter past the saddle at each end


def out(y: float) -> float:
    return math.sqrt(A**2 - y**2)


TOP, BOTTOM = UP + BALANCE, BALANCE - UP
LONG = out(TOP)  # its longest line is the top one
SQUARE_END = LONG - GRIND
LINES = {"top": out(TOP), "bottom": out(BOTTOM), "exit side": out(UP), "entry side": out(UP)}


def edge_length() -> float:
    turn = np.linspace(0.0, 2 * math.pi, 20_001)
    y = UP + BALANCE * np.sin(turn)
    points = np.stack([np.sqrt(A**2 - y**2), BALANCE * np.cos(turn), y])
    return float(np.sum(np.linalg.norm(np.diff(points), axis=0)))


BY_HAND: dict[str, dict[str, float]] = {
    "Measure and mark": {
        "Balance tube, line to line": math.pi * 50.8 / 4,
        "Primary, a quarter round": math.pi * 76.2 / 4,
        "Balance tube, outside": 50.8,
        "Balance tube, inside": 2 * BORE,
        "Primary, outside, at the saddle": 76.2,
    },
    "Saw the primaries": {
        "Stop to the blade's near face": LENGTH,
        "Blade from square": 0.0,
        "Length all round": LENGTH,
    },
    "Hole the primaries": {
        "Hole saw, no larger than": 2 * BORE,
        "Entry end to the pilot, on the facing line": LENGTH / 2,
        "Pilot above the facing line": A * math.asin(UP / A),
        "Spindle off the primary's axis": UP,
        "Entry end to the hole's near edge": LENGTH / 2 - BORE,
        "Entry end to the hole's far edge": LENGTH / 2 + BORE,
        "Facing line up to the hole's edge": A * math.asin((UP + BORE) / A),
        "Facing line down to its edge": A * math.asin((BORE - UP) / A),
        "Hole along the primary": 2 * BORE,
        "Hole round the primary": A * (math.asin((UP + BORE) / A) + math.asin((BORE - UP) / A)),
    },
    "Saw the balance tube": {
        "Stop to the blade's near face": SPACING - 2 * SQUARE_END,
        "Blade from square": 0.0,
        "Left for the grinder, each notch": GRIND,
        "Tube from stock, kerf in it": SPACING - 2 * SQUARE_END + K,
        "Length all round": SPACING - 2 * SQUARE_END,
        "Long point to long point, when finished": SPACING - 2 * LONG,
    },
    "Grind the notches": {
        **{
            f"{name.capitalize()} line, sawn end to edge": x - SQUARE_END
            for name, x in LINES.items()
        },
        "Twist between the notches' short points": 0.0,
        **{f"Finished length on the {name} line": SPACING - 2 * x for name, x in LINES.items()},
        "Notch, long point to short point": A - LONG,
        "Gap anywhere round a saddle, at most": WALL / 2,
    },
    "Fit and tack": {
        "Gap between the primaries, entry": SPACING - 76.2,
        "Gap between the primaries, exit": SPACING - 76.2,
        "Outside width, entry": SPACING + 76.2,
        "Outside width, exit": SPACING + 76.2,
        "Diagonals of the four ends": math.hypot(SPACING, LENGTH),
        "Balance tube above the plate": (76.2 - 50.8) / 2 + UP,
    },
    "Weld": {
        "2 x balance tube to primary": edge_length(),
        "Weld in all": 2 * edge_length(),
    },
}


@pytest.mark.parametrize("title", BY_HAND)
def test_every_number_of_a_step_is_the_one_worked_by_hand(title: str) -> None:
    found = step(sheet_of(OFFSET, SAW), title)
    facts = [fact for fact in (*found.settings, *found.checks) if fact.kind != "text"]
    numbers = {
        fact.name: float(fact.value) * (1.0 if fact.kind == "angle" else 1e3)  # type: ignore[arg-type]
        for fact in facts
    }
    wanted = BY_HAND[title]
    assert numbers == {name: pytest.approx(x, abs=2e-6) for name, x in wanted.items()}


def test_no_step_is_left_out() -> None:
    titles = [each.title for each in sheet_of(OFFSET, SAW).steps]
    assert titles == [
        *list(BY_HAND)[:4],
        "Rough out the notches",
        *list(BY_HAND)[4:],
    ]


def test_an_edge_cut_straight_through_is_told_where_it_differs() -> None:
    """Towards the axis: of the wall's lines at one clock the one that reaches farthest counts."""
    with shown_in("metric"):
        notes = {f.name: f.note for f in work_steps(OFFSET)["Grind the notches"].settings}
    for name, sign in (("Top", 1.0), ("Bottom", -1.0)):
        farthest = max(out(UP + sign * rho) for rho in np.linspace(BORE, BALANCE, 500))
        said = f"{farthest - SQUARE_END:.1f} mm if the edge is cut straight through the wall"
        assert notes[f"{name} line, sawn end to edge"] == said
    assert notes["Exit side line, sawn end to edge"] == ""


def work_steps(h: HPipe) -> dict[str, object]:
    from exhaust import cut_sheet

    return {each.title: each for each in cut_sheet(h, SAW).steps}


def gauss(low: float, high: float) -> tuple[np.ndarray, np.ndarray]:
    x, w = np.polynomial.legendre.leggauss(60)
    return (high + low) / 2 + (high - low) / 2 * x, (high - low) / 2 * w


def ring(height: object, low: float, high: float) -> float:
    """Integral over a ring of the balance tube's section of a height at (rho, y) [mm^3]."""
    turn = np.linspace(0.0, 2 * math.pi, 721)[:-1]
    rho, weight = gauss(low, high)
    y = UP + np.outer(rho, np.sin(turn))
    return float(np.sum(height(y).mean(axis=1) * 2 * math.pi * rho * weight))  # type: ignore[operator]


def test_parts_by_hand() -> None:
    """Masses: density by what lies between the primaries, and by pipe less its plug."""
    heavy = material("304").density * 1e-9
    balance = heavy * ring(lambda y: SPACING - 2 * np.sqrt(A**2 - y**2), BORE, BALANCE)
    inner = A - WALL
    plug = heavy * ring(lambda y: np.sqrt(A**2 - y**2) - np.sqrt(inner**2 - y**2), 1e-9, BORE)
    pipe = heavy * math.pi * (A**2 - inner**2) * LENGTH
    first, second = sheet_of(OFFSET, SAW).parts
    assert (first.label, first.pieces, first.what) == ("A", 1, "balance tube, notched at both ends")
    assert first.length * 1e3 == pytest.approx(SPACING - 2 * LONG)
    assert first.blank.length * 1e3 == pytest.approx(SPACING - 2 * SQUARE_END)
    assert first.mass == pytest.approx(balance, rel=1e-6)
    assert (second.label, second.pieces) == ("B", 2)
    assert second.length * 1e3 == second.blank.length * 1e3 == pytest.approx(LENGTH)
    assert second.mass == pytest.approx(pipe - plug, rel=1e-6)


def test_a_split_balance_tube_is_two_pieces_and_its_band() -> None:
    """180 apart, od 63.5: blank 180 - 2 sqrt(31.75² - 25.4²), the gap of 3 mm in its middle."""
    long = math.sqrt(31.75**2 - 25.4**2)
    half = (180 - 2 * long - 3.0) / 2
    sheet = sheet_of(SPLIT, SAW)
    part = sheet.parts[0]
    assert (part.label, part.pieces, part.what) == ("A", 2, "balance tube, notched at one end")
    assert part.length * 1e3 == pytest.approx(half)
    assert part.blank.length * 1e3 == pytest.approx(half + GRIND)
    sawn = step(sheet, "Saw the balance tube")
    assert named(sawn.settings, "Stop") * 1e3 == pytest.approx(half + GRIND)
    assert named(sawn.settings, "Tube from stock") * 1e3 == pytest.approx(2 * (half + GRIND + K))
    assert not any(fact.name.startswith("Long point") for fact in sawn.checks)
    fitted = step(sheet, "Fit the split")
    assert named(fitted.settings, "Tube that it takes") == pytest.approx(40e-3)
    assert named(fitted.settings, "Gap between") == pytest.approx(3e-3)
    bolted = named(fitted.checks, "Bolted up, long point to long point")
    assert bolted * 1e3 == pytest.approx(180 - 2 * long)
    ground = step(sheet, "Grind")
    side = named(ground.checks, "Piece, finished length on the exit side")
    assert side * 1e3 == pytest.approx(half - (31.75 - long))
    assert work_on(SPLIT, SAW).held * 1e3 == pytest.approx((180 - 63.5 - 3) / 2)
    assert work_on(SQUARE, SAW).held * 1e3 == pytest.approx(180 - 63.5)


def test_splayed_primaries_open_from_entry_to_exit() -> None:
    """By 10 degrees: the ends of a primary are its length apart along it, cos 5 of that along."""
    h, half = SPLAYED, math.radians(5)
    checks = step(sheet_of(h, SAW), "Fit and tack").checks
    long = h.centreline_length * 1e3
    entry, leaving = h.entry_spacing * 1e3, h.exit_spacing * 1e3
    assert leaving - entry == pytest.approx(2 * long * math.sin(half))
    diagonal = math.hypot((entry + leaving) / 2, long * math.cos(half))
    assert named(checks, "Diagonals") * 1e3 == pytest.approx(diagonal)
    for name, spacing in (("entry", entry), ("exit", leaving)):
        width = named(checks, f"Outside width, {name}") * 1e3
        assert width == pytest.approx(spacing + 76.2 * math.cos(half))
        gap = named(checks, f"Gap between the primaries, {name}") * 1e3
        assert gap == pytest.approx(spacing - 76.2 * math.cos(half))
    rows = {row[0]: [1e3 * float(x) for x in row[1:]] for row in sheet_of(h, SAW).finished.rows}
    for name, size, welds in (
        ("Spacing at the entry, centre to centre", entry, 2),
        ("Spacing at the exit, centre to centre", leaving, 2),
        ("Gap between the primaries, exit", leaving - 76.2 * math.cos(half), 2),
        ("Outside width, entry", entry + 76.2 * math.cos(half), 2),
        ("Outside width, exit", leaving + 76.2 * math.cos(half), 2),
        ("Overall length", h.overall_length * 1e3, 0),
    ):
        assert rows[name] == pytest.approx([size, size - welds * 0.5, size - welds * 1.0]), name
    assert len(rows) == 6


# What is awkward


def said(h: HPipe, saw: Saw = SAW) -> str:
    from exhaust import cut_sheet

    with shown_in("metric"):
        return " ".join(cut_sheet(h, saw).warnings)


def test_a_tube_is_held_by_what_is_whole_of_it() -> None:
    """Between the notches 180 - 63.5 = 116.5 mm stay whole all round: a vice of 116 mm holds."""
    holds, lets_go = (Saw(kerf="1.1 mm", clamp_length=f"{x} mm") for x in (116, 117))
    assert "whole all round" not in said(SQUARE, holds)
    assert "Only 116.5 mm of the balance tube is whole all round" in said(SQUARE, lets_go)
    assert "less than the vice holds (117.0 mm)" in said(SQUARE, lets_go)
    near = SQUARE.with_(spacing="64.5 mm")
    assert "Only 1.0 mm of the balance tube" in said(near)
    band = SPLIT.split.with_(gap="39.5 mm")  # type: ignore[union-attr]
    assert "Only 0.5 mm of the balance tube" in said(SPLIT.with_(spacing="104 mm", split=band))


def test_a_feather_edge_is_backed() -> None:
    """On a primary A a line of the tube at y ends at asin(y/A) to its wall: acos(r/A) at most.

    20 degrees are an edge that burns (common practice): 0.94 of the primary's radius.
    """
    for od, sharp in (("59 mm", False), ("60 mm", True)):
        h = HPipe(
            Tube(od="63.5 mm", wall="1.651 mm"),
            balance_tube=Tube(od=od, wall="1.651 mm"),
            spacing="250 mm",
        )
        angle = math.degrees(math.acos(float(od.split()[0]) / 63.5))
        assert (angle < 20) == sharp
        assert ("drawn out to an edge" in said(h)) == sharp
        if sharp:
            assert f"an edge of {angle:.1f}°" in said(h)


def test_a_tube_too_tall_for_the_saw_is_told_by_name() -> None:
    low = Saw(kerf="1.1 mm", height_capacity="60 mm")
    assert "A primary needs 76.2 mm of height; this saw takes 60.0 mm" in said(OFFSET, low)
    assert "The balance tube needs" not in said(OFFSET, low)
    lower = Saw(kerf="1.1 mm", height_capacity="50 mm")
    assert "The balance tube needs 50.8 mm of height" in said(OFFSET, lower)
    narrow = Saw(kerf="1.1 mm", kind="horizontal", width_capacity="55 mm")
    wide = [cut for end in work_on(SQUARE, narrow).ends for cut in end.made]
    assert all(50.8 / math.cos(cut.angle) > 55.0 for cut in wide)
    assert "The flat cut on the exit side needs 50.8 mm of height and" in said(SQUARE, narrow)


def test_notes_of_the_joint_start_with_a_capital() -> None:
    skew = HPipe(WIDE, spacing="250 mm", angle="70 deg")
    notes = sheet_of(skew, SAW).warnings[: len(skew.notes)]
    assert [words[0] for words in notes] == [words[0].upper() for words in skew.notes]
    assert [words[1:] for words in notes] == [words[1:] for words in skew.notes]
