"""How long networks take: many samples by the quick march, a few by the full one; and a piece."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from exhaust.engine.species import gas_table
from exhaust.flow.chain import Chained
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.links import Link, Network
from exhaust.flow.network import network_flow
from exhaust.flow.piece import Piece
from exhaust.gas.properties import Mixture

MANY, FEW, REPEATS = 61440, 16, 3  # samples
AMBIENT = 101325.0
BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
RIGHT, LEFT = (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)


class Shop:
    """Makes links of tube with a wall of its own for each sample."""

    def __init__(self, emissivity: np.ndarray) -> None:
        self.heat = TubeHeat(BURNT, 1.0, 0.0016, Surroundings(AIR, 300.0, emissivity=emissivity))

    def piece(self, name: str, length: float, bore: float = 0.06, loss: float = 0.5) -> Piece:
        """Return one length of tube."""
        area = math.pi / 4 * bore**2
        return Piece(name, area, area, length, 1e-5, loss, distance=0.6, heat=self.heat)

    def link(self, start: str, end: str, *pieces: Piece) -> Link:
        """Return a link straight on."""
        return Link(f"{start} to {end}", start, end, pieces, RIGHT, LEFT)

    def single(self) -> Network:
        """One pipe: head, silencer, tail."""
        pieces = (self.piece("head", 1.5), self.piece("silencer", 0.5), self.piece("tail", 2.0))
        return Network((self.link("engine", "tip", *pieces),), {"engine": 1.0})

    def tails(self) -> Network:
        """One pipe into two tails of unlike length."""
        ways = (self.link("fork", "one", self.piece("one", 4.0)),)
        ways += (self.link("fork", "two", self.piece("two", 2.0)),)
        down = self.link("engine", "fork", self.piece("down", 1.5))
        return Network((down, *ways), {"engine": 1.0})

    def crossed(self) -> Network:
        """Two fours into ones, a crossover at a point, tails of unlike length."""
        ports = [f"port {side}{n}" for side in "AB" for n in range(4)]
        primaries = [
            self.link(port, f"collector {port[5]}", self.piece(port, 0.7, 0.042)) for port in ports
        ]
        onward = [self.link(f"collector {s}", "X", self.piece(s, 0.5)) for s in "AB"]
        tails = [self.link("X", f"tip {s}", self.piece(s, 2.0 + (s == "B"))) for s in "AB"]
        return Network((*primaries, *onward, *tails), dict.fromkeys(ports, 1 / 8))


def seconds(work: Callable[[], object]) -> float:
    """Return the least time of a few runs of `work` [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def samples(count: int) -> tuple[Shop, np.ndarray, np.ndarray]:
    """Return a shop, mass flows and temperatures, drawn."""
    rng = np.random.default_rng(20)
    shop = Shop(rng.uniform(0.25, 0.8, count))
    return shop, rng.uniform(0.08, 0.2, count), rng.uniform(900.0, 1200.0, count)


if __name__ == "__main__":
    shop, m, hot = samples(MANY)
    chain = Chained([shop.piece("tube", 2.0)], BURNT, "quick")
    down = chain.down(m, hot)
    heat, pressure = partial(chain.down, m, hot), partial(chain.up, down, AMBIENT)
    took = [f"{1e3 * seconds(work):.0f} ms" for work in (heat, pressure)]
    print(f"one piece, quick, {MANY} samples: heat {took[0]}, pressure {took[1]}")
    for method, count in (("quick", MANY), ("full", FEW)):
        shop, m, hot = samples(count)
        for name in ("single", "tails", "crossed"):
            network = getattr(shop, name)()
            solve = partial(network_flow, network, BURNT, m, hot, AMBIENT, method)
            steps = solve().steps
            print(f"{name:8} {method:5} {count:6} samples: {seconds(solve):.2f} s, {steps} steps")
