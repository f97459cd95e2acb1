"""A DXF of templates, read back with the library's reader and measured in millimetres.

The file is written and read by one library, so that proves only that it is a DXF; the lengths are
closed forms of the tubes.
"""

from __future__ import annotations

import math
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing
from numpy.typing import NDArray

from exhaust import Bend, HPipe, ParallelX, SplayedX, Tube, save_templates
from exhaust.cutmath.templates import templates
from exhaust.joints import Joint

DRAWN = 1e-6  # [mm]; the file has more digits than any machine follows

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
SQUARE = HPipe(TUBE, balance_tube=Tube(od="50.8 mm", wall="1.651 mm"), spacing="230 mm")
SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="200 mm")
BENT = ParallelX(Bend(TUBE, clr="95.25 mm"), cutback=0.3)
JOINTS: dict[str, Joint] = {"square": SQUARE, "splayed": SPLAYED, "bent": BENT}


def lines(drawing: Drawing, layer: str) -> list[NDArray[np.float64]]:
    found = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    return [np.array([point[:2] for point in line.get_points()]) for line in found]


def words(drawing: Drawing) -> list[str]:
    return [text.dxf.text for text in drawing.modelspace().query("TEXT")]


@pytest.mark.parametrize("name", JOINTS)
def test_the_file_is_sound_and_in_millimetres(tmp_path: Path, name: str) -> None:
    path = save_templates(JOINTS[name], tmp_path / "t.dxf", job="Demo (invented)")
    drawing = ezdxf.readfile(path)
    assert drawing.header["$INSUNITS"] == 4
    assert not drawing.audit().errors
    layers = {entity.dxf.layer for entity in drawing.modelspace()}
    assert layers <= {"CUT", "HOLE", "EDGE", "CLOCK", "GUIDE", "TEXT"}
    assert {"CUT", "CLOCK", "TEXT"} <= layers
    assert any("Demo (invented)" in text for text in words(drawing))


@pytest.mark.parametrize(("given", "rho"), [({}, 25.4), ({"edge": "straight"}, 23.749)])
def test_saddle_and_hole_measure_as_their_closed_forms(
    given: dict[str, str], rho: float, tmp_path: Path
) -> None:
    """The edge follows the primary, at the outside, unless it is asked to be cut straight."""
    drawing = ezdxf.readfile(save_templates(SQUARE, tmp_path / "h.dxf", **given))  # type: ignore[arg-type]
    a, bore = 31.75, 23.749
    notch, *strips = lines(drawing, "CUT")
    assert np.ptp(notch, axis=0) == pytest.approx(
        [math.pi * 50.9, a - math.sqrt(a**2 - rho**2)], abs=DRAWN
    )
    assert [np.ptp(strip[:, 0]) for strip in strips] == pytest.approx(
        [math.pi * 63.6, math.pi * 50.9], abs=DRAWN
    )
    (hole,) = lines(drawing, "HOLE")
    round_it = 2 * (a + 0.05) * math.asin(bore / a)
    assert np.ptp(hole, axis=0) == pytest.approx([round_it, 2 * bore], abs=DRAWN)
    (line,) = drawing.modelspace().query('LWPOLYLINE[layer=="HOLE"]')
    assert line.closed


def test_a_mitre_measures_od_tangent(tmp_path: Path) -> None:
    drawing = ezdxf.readfile(save_templates(SPLAYED, tmp_path / "x.dxf", thickness="0.2 mm"))
    mitre = lines(drawing, "CUT")[0]
    expected = [math.pi * 63.7, 63.5 * math.tan(math.radians(22.5))]
    assert np.ptp(mitre, axis=0) == pytest.approx(expected, abs=DRAWN)


@pytest.mark.parametrize("name", JOINTS)
def test_templates_lie_side_by_side_and_none_is_scaled_or_turned(tmp_path: Path, name: str) -> None:
    """Every polyline is the template's own, a thousand times, moved and nothing else."""
    drawing = ezdxf.readfile(save_templates(JOINTS[name], tmp_path / "t.dxf"))
    left = {layer: lines(drawing, layer) for layer in ("CUT", "EDGE", "CLOCK")}
    ends = [-1.0]
    for template in templates(JOINTS[name]):
        moves = []
        for kind, layer in (("cut", "CUT"), ("edge", "EDGE"), ("clock", "CLOCK")):
            for points in template.of(kind):  # type: ignore[arg-type]
                moves.append(left[layer].pop(0) - points * 1e3)
        moved = np.vstack(moves)
        assert np.ptp(moved, axis=0).max() < DRAWN
        low, _, high, _ = template.bounds
        assert moved[0, 0] + low * 1e3 > ends[-1]
        ends.append(moved[0, 0] + high * 1e3)
    assert not any(left.values())


def test_codes_in_a_name_stay_text(tmp_path: Path) -> None:
    """Two percent signs would start a code of the format; a line break would end the group."""
    name = "50%%c 0\nEOF\r\n  0\nSECTION %%% Дмитрий"
    drawing = ezdxf.readfile(save_templates(SQUARE, tmp_path / "t.dxf", job=name))
    assert not drawing.audit().errors
    (title,) = (text for text in words(drawing) if "actual size" in text)
    assert title == (
        "Templates: H pipe, 50% %c 0 EOF 0 SECTION % %% Дмитрий; millimetres, actual size"
    )
    assert "%%" not in title.replace("% %%", "")
