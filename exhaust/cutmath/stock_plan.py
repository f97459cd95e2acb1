"""Every piece of a joint and its runs nested into the tube and bends that the shop can have."""

from __future__ import annotations

from exhaust import cutmath
from exhaust.cutmath.cutsheet import CutSheet
from exhaust.cutmath.opened import bends_opened, tubes_opened
from exhaust.cutmath.purge import purge
from exhaust.cutmath.run_parts import run_parts, run_seams
from exhaust.cutmath.stock_result import StockPlan
from exhaust.cutmath.supply import PurgeGas, Stock
from exhaust.describe import require
from exhaust.stock import Saw
from exhaust.system import System
from exhaust.tables import cautions

A_STOCK, A_GAS = Stock(), PurgeGas()


def stock_plan(
    system: System, saw: Saw, stock: Stock = A_STOCK, gas: PurgeGas = A_GAS
) -> StockPlan:
    """Return what to buy for `system`, what to saw from what, and what it weighs, welds, purges.

    Every piece of the joint and of the runs, kerf and trim counted, nested into stock so that
    the least is bought. Raises `ExhaustError` for a piece that no stock holds.

    >>> from exhaust import Bend, Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> tail = Run(name="tail", tube=tube, length="3.2 m", bends=[Bend(tube, clr="4.5 in")])
    >>> plan = stock_plan(System(runs=[tail], pipes=2), Saw(kerf="1.1 mm"))
    >>> plan.reason
    'Buy 1 length of 20.0 ft of tube 3 in x 16 ga and 2 bends of 90°, 3 in x 16 ga, clr 4.5 in: ...'
    """
    require(system, System, "system")
    require(saw, Saw, "saw")
    require(stock, Stock, "stock")
    require(gas, PurgeGas, "gas")
    sheet = None if system.joint is None else cutmath.cut_sheet(system.joint, saw)
    return planned(system, saw, sheet, stock, gas)


def planned(
    system: System, saw: Saw, sheet: CutSheet | None, stock: Stock, gas: PurgeGas
) -> StockPlan:
    """Return the plan of `stock_plan` where the cut sheet of the joint is there already."""
    joint, own = (None, ()) if sheet is None else (sheet.joint, sheet.parts)
    runs = run_parts(system, saw, stock)
    tubes, tube_gap = tubes_opened((*own, *runs), saw, stock)
    bends, bend_gap = bends_opened(own, runs, stock)
    whole = purge(system, gas)
    return StockPlan(
        system=system,
        saw=saw,
        stock=stock,
        joint=joint,
        parts=(*own, *runs),
        opened=(*tubes, *bends),
        gap=max(tube_gap, bend_gap),
        seams=(*(() if joint is None else joint.seams), *run_seams(system, saw, stock)),
        purges=(whole,) if joint is None else (purge(joint, gas), whole),
        cautions=cautions("purge"),
    )
