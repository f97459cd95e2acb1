"""The tubes to choose from: those given, or the usual stock."""

from __future__ import annotations

from exhaust import tables
from exhaust.errors import broken
from exhaust.stock import Tube


def by_size(tube: Tube) -> tuple[float, float]:
    """Return what orders tubes from small to large, light before heavy of one od.

    >>> by_size(Tube(od="3 in", wall="18 ga")) < by_size(Tube(od="3 in", wall="16 ga"))
    True
    """
    return float(tube.od), tube.mass_per_length


def shelf_tubes(like: Tube) -> list[Tube]:
    """Return the usual stock, small to large, in the material and unit system of `like`.

    Metric stock where the od of `like` was written in metric; one wall per od, the nearest to
    the wall of `like`.

    >>> [tube.name for tube in shelf_tubes(Tube(od="3 in", wall="16 ga"))][-3:]
    ['3 in x 16 ga', '3-1/2 in x 16 ga', '4 in x 16 ga']
    """
    system = "inch" if like.in_inches else "metric"
    nearest: dict[float, Tube] = {}
    for row in tables.read("tube"):
        if row["system"] != system:
            continue
        tube = Tube(od=row["od"], wall=row["wall"], material=like.material)
        held = nearest.get(float(tube.od), tube)
        if abs(tube.wall - like.wall) <= abs(held.wall - like.wall):
            nearest[float(tube.od)] = tube
    return sorted(nearest.values(), key=by_size)


def given_tubes(tubes: object, name: str) -> list[Tube]:
    """Return `tubes` small to large, each once; refuse an empty list or anything else by `name`.

    >>> given_tubes([], "tubes")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: tubes is empty; give at least one tube
    """
    if isinstance(tubes, str) or not hasattr(tubes, "__iter__"):
        got = repr(tubes) if isinstance(tubes, str) else type(tubes).__name__
        raise broken("must be a list of tubes", got).named(name)
    found: list[Tube] = []
    for tube in tubes:
        if not isinstance(tube, Tube):
            got = f"one {tube!r}" if isinstance(tube, str) else f"one {type(tube).__name__}"
            raise broken("must be a list of tubes", got, "make one with Tube(…)").named(name)
        if tube not in found:
            found.append(tube)
    if not found:
        raise broken("is empty", None, "give at least one tube").named(name)
    return sorted(found, key=by_size)
