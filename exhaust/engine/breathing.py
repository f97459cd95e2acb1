"""Air and fuel that go into an engine, and the power that comes out."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.bands import Band
from exhaust.engine.assumed import Sentence, percent
from exhaust.engine.descriptions import Engine, OperatingPoint
from exhaust.engine.fuel import Fuel
from exhaust.engine.fuel import fuel as fuel_named
from exhaust.engine.intake import Intake
from exhaust.errors import broken
from exhaust.units import SI

G_PER_KWH = 1e-3 / 3.6e6  # [kg/J]
# Full-load bsfc where none is given, on the fuel named; common practice.
USUAL_BSFC = {"spark": (270 * G_PER_KWH, "gasoline"), "compression": (215 * G_PER_KWH, "diesel")}
TYPED_SPREAD = 0.03  # of a volumetric efficiency that was typed, each way; common practice
POWER_SPREAD = 0.05  # of one that follows from power and bsfc, each way; common practice
LOWEST_EFFICIENCY, HIGHEST_EFFICIENCY = 0.05, 1.6  # volumetric, as OperatingPoint takes it
BEST_BRAKE_EFFICIENCY = 0.5  # no engine of this trade makes more power of its heat
RICHEST_DIESEL = 1.05  # lambda at the smoke limit; common practice


class Breathing(NamedTuple):
    """Flows into the engine, and the volumetric efficiency that they mean."""

    air: float  # dry [kg/s]
    vapour: float  # [kg/s]
    fuel: float  # [kg/s]
    efficiency: Band
    disagreement: float | None
    sentences: tuple[Sentence, ...]


def check_lambda(duty: OperatingPoint, fuel: Fuel) -> None:
    """Refuse a diesel that is richer than it can burn.

    >>> duty = OperatingPoint(speed="2000 rpm", volumetric_efficiency=0.9)
    >>> check_lambda(duty, fuel_named("diesel"))
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: lambda_ of diesel must be at least 1.05 (got 1); 1.3 to 1.6 is ...
    """
    if fuel.ignition == "compression" and duty.lambda_ < RICHEST_DIESEL:
        rule = f"must be at least {RICHEST_DIESEL:g}"
        remedy = "1.3 to 1.6 is usual at full load"
        raise broken(rule, f"{duty.lambda_:g}", remedy).named(f"lambda_ of {fuel.name}")


def breathing(engine: Engine, duty: OperatingPoint, inside: Intake, fuel: Fuel) -> Breathing:
    """Return air, water and fuel from volumetric efficiency, or else from power and bsfc.

    m = eta rho V omega/(4 pi), four-stroke, rho of the moist air in the intake [heywood];
    m_air = lambda (A/F)s P bsfc.

    >>> from exhaust.engine.descriptions import Ambient
    >>> from exhaust.engine.intake import intake_air
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> inside = intake_air(duty, Ambient())
    >>> round(breathing(engine, duty, inside, fuel_named("gasoline")).air, 3)
    0.276
    """
    moist = 1 + inside.humidity_ratio
    swept = inside.density * engine.displacement * duty.speed / (4 * math.pi)
    by_power = None
    if duty.power is not None and duty.bsfc is not None:
        by_power = duty.lambda_ * fuel.stoichiometric_air * duty.power * duty.bsfc
    disagreement, said = None, []
    if duty.volumetric_efficiency is not None:
        efficiency, spread = duty.volumetric_efficiency, TYPED_SPREAD
        air = efficiency * swept / moist
        if by_power is not None:
            disagreement = by_power / air - 1
            said.append(_disagreement(disagreement))
        text = "Volumetric efficiency {} of the air in the intake"
    else:
        assert by_power is not None  # OperatingPoint takes one or the other
        air, efficiency, spread = by_power, by_power * moist / swept, POWER_SPREAD
        _check_efficiency(efficiency)
        text = "Air from power and bsfc; it means a volumetric efficiency of {}"
    text += f", within {percent(spread)} of itself (common practice)."
    said.append(Sentence(text, ((efficiency, "percent"),)))
    band = Band(efficiency * (1 - spread), efficiency, efficiency * (1 + spread))
    burnt = air / (duty.lambda_ * fuel.stoichiometric_air)
    return Breathing(air, air * (moist - 1), burnt, band, disagreement, tuple(said))


def _disagreement(more: float) -> Sentence:
    text = "Power and bsfc ask for {} " + ("more" if more >= 0 else "less")
    text += " air than volumetric efficiency gives, which is used; "
    text += "check lambda, bsfc, and whether power is at the crank or the wheels."
    return Sentence(text, ((abs(more), "percent"),))


def _check_efficiency(efficiency: float) -> None:
    if LOWEST_EFFICIENCY <= efficiency <= HIGHEST_EFFICIENCY:
        return
    low, high = percent(LOWEST_EFFICIENCY), percent(HIGHEST_EFFICIENCY)
    rule = f"must mean a volumetric efficiency between {low} and {high}"
    remedy = "check speed, displacement, lambda_, boost_gauge and the unit of power"
    raise broken(rule, percent(efficiency), remedy).named("power and bsfc")


def brake_power(
    duty: OperatingPoint, fuel: Fuel, fuel_flow: float, released: float
) -> tuple[float, tuple[Sentence, ...]]:
    """Return the power [W] and what was assumed of it; refuse more than half of the heat.

    Not given, it follows from `fuel_flow` [kg/s] and bsfc, of common practice when not given
    either, scaled by heating value to the fuel. `released` is the heat of what burnt [W].

    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> power, said = brake_power(duty, fuel_named("gasoline"), 0.02, 880e3)
    >>> round(power / 1e3)
    267
    """
    said: list[Sentence] = []
    if duty.power is not None:
        power = float(duty.power)
        _check_power("power", duty.power, power, released)
    elif duty.bsfc is not None:
        power = fuel_flow / duty.bsfc
        _check_power("bsfc", duty.bsfc, power, released)
    else:
        usual, on = USUAL_BSFC[fuel.ignition]
        bsfc = usual * fuel_named(on).heating_value / fuel.heating_value
        power = fuel_flow / bsfc
        text = f"Power is estimated at a bsfc of {{}} on {fuel.name} (common practice)."
        said.append(Sentence(text, ((bsfc, "fuel_per_energy"),)))
    return power, tuple(said)


def _check_power(name: str, given: float, power: float, released: float) -> None:
    """Refuse power beyond half of the heat, in the unit of the value that was given."""
    most = BEST_BRAKE_EFFICIENCY * released
    if power <= most:
        return
    limit = most if name == "power" else given * power / most
    bound = "at most" if name == "power" else "at least"
    rule = f"must be {bound} {_written(limit, given)}, half of the heat that the fuel releases"
    remedy = "check its unit, lambda_ and how much air the engine takes"
    raise broken(rule, _written(given, given), remedy).named(name)


def _written(value: float, given: float) -> str:
    if isinstance(given, SI):
        return f"{value / given.scale:.3g} {given.unit}"
    return f"{value:.3g}"
