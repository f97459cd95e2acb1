"""The stock plan: every piece, what it comes from, what to buy, to weld and to purge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import attrs

from exhaust.cutmath.cutsheet import Part, parts_table, shelf_name
from exhaust.cutmath.opened import Opened
from exhaust.cutmath.purge import Purge
from exhaust.cutmath.supply import Stock
from exhaust.joints import Joint
from exhaust.joints.shared import Seam, welded
from exhaust.show import Column, Fact, Result, System, Table, listed, number, quantity
from exhaust.stock import Bend, Saw, Tube, alike
from exhaust.system import System as Exhaust


@attrs.frozen(kw_only=True, repr=False)
class StockPlan(Result):
    """Parts, stock and welds of a whole exhaust.

    `parts` of the joint and of the runs; `opened`, every tube and bend with its cuts in order;
    `gap`, by which more may be bought than the least possible, as a share (0: proven least);
    `seams`, every weld; `purges` of the joint alone and of the whole; `mass` of tube and joint
    [kg], parts in line not counted.
    """

    system: Exhaust
    saw: Saw
    stock: Stock
    joint: Joint | None
    parts: tuple[Part, ...]
    opened: tuple[Opened, ...]
    gap: float
    seams: tuple[Seam, ...]
    purges: tuple[Purge, ...]
    cautions: tuple[str, ...]
    title: str = "Parts and stock"

    @property
    def mass(self) -> float:
        """Mass of runs and joint, without weld metal and parts in line [kg]."""
        runs = sum(run.length * run.tube.mass_per_length for run in self.system.runs)
        return self.system.pipes * runs + (0.0 if self.joint is None else self.joint.mass)

    @property
    def bought_mass(self) -> float:
        """Mass of what is bought [kg]."""
        return sum(
            one.length * _tube(one).mass_per_length for one in self.opened if not one.on_hand
        )

    @property
    def weld_length(self) -> float:
        """Length of every weld together [m]."""
        return welded(self.seams)

    @property
    def buy(self) -> tuple[tuple[Tube | Bend, float, int], ...]:
        """What to buy: the tube or bend, the length of one [m], how many."""
        wanted = Counter(
            (one.stock, one.length) for one in self.opened if not one.on_hand
        )  # in the order of the plan
        return tuple((stock, length, count) for (stock, length), count in wanted.items())

    @property
    def left(self) -> tuple[Opened, ...]:
        """The tubes that something is left of, the longest first."""
        tubes = [one for one in self.opened if isinstance(one.stock, Tube) and one.left > 0.0]
        return tuple(sorted(tubes, key=lambda one: -one.left))

    @property
    def spared(self) -> tuple[Opened, ...]:
        """Of each tube the bought length that least is sawn from, if that is less than half."""
        found: dict[str, Opened] = {}
        for one in self.left:  # most left first
            if not one.on_hand and one.left > one.length / 2:
                found.setdefault(one.stock.name, one)
        return tuple(found.values())

    @property
    def reason(self) -> str:  # type: ignore[override]
        """What to buy, in a sentence."""
        what = [bought_words(*line) for line in self.buy]
        first = f"Buy {listed(what)}" if what else "Everything comes from what is on hand"
        return f"{first}: {_gap_words(self)}"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the plan takes for granted, in words."""
        return (*_assumptions(self), *self.purges[-1].assumptions)

    def facts(self) -> tuple[Fact, ...]:
        """Return what to buy, what is left, mass, welds and purge."""
        found = [
            Fact(f"Buy: {shelf_name(stock)}", count, "count", _of_length(stock, length))
            for stock, length, count in self.buy
        ]
        left = self.left
        if left:
            note = f"of {shelf_name(left[0].stock)}"
            found.append(Fact("Longest tube left", left[0].left, "cut", note))
        for one in self.spared:
            note = f"of {shelf_name(one.stock)}, in place of {quantity(one.length, 'run')}"
            found.append(Fact("An offcut that would do", one.length - one.left, "cut", note))
        found += [
            *_cost(self),
            Fact("Mass of tube and joint", self.mass, "mass", "parts in line not counted"),
            Fact("Mass of what is bought", self.bought_mass, "mass"),
            Fact("Weld in all", self.weld_length, "run"),
        ]
        for each in self.purges:
            whole = "the whole exhaust" if isinstance(each.what, Exhaust) else "the joint"
            note = f"{quantity(each.used, 'gas')} at {quantity(float(each.gas.flow), 'gas_flow')}"
            found.append(Fact(f"Purge {whole}, at least", each.time, "duration", note))
        return tuple(found)

    def rows(self) -> Table:
        """Return every tube and bend that is opened, alike ones in one row, with its cuts."""
        columns = (
            Column("count", "Count", "count"),
            Column("stock", "Stock"),
            Column("source", "Where from"),
            Column("cuts", "Cuts in order"),
            Column("length", "Length", "cut"),
            Column("left", "Left", "cut"),
        )
        rows = [
            (
                *(count, shelf_name(one.stock), "on hand" if one.on_hand else "buy"),
                *(cuts_words(one), one.length, one.left),
            )
            for one, count in Counter(self.opened).items()
        ]
        return Table(columns, tuple(rows))

    def parts_rows(self) -> Table:
        """Return every kind of piece, of the joint first, then run by run."""
        return parts_table(self.parts)

    def seams_rows(self) -> Table:
        """Return every kind of weld."""
        columns = (
            Column("weld", "Weld"),
            Column("count", "Count", "count"),
            Column("length", "Length of one", "cut"),
        )
        return Table(columns, tuple((one.name, one.count, one.length) for one in self.seams))

    def body_html(self, system: System | None = None) -> str:
        """Return facts, parts, stock with its cuts, and welds."""
        parts = ("<h5>Parts</h5>", self.parts_rows().html(system), "<h5>Stock</h5>")
        welds = ("<h5>Welds</h5>", self.seams_rows().html(system))
        return "".join((*parts, super().body_html(system), *welds))


