"""Open surfaces that are closed: by counting edges and by the volume inside."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
import pytest

from exhaust.errors import ExhaustError
from exhaust.sheet.triangles import HEAD, ROW, closed_stl

Corners = np.ndarray[Any, np.dtype[np.float64]]


def plate(thick: float) -> Corners:
    """Return the twelve triangles of a plate of one by one, its thin side at y = 0 the last two."""
    corner = np.array([*product((0.0, 1.0), (0.0, 1.0), (0.0, thick))])
    faces = [(0, 2, 6, 4), (1, 5, 7, 3), (0, 1, 3, 2), (4, 6, 7, 5), (2, 3, 7, 6), (0, 4, 5, 1)]
    around = [three for a, b, c, d in faces for three in ((a, b, c), (a, c, d))]
    return corner[np.array(around)]


def stl(corners: Corners) -> bytes:
    rows = np.zeros(len(corners), ROW)
    rows["corners"] = corners
    return bytes(HEAD - 4) + len(rows).to_bytes(4, "little") + rows.tobytes()


def inside(data: bytes) -> float:
    """Return the volume inside by the divergence theorem: of a surface that is closed."""
    corners = np.frombuffer(data[HEAD:], ROW)["corners"].astype(float)
    assert int.from_bytes(data[HEAD - 4 : HEAD], "little") == len(corners)
    cross = np.cross(corners[:, 1], corners[:, 2])
    return float(np.einsum("ij,ij->i", corners[:, 0], cross).sum() / 6)


def test_what_is_closed_stays_as_it_is() -> None:
    data = stl(plate(0.01))
    assert closed_stl(data) == data


@pytest.mark.parametrize("shift", [0.0, -3.0])
def test_a_thin_side_left_open_is_filled_the_right_way_round(shift: float) -> None:
    """Wherever the plate lies: only a closed surface has one volume from every origin."""
    whole = plate(0.005) + shift
    found = closed_stl(stl(whole[:-2]))
    assert len(found) == len(stl(whole))
    assert inside(found) == pytest.approx(0.005, rel=1e-4)  # of floats of seven digits


def test_two_slivers_that_share_a_corner_are_told_apart() -> None:
    one = plate(0.005)
    other = -one[:, ::-1]  # its mirror image through the corner at nought, turned outside in
    found = closed_stl(stl(np.concatenate([one[:-2], other[:-2]])))
    assert inside(found) == pytest.approx(0.01, rel=1e-4)


def test_a_whole_face_left_open_is_no_sliver() -> None:
    with pytest.raises(ExhaustError, match=r"leave a face open; ask for a finer chord"):
        closed_stl(stl(plate(1.0)[:-2]))
