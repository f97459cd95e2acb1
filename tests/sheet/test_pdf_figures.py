"""Figures in the PDF: every stroke where the figure has it, its hatch, its opacity, refusals.

pypdf takes the page apart into operators; a small walk puts them where the page has them.
"""

from __future__ import annotations

from io import BytesIO
from typing import Any

import matplotlib as mpl
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure
from matplotlib.textpath import TextPath
from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab.pdfgen.canvas import Canvas

from exhaust.errors import ExhaustError
from exhaust.plots.style import STYLE
from exhaust.sheet.pdf_figures import sketched
from exhaust.sheet.pdf_pieces import Shown
from exhaust.sheet.svg_parts import path_operators, placed

DRAWN = 0.002  # [pt]; the file has four digits, and the page's own matrix three more figures
AT = (40.0, 300.0)  # where the figure stands on the page [pt]


def figure_of(**kept: Any) -> tuple[Figure, Any]:
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(4.0, 3.0))
        axes = figure.add_axes((0.1, 0.2, 0.8, 0.7), **kept)
        axes.set_xlim(0.0, 10.0)
        axes.set_ylim(0.0, 5.0)
        axes.set_axis_off()
    return figure, axes


def svg_of(figure: Figure) -> str:
    file = BytesIO()
    with mpl.rc_context({**STYLE, "savefig.bbox": None}):
        figure.savefig(file, format="svg", metadata={"Date": None})
    return file.getvalue().decode()


class Walk:
    """Follows the operators of a page and keeps what is painted: points [pt], clips and looks."""

    def __init__(self, looks: dict[str, Any]) -> None:
        self.looks, self.found = looks, list[dict[str, Any]]()
        self.state: dict[str, Any] = {"fill": None, "stroke": None, "width": 1.0, "clips": ()}
        self.matrix, self.kept, self.path = np.eye(3), list[Any](), list[Any]()
        self.opacity = {"/ca": 1.0, "/CA": 1.0}  # set to what it was before a state is left

    def step(self, name: str, given: list[Any]) -> None:
        numbers = [float(x) for x in given if isinstance(x, (int, float))]
        if name in ("q", "Q"):
            self.keep(name)
        elif name == "cm":
            a, b, c, d, e, f = numbers
            self.matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ self.matrix
        elif name in ("m", "l", "c"):
            self.path += [self.at(*place) for place in np.reshape(numbers, (-1, 2))]
        elif name == "re":
            x, y, wide, high = numbers
            corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
            self.path += [self.at(*place) for place in corners]
        elif name in ("S", "f", "B", "n"):
            self.paint(name)
        else:
            self.look(name, numbers, given)

    def keep(self, name: str) -> None:
        if name == "q":
            self.kept.append((self.matrix, dict(self.state)))
        else:
            self.matrix, self.state = self.kept.pop()

    def look(self, name: str, numbers: list[float], given: list[Any]) -> None:
        if name == "W":
            self.state["clips"] = (*self.state["clips"], np.array(self.path))
        elif name == "gs":
            known = self.looks[given[0]].items()
            self.opacity |= {key: float(value) for key, value in known if key in self.opacity}
        elif name in ("rg", "RG", "w"):
            key = {"rg": "fill", "RG": "stroke", "w": "width"}[name]
            self.state[key] = numbers[0] if name == "w" else tuple(numbers)

    def at(self, x: float, y: float) -> Any:
        return (np.array([x, y, 1.0]) @ self.matrix)[:2]

    def paint(self, name: str) -> None:
        if name != "n":
            looks = {**self.state, "how": name, "opacity": dict(self.opacity)}
            self.found.append({**looks, "points": np.array(self.path)})
        self.path = []


def placed_on_page(svg: str, most: float = 1000.0) -> list[dict[str, Any]]:
    """Return what is painted on the page."""
    file = BytesIO()
    canvas = Canvas(file, (600.0, 700.0))
    Shown(sketched(svg), most).drawOn(canvas, *AT)
    canvas.save()
    reader = PdfReader(file)
    page = reader.pages[0]
    states = page["/Resources"].get("/ExtGState", {})  # type: ignore[attr-defined]
    walk = Walk({key: dict(value) for key, value in states.items()})
    for given_, name in ContentStream(page.get_contents(), reader).operations:
        walk.step(name.decode(), given_)
    return walk.found


def on_page(axes: Any, x: Any, y: Any) -> np.ndarray[Any, Any]:
    """Where the figure itself has a place of its data, on the page [pt]."""
    dots = axes.transData.transform(np.column_stack([x, y]))
    return np.asarray(dots * 72.0 / axes.figure.dpi + np.array(AT))


def test_a_line_and_a_polygon_are_where_the_figure_has_them() -> None:
    figure, axes = figure_of()
    x, y = np.array([1.0, 4.0, 9.0]), np.array([1.0, 4.5, 2.0])
    axes.plot(x, y, color="#1f5a8c", linewidth=2.0)
    axes.fill([2, 3, 3], [1, 1, 2], facecolor="#d9d9d9", edgecolor="none", alpha=0.4)
    painted = placed_on_page(svg_of(figure))
    (line,) = [one for one in painted if one["how"] == "S"]
    assert line["points"] == pytest.approx(on_page(axes, x, y), abs=DRAWN)
    assert line["stroke"] == pytest.approx((0x1F / 255, 0x5A / 255, 0x8C / 255), abs=1e-4)
    assert line["width"] == 2.0
    assert line["opacity"] == {"/ca": 1.0, "/CA": 1.0}
    (shape,) = [one for one in painted if one["opacity"]["/ca"] == 0.4]
    assert shape["how"] == "f"
    expected = on_page(axes, [2, 3, 3], [1, 1, 2])
    assert shape["points"][:3] == pytest.approx(expected, abs=DRAWN)
    clip = shape["clips"][0]
    corners = on_page(axes, [0, 10], [0, 5])
    assert clip.min(axis=0) == pytest.approx(corners[0], abs=DRAWN)
    assert clip.max(axis=0) == pytest.approx(corners[1], abs=DRAWN)


