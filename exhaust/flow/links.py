"""A network as the solver takes it: links of pieces between places, and what comes in where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.passage import more_than_zero
from exhaust.flow.piece import Piece

_FINE = 1e-9


class Link(NamedTuple):
    """Pieces in series from the place `start` to the place `end`, by name.

    `leaving` and `arriving` are unit vectors out of the junction at its start and at its end,
    along the link [-]; unused where there is no junction.
    """

    name: str
    start: str
    end: str
    pieces: tuple[Piece, ...]
    leaving: tuple[float, ...] = (1.0, 0.0, 0.0)
    arriving: tuple[float, ...] = (-1.0, 0.0, 0.0)


class Network(NamedTuple):
    """`links` in the order of the flow, and the share of the engine's gas at each of `sources`.

    A place that links start from and end at is a junction; one they only end at, an outlet.
    """

    links: tuple[Link, ...]
    sources: Mapping[str, ArrayLike]

    @property
    def junctions(self) -> tuple[str, ...]:
        """The places where links meet."""
        starts = {link.start for link in self.links}
        return tuple(dict.fromkeys(link.end for link in self.links if link.end in starts))

    @property
    def free(self) -> tuple[int, ...]:
        """The links whose flow is not a source's."""
        return tuple(i for i, link in enumerate(self.links) if link.start not in self.sources)


def check_network(network: Network) -> None:
    """Raise ExhaustError, by name, where a network cannot be solved as it is described.

    >>> check_network(Network((), {"engine": 1.0}))
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: links is empty; give at least one link
    """
    if not network.links:
        raise broken("is empty", None, "give at least one link").named("links")
    names, starts = (Counter(column) for column in list(zip(*network.links, strict=True))[:2])
    ends = {link.end for link in network.links}
    for name, count in names.items():
        if count > 1:
            raise broken("is the name of several runs", count, "name each once").named(f"{name!r}")
    for link in network.links:
        if link.start == link.end:
            raise broken(f"ends at {link.end!r}, where it starts").named(f"run {link.name!r}")
        if link.start not in ends and link.start not in network.sources:
            rule = f"starts at {link.start!r}, where nothing comes in"
            remedy = f"name {link.start!r} among the sources, or a run that ends there"
            raise broken(rule, None, remedy).named(f"run {link.name!r}")
    for place, share in network.sources.items():
        if starts[place] != 1 or place in ends:
            rule = "must be where one run starts and none ends"
            raise broken(rule, f"{starts[place]} start").named(f"source {place!r}")
        more_than_zero(f"share of {place!r}", share)
    whole = sum(np.asarray(share, float) for share in network.sources.values())
    if not np.allclose(whole, 1.0, rtol=0, atol=_FINE):
        raise broken("must add up to one", f"{np.max(whole):g}").named("shares of the sources")