def _tube(one: Opened) -> Tube:
    return one.stock.tube if isinstance(one.stock, Bend) else one.stock


def bought_words(stock: Tube | Bend, length: float, count: int) -> str:
    """Return a line of what to buy, in words.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> bought_words(tube, 6.096, 2), bought_words(Bend(tube, clr="4.5 in"), 0.18, 1)
    ('2 lengths of 20.0 ft of tube 3 in x 16 ga', '1 bend of 90°, 3 in x 16 ga, clr 4.5 in')
    """
    plural = "" if count == 1 else "s"
    if isinstance(stock, Bend):
        degrees, _, rest = stock.name.partition(" bend")
        return f"{count} bend{plural} of {degrees}{rest}"
    return f"{count} length{plural} of {quantity(length, 'run')} of {shelf_name(stock)}"


def _of_length(stock: Tube | Bend, length: float) -> str:
    return "" if isinstance(stock, Bend) else f"of {quantity(length, 'run')}"


def cuts_words(one: Opened) -> str:
    """Return the cuts of a tube or a bend in order: lengths of tube, angles of a run's bends.

    >>> from exhaust.cutmath.opened import Cut
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> cuts_words(Opened(tube, 6.0, (Cut("A", 1.0), Cut("A", 1.0), Cut("1a", 0.5)), 3.49, False))
    '2 x A 39.370, 1a 19.685'
    """
    found = []
    for cut, count in Counter(one.cuts).items():
        size = "" if isinstance(one.stock, Bend) else number(cut.length, "cut")
        size = quantity(cut.angle, "angle") if cut.angle else size
        found.append(f"{count} x " * (count > 1) + f"{cut.label} {size}".strip())
    return ", ".join(found)


def _gap_words(plan: StockPlan) -> str:
    if not plan.gap:
        return "no plan buys less"
    return f"the least possible is at most {quantity(plan.gap, 'percent')} less"


def _cost(plan: StockPlan) -> Sequence[Fact]:
    """Return the cost of what is bought in the system's own tube, as far as it is priced."""
    stock, own = plan.stock, plan.system.tube
    found, note = [], f"in {own.name}, in the money of the job"
    ours = [one for one in plan.opened if not one.on_hand and alike(_tube(one), own)]
    bends = [one for one in ours if isinstance(one.stock, Bend)]
    if stock.price_per_length is not None:
        length = sum(one.length for one in ours if isinstance(one.stock, Tube))
        found.append(Fact("Cost of tube", length * stock.price_per_length, "ratio", note))
    if stock.price_per_bend is not None:
        found.append(Fact("Cost of bends", len(bends) * stock.price_per_bend, "ratio", note))
    return found


def _assumptions(plan: StockPlan) -> tuple[str, ...]:
    stock, saw = plan.stock, plan.saw
    angles = listed([quantity(float(angle), "angle") for angle in stock.bend_angles])
    found = [
        f"One end of every tube is squared first, {quantity(float(stock.trim), 'cut')} with its "
        f"kerf; each piece takes a kerf of {quantity(float(saw.kerf), 'cut')}.",
        f"Bends are sold at {angles}; others are sawn from them. A kerf costs length, not angle, "
        "and the straights of the run make it up. Straight ends of a run's bends are a reserve.",
        "Welds: between pieces, and where a run meets a joint, a part, a cone or a merge; none at "
        "inlets, tips and flanges. Parts, cones and merges come ready made and are not weighed.",
    ]
    shared = [run.name for run in plan.system.runs if run.bends and not run.straights]
    if shared:
        found.insert(
            0,
            f"Straights of {listed(shared)} are not described: its tube is shared evenly between "
            "its bends. Measure each under the car before sawing; the total holds.",
        )
    if not stock.lengths:
        sold = {quantity(stock.sold(_tube(one))[0], "run") for one in plan.opened}
        found.insert(
            len(shared) > 0, f"Tube is sold in lengths of {listed(sorted(sold))} (common practice)."
        )
    return tuple(found)
