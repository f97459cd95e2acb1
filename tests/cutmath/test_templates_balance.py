"""Saddles and holes of an H pipe, wrapped back and stood in the joint's own axes.

The axes are built here from the description alone: a notch of the wrong end, an offset turned
upside down or a hole seen from inside does not meet.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from wrapped import EXACT, HS, MEETS, PAPER, SMALL, TUBE, Array, from_axis, named, wrapped, written

from exhaust import HPipe, Tube
from exhaust.cutmath.template import Template
from exhaust.cutmath.templates import templates
from exhaust.geometry import saddle_measures

Z = np.array([0.0, 0.0, 1.0])


class Axes:
    """The primaries and the balance tube of an H pipe, from its description alone."""

    def __init__(self, h: HPipe) -> None:
        half, sine, cosine = h.splay / 2, math.sin(h.splay / 2), math.cos(h.splay / 2)
        assert half < 1
        self.tube = np.array([math.sin(h.angle), math.cos(h.angle), 0.0])
        self.flow = (np.array([-sine, cosine, 0.0]), np.array([sine, cosine, 0.0]))
        self.facing = (np.array([cosine, sine, 0.0]), np.array([-cosine, sine, 0.0]))
        middle = h.balance_spacing / 2
        self.on = (np.array([-middle, 0.0, 0.0]), np.array([middle, 0.0, 0.0]))
        self.lift = h.offset * Z
        self.cross = tuple(self._met(side) for side in (0, 1))

    def _met(self, side: int) -> Array:
        """Where the balance tube's axis, seen from above, crosses that primary's axis."""
        matrix = np.column_stack([self.tube[:2], -self.flow[side][:2]])
        along = np.linalg.solve(matrix, self.on[side][:2])
        return np.asarray(along[0] * self.tube)

    def end(self, sheet: Template, points: Array, side: int, rho: float) -> Array:
        """An end of the balance tube: top at 12 o'clock, the sheet's y from left to right."""
        return wrapped(sheet, points, self.tube, Z, rho) + self.cross[side] + self.lift

    def hole(self, sheet: Template, points: Array, side: int) -> Array:
        """A hole: the flow up the sheet, its middle to the other primary."""
        placed = wrapped(sheet, points, self.flow[side], self.facing[side], sheet.radius)
        return placed + self.cross[side]


def ends(h: HPipe, edge: str) -> list[tuple[Template, Array, int]]:
    """Every notch of a joint: its sheet, its points from that primary's axis, its side."""
    found = templates(h, edge=edge)
    names = {template.name: template for template in found}
    if "balance tube, both ends" in names:
        sheet = names["balance tube, both ends"]
        left, right = sheet.of("cut")
        return [(sheet, left, 0), (sheet, right - np.array([0.0, h.balance_length]), 1)]
    if "balance tube, either end" in names:
        sheet = names["balance tube, either end"]
        (cut,) = sheet.of("cut")
        return [(sheet, cut, 0), (sheet, -cut, 1)]  # turned end for end, its top still the top
    sheets = [names[f"balance tube, {side} end"] for side in ("left", "right")]
    return [(sheet, sheet.of("cut")[0], side) for side, sheet in enumerate(sheets)]


@pytest.mark.parametrize("name", HS)
def test_a_notch_wrapped_back_meets_the_primary(name: str) -> None:
    h = HS[name]
    axes = Axes(h)
    for sheet, cut, side in ends(h, "saddle"):
        placed = axes.end(sheet, cut, side, sheet.radius)
        distance = from_axis(placed, axes.on[side], axes.flow[side])
        assert distance == pytest.approx(np.full_like(distance, TUBE.od / 2), abs=MEETS)


@pytest.mark.parametrize("name", HS)
def test_an_edge_cut_straight_through_touches_all_round_and_never_enters(name: str) -> None:
    """At every clock position the wall comes to the primary's outside and not past it."""
    h = HS[name]
    axes = Axes(h)
    for sheet, cut, side in ends(h, "straight"):
        walls = np.linspace(sheet.radius - SMALL.wall, sheet.radius, 401)
        room = [
            from_axis(axes.end(sheet, cut, side, rho), axes.on[side], axes.flow[side])
            for rho in walls
        ]
        nearest = np.min(room, axis=0) - TUBE.od / 2
        assert nearest.min() > -MEETS
        assert nearest.max() < 1e-8  # the wall is sampled every 4 um


@pytest.mark.parametrize("name", HS)
def test_a_hole_wrapped_back_is_the_inside_of_the_balance_tube(name: str) -> None:
    h = HS[name]
    axes = Axes(h)
    found = templates(h)
    names = [template.name for template in found]
    for side, word in enumerate(("left", "right")):
        either = "hole for balance tube, either primary"
        sheet = named(
            found, either if either in names else f"hole for balance tube, {word} primary"
        )
        (points,) = sheet.of("hole")
        turned = -points if either in names and side == 1 else points  # upside down
        placed = axes.hole(sheet, turned, side)
        distance = from_axis(placed, axes.cross[side] + axes.lift, axes.tube)
        bore = h.balance_tube.inside_diameter / 2
        assert distance == pytest.approx(np.full_like(distance, bore), abs=MEETS)


