"""Figures of the lessons. No physics: every number exists in a joint."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from exhaust.joints import ParallelToSplayedX, SplayedX
from exhaust.joints.splayed_end import MitredEnd
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of
from exhaust.show import number, style
from exhaust.teaching.deepening import Deepening

if TYPE_CHECKING:
    from matplotlib.axes import Axes

USUAL = (0.25, 1 / 3)


def as_the_cut_deepens(found: Deepening) -> Picture:
    """Return the figure of narrowest area and window over the cutback."""
    import matplotlib as mpl

    shares = [x.cutback for x in found.cuts]
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(6.6, 3.6)
        axes.axvspan(*USUAL, color=PALE, lw=0)
        axes.text(sum(USUAL) / 2, 2.9, "25 to 33 %", ha="center", va="top", color=GREY)
        axes.plot(shares, [x.window_ratio for x in found.cuts], color=ACCENT)
        axes.plot(shares, [x.narrowest_ratio for x in found.cuts], color=INK)
        axes.text(0.375, 2.2, "window, of one tube", color=ACCENT, va="top")
        axes.text(0.345, 0.83, "narrowest area, of two tubes", color=INK, va="bottom")
        axes.set(xlabel="cutback, share of the outside diameter", xlim=(0, 0.52), ylim=(0, 3))
        axes.set(xticks=np.arange(0.0, 0.55, 0.05), yticks=np.arange(0.0, 3.1, 0.5))
        axes.set_title("Share of the tubes' flow area")
    return Picture(figure, "narrowest area and window as the cut deepens")


def mitre_and_its_face(x: SplayedX) -> Picture:
    """Return the figure of a mitred leg from the side, and of its face, to one scale."""
    import matplotlib as mpl

    end, scale = x.entry, style("tube").scale
    radius, half = end.radius / scale, end.mitre_opening / 2 / scale
    took, third = end.take_off / scale, 2 * radius * end.cutback
    with mpl.rc_context(STYLE):
        figure, (side, face) = axes_of(7.4, 2.9, 2)
        _leg_from_the_side(side, end, scale)
        _oval(face, 0.0, half, radius)
        _cut_line(face, half - took, radius, ACCENT, "-")
        _cut_line(face, half - third, radius, GREY, "--")
        _across(face, half - took, half, -1.3 * radius, f"third of it {_said(end.take_off)}")
        wrong = f"third of the diameter {_said(third * scale)}"
        _across(face, half - third, half, 1.2 * radius, wrong)
        _across(face, -half, half, -1.85 * radius, f"opening {_said(end.mitre_opening)}")
        face.set_title("Its face")
        _bare(face, (-1.25 * half, 1.45 * half), (-2.2 * radius, 1.6 * radius))
    return Picture(figure, "a mitred leg and its face")


def _leg_from_the_side(axes: Axes, end: MitredEnd, scale: float) -> None:
    radius, run = end.radius / scale, 2.6 * end.radius / scale
    slope = math.tan(end.mitre_angle) * radius
    axes.fill([-run, slope, -slope, -run], [radius, radius, -radius, -radius], color="#f2f2f2")
    axes.plot([-run, slope], [radius, radius], color=INK)
    axes.plot([-run, -slope], [-radius, -radius], color=INK)
    axes.plot([slope, -slope], [radius, -radius], color=ACCENT, lw=2.0)
    axes.plot([0, 0], [-radius, radius], color=GREY, lw=0.8, ls="--")
    axes.text(0.1 * radius, -0.95 * radius, "square", color=GREY, ha="left", va="bottom")
    axes.text(slope, 1.1 * radius, "heel", ha="center", va="bottom")
    axes.text(-slope, -1.1 * radius, "throat", ha="center", va="top")
    tilt = number(end.mitre_angle, "angle")
    axes.text(0.75 * slope + 0.15 * radius, 0.55 * radius, f"mitre {tilt}°", color=ACCENT)
    axes.set_title("The leg from the side")
    _bare(axes, (-run, slope + 1.6 * radius), (-2.2 * radius, 1.6 * radius))


def halved_and_legs(x: ParallelToSplayedX) -> Picture:
    """Return the figure of a halved X above the two ellipses that must meet it."""
    import matplotlib as mpl

    leg = x.leg
    assert isinstance(leg, MitredEnd)
    scale = style("tube").scale
    radius, width = float(x.tube.od) / 2 / scale, x.halved_opening / 2 / scale
    half, took = leg.mitre_opening / 2 / scale, leg.take_off / scale
    joint = math.sqrt(radius**2 - (width - radius) ** 2)
    with mpl.rc_context(STYLE):
        figure, (top, low) = axes_of(6.2, 4.4, 2, stacked=True)
        for sign in (-1.0, 1.0):
            _oval(top, sign * (width - radius), radius, radius, until=sign)
            _oval(low, sign * (width - half), half, radius)
        top.plot([0, 0], [-joint, joint], color=INK)
        _cut_line(low, 0.0, radius, ACCENT, "-")
        _across(top, -width, width, -1.25 * radius, f"halved opening {_said(x.halved_opening)}")
        opening = f"opening {_said(leg.mitre_opening)}"
        _across(low, -width, 2 * half - width, -1.25 * radius, opening)
        _across(low, 0.0, took, 1.2 * radius, f"take-off {_said(leg.take_off)}")
        top.set_title("The halved X")
        low.set_title("Its two legs, outer edge on outer edge: they overlap")
        for axes in (top, low):
            _bare(axes, (-2.2 * width, 2.2 * width), (-1.75 * radius, 1.6 * radius))
    return Picture(figure, "a halved X and the openings of its legs")


def _oval(
    axes: Axes, centre: float, half_width: float, half_height: float, until: float = 0.0
) -> None:
    """Draw an ellipse; `until` -1 or 1 keeps what is on that side of nought."""
    turn = np.linspace(0.0, 2 * math.pi, 721)
    across, up = centre + half_width * np.cos(turn), half_height * np.sin(turn)
    if until:
        up = np.where(across * until >= 0.0, up, np.nan)
    axes.plot(across, up, color=INK, solid_capstyle="butt")


def _cut_line(axes: Axes, at: float, height: float, color: str, look: str) -> None:
    axes.plot([at, at], [-1.05 * height, 1.05 * height], color=color, ls=look, lw=1.1)


def _across(axes: Axes, start: float, end: float, level: float, text: str) -> None:
    arrow: dict[str, Any] = {"arrowstyle": "<->", "color": GREY, "lw": 0.8, "shrinkA": 0}
    axes.annotate("", (end, level), (start, level), arrowprops=arrow | {"shrinkB": 0})
    above = level > 0
    gap = 0.04 * abs(level) * (1 if above else -1)
    place = {"ha": "center", "va": "bottom" if above else "top"}
    axes.text((start + end) / 2, level + gap, text, fontsize=8, **place)  # type: ignore[arg-type]


def _said(value: float) -> str:
    return f"{number(value, 'tube')} {style('tube').unit}"


def _bare(axes: Axes, across: tuple[float, float], up: tuple[float, float]) -> None:
    axes.set(xlim=across, ylim=up, aspect="equal")
    axes.set_axis_off()
