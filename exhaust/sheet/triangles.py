"""Closes a surface of triangles where slivers between two edges that touch were left open.

A step between two tubes' edges runs out to nothing where the edges touch; straight chords of the
two cross there, and a mesher leaves such a face out. Its rim is complete, so it is filled between
its two sides, rung by rung from the sharp end.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import numpy as np
import numpy.typing as npt

from exhaust.errors import ExhaustError

Corners = npt.NDArray[np.float32]

SLIVERS = 0.005  # of the surface; a step between two mitred edges is a tenth of that
HEAD = 84  # bytes before the first triangle of a binary STL file: a text and a count
ROW: Any = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])


def closed_stl(data: bytes) -> bytes:
    """Return a binary STL file with its slivers filled, or refuse where more than that is open."""
    rows = np.frombuffer(data[HEAD:], ROW)
    points, names = np.unique(rows["corners"].reshape(-1, 3), axis=0, return_inverse=True)
    around = names.reshape(-1, 3)
    fill = [corners for rim in _rims(_loose(around)) for corners in _filled(points, rim)]
    new = np.zeros(len(fill), ROW)
    if fill:
        new["corners"] = points[np.array(fill)]
    if _area(new["corners"]) > SLIVERS * _area(rows["corners"]):
        raise ExhaustError("the triangles leave a face open; ask for a finer chord or try .step")
    count = (len(rows) + len(new)).to_bytes(4, "little")
    return data[: HEAD - 4] + count + rows.tobytes() + new.tobytes()


def _area(corners: Corners) -> float:
    first, second = (corners[:, k].astype(float) - corners[:, 0] for k in (1, 2))
    return float(np.linalg.norm(np.cross(first, second), axis=1).sum() / 2.0)


def _loose(around: npt.NDArray[Any]) -> list[tuple[int, int]]:
    """Return the edges that a closed surface would still need, each as start and end."""
    there = np.concatenate([around[:, [k, (k + 1) % 3]] for k in range(3)])
    there = there[there[:, 0] != there[:, 1]]
    both = np.concatenate([there, there[:, ::-1]])
    edges, which = np.unique(both, axis=0, return_inverse=True)
    forth = np.bincount(which.ravel()[: len(there)], minlength=len(edges))
    back = np.bincount(which.ravel()[len(there) :], minlength=len(edges))
    return [(int(a), int(b)) for a, b in np.repeat(edges, np.maximum(back - forth, 0), axis=0)]


def _rims(needed: list[tuple[int, int]]) -> list[list[int]]:
    """Return needed edges in closed rims that pass through no corner twice, as their corners."""
    ways, found = defaultdict(list), []
    for start, end in needed:
        ways[start].append(end)
    while ways:
        path = [next(iter(ways))]
        while ends := ways.get(path[-1]):
            at = ends.pop()
            if not ends:
                del ways[path[-1]]
            if at in path:
                first = path.index(at)
                found.append(path[first:])
                path = path[: first + 1]
            else:
                path.append(at)
    return found


def _filled(points: Corners, rim: list[int]) -> list[tuple[int, int, int]]:
    """Return triangles between the two sides of a rim, from its sharpest corner on."""
    place = points[rim].astype(float)
    ahead, behind = np.roll(place, -1, axis=0) - place, np.roll(place, 1, axis=0) - place
    size = np.linalg.norm(ahead, axis=1) * np.linalg.norm(behind, axis=1)
    sharp = int(np.argmax(np.einsum("ij,ij->i", ahead, behind) / size))
    rim, place = rim[sharp:] + rim[:sharp], np.roll(place, -sharp, axis=0)
    one, other, found = 1, len(rim) - 1, []
    found.append((rim[0], rim[one], rim[other]))
    while other - one > 1:
        across = np.linalg.norm(place[one + 1] - place[other])
        if across < np.linalg.norm(place[one] - place[other - 1]):
            found.append((rim[one], rim[one + 1], rim[other]))
            one += 1
        else:
            found.append((rim[one], rim[other - 1], rim[other]))
            other -= 1
    return found