def test_the_depths_of_a_square_saddle_by_closed_form() -> None:
    """Exact: A - sqrt(A² - r²) for a true saddle, with the inside radius for a straight edge."""
    a, r, bore = 31.75e-3, 25.4e-3, 23.749e-3
    for edge, rho in (("saddle", r), ("straight", bore), ("feather", bore)):
        sheet = named(templates(HS["square"], edge=edge), "balance tube, either end")
        (cut,) = sheet.of("cut")
        depth = a - math.sqrt(a**2 - rho**2)
        assert np.ptp(cut[:, 1]) == pytest.approx(depth, abs=EXACT)
        assert np.ptp(cut[:, 0]) == pytest.approx(math.pi * (2 * r + PAPER), abs=EXACT)


def test_the_hole_of_a_square_tube_by_closed_form() -> None:
    """Exact: 2 r inside along the primary; 2 A asin(r/A) round it, on the middle of the paper."""
    a, bore = 31.75e-3, 23.749e-3
    sheet = named(templates(HS["square"]), "hole for balance tube, either primary")
    (hole,) = sheet.of("hole")
    assert np.ptp(hole[:, 1]) == pytest.approx(2 * bore, abs=EXACT)
    round_it = 2 * (a + PAPER / 2) * math.asin(bore / a)
    assert np.ptp(hole[:, 0]) == pytest.approx(round_it, abs=EXACT)


@pytest.mark.parametrize("edge", ["saddle", "straight"])
def test_both_ends_together_are_the_blank(edge: str) -> None:
    """Invariant: what the sheets leave between their long points is the blank to be sawn."""
    for name in ("skew", "skew and offset", "splayed", "short"):
        h = HS[name]
        ((_, left, _), (_, right, _)) = ends(h, edge)
        long = h.balance_length + right[:, 1].max() - left[:, 1].min()
        blank = h.blank_length if edge == "saddle" else h.straight_edge_blank_length
        # The sheet has every half degree: at most this much short of the very end.
        assert long <= blank + EXACT
        assert long == pytest.approx(blank, abs=5e-6)


def test_a_worked_blank() -> None:
    """Worked case: 76.2 mm primaries 230 apart, 50.8 x 1.651 at 60 deg; 208.785, 205.996 mm."""
    h = HPipe(
        Tube(od="76.2 mm", wall="1.651 mm"),
        balance_tube=SMALL,
        spacing="230 mm",
        angle="60 deg",
    )
    for edge, blank in (("saddle", 208.785e-3), ("straight", 205.996e-3)):
        ((_, left, _), (_, right, _)) = ends(h, edge)
        long = h.balance_length + right[:, 1].max() - left[:, 1].min()
        assert long == pytest.approx(blank, abs=5e-6)


def test_a_split_tube_ends_square_where_its_pieces_do() -> None:
    h = HS["split"]
    for side, (sheet, cut, _) in enumerate(ends(h, "saddle")):
        assert sheet.pieces == 1
        (left,) = {text for text in written(sheet) if "square end" in text}
        whole = h.pieces[side]
        low, high = np.abs(cut[:, 1]).min(), np.abs(sheet.bounds[3 if side == 0 else 1])
        assert left.startswith(f"edge to square end {(whole + low - high) / 0.0254:.3f} in")
    tight = h.with_(spacing="130 mm")
    (sheet, cut, _) = ends(tight, "saddle")[0]
    assert "edge on the square end" in written(sheet)
    assert sheet.bounds[3] - cut[:, 1].min() == pytest.approx(tight.pieces[0], abs=5e-6)


def test_edge_to_edge_is_what_lies_between_the_sheets() -> None:
    h = HS["skew"]
    sheets = [named(templates(h), f"balance tube, {side} end") for side in ("left", "right")]
    between = h.balance_length - sheets[0].bounds[3] + sheets[1].bounds[1]
    for sheet in sheets:
        (text,) = (text for text in written(sheet) if text.startswith("edge to edge"))
        assert text.startswith(f"edge to edge {between / 0.0254:.3f} in")


def test_the_seam_is_as_long_as_the_marked_line() -> None:
    """Independent: the wrapped notch, chord by chord, is the weld that the joint counts."""
    h = HS["skew and offset"]
    axes = Axes(h)
    sheet, cut, side = ends(h, "saddle")[0]
    placed = axes.end(sheet, cut, side, sheet.radius)
    long = np.linalg.norm(np.diff(placed, axis=0), axis=1).sum()
    assert long == pytest.approx(saddle_measures.seam_length(h.saddles[0].outside), rel=2e-5)