def test_a_figure_that_is_too_wide_is_drawn_smaller() -> None:
    figure, axes = figure_of()
    axes.plot([0, 10], [0, 5], color="#1a1a1a")
    (line,) = [one for one in placed_on_page(svg_of(figure), 144.0) if one["how"] == "S"]
    expected = (on_page(axes, [0, 10], [0, 5]) - AT) / 2.0 + AT  # 4 in to 2 in
    assert line["points"] == pytest.approx(expected, abs=DRAWN)


def test_hatching_is_drawn_and_stays_inside() -> None:
    """A waste piece is hatched: lines of the hatch, clipped to the piece."""
    figure, axes = figure_of()
    corners = on_page(axes, [2, 6], [1, 4])
    axes.fill([2, 6, 6, 2], [1, 1, 4, 4], facecolor="white", edgecolor="#767676", hatch="////")
    hatches = [one for one in placed_on_page(svg_of(figure)) if len(one["clips"]) >= 2]
    lined = [one for one in hatches if one["stroke"] is not None]
    assert lined
    for one in hatches:
        piece = one["clips"][-2]
        assert piece.min(axis=0) == pytest.approx(corners[0], abs=DRAWN)
        assert piece.max(axis=0) == pytest.approx(corners[1], abs=DRAWN)
        assert np.ptp(one["clips"][-1], axis=0) == pytest.approx((72.0, 72.0), abs=DRAWN)
    tiles = np.vstack([one["clips"][-1] for one in lined])
    assert np.all(tiles.min(axis=0) <= corners[0] + DRAWN)
    assert np.all(tiles.max(axis=0) >= corners[1] - DRAWN)


def test_lettering_is_as_large_as_the_font_has_it() -> None:
    figure, axes = figure_of()
    axes.text(5.0, 2.5, "H", fontsize=20)
    letter = [one for one in placed_on_page(svg_of(figure)) if one["how"] == "f"][-1]["points"]
    outline = TextPath((0, 0), "H", size=20, prop=None).get_extents()
    size = letter.max(axis=0) - letter.min(axis=0)
    assert size == pytest.approx((outline.width, outline.height), rel=5e-3)  # hinted


@given(*(st.floats(-50.0, 50.0) for _ in range(6)), st.floats(0.0, 1.0))
def test_a_curve_of_second_degree_is_the_same_curve(
    x: float, y: float, u: float, v: float, right: float, top: float, t: float
) -> None:
    """Exact: Bernstein's polynomials of both, to the four digits of the file."""
    text = path_operators(f"M {x:.6f} {y:.6f} Q {u:.6f} {v:.6f} {right:.6f} {top:.6f}")
    words = text.split()
    assert (words[2], words[-1]) == ("m", "c")
    a, b, c, d = np.reshape([float(n) for n in (*words[:2], *words[3:9])], (4, 2))
    s = 1.0 - t
    third = s**3 * a + 3 * s * s * t * b + 3 * s * t * t * c + t**3 * d
    second = (
        s * s * np.array([x, y]) + 2 * s * t * np.array([u, v]) + t * t * np.array([right, top])
    )
    assert third == pytest.approx(second, abs=2e-4)


def test_transforms_apply_from_the_right() -> None:
    """Exact: a place is scaled, then turned, then moved."""
    a, b, c, d, e, f = placed("translate(10 20) rotate(90) scale(2 3)")
    x, y = 5.0, 7.0
    assert (a * x + c * y + e, b * x + d * y + f) == pytest.approx((10 - 3 * y, 20 + 2 * x))
    assert placed("matrix(1 2 3 4 5 6)") == (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ("<text>12 mm</text>", "<text>"),
        ('<path d="M 0 0 A 1 1 0 0 0 2 2"/>', "the path operator A"),
        ('<path d="M 0 0 L 1 1" style="stroke: red"/>', "the colour red"),
        ('<path d="M 0 0 L 1 1" style="filter: url(#a)"/>', "the style filter"),
        ('<g transform="skewX(3)"/>', "the transform skewX"),
        ('<path d="M 0 0 L 1 1" style="fill: url(a)"/>', "the link"),
        (
            '<defs><clipPath id="a"><rect width="3" height="3"/></clipPath></defs>'
            '<g transform="rotate(9)"><path d="M 0 0 L 1 1" clip-path="url(#a)"/></g>',
            "a clip or a hatch that is moved or turned",
        ),
    ],
)
def test_what_a_pdf_would_leave_out_is_refused(inside: str, words: str) -> None:
    svg = f'<svg width="9pt" height="9pt">{inside}</svg>'
    with pytest.raises(ExhaustError, match="its PDF cannot draw") as error:
        sketched(svg)
    assert words in str(error.value)
