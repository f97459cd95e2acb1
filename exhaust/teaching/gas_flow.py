"""Lesson 1: from the engine card to the gas in the pipe."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.engine.intake import intake_air
from exhaust.gas.air import standard_pressure
from exhaust.teaching.exercise import ROUNDED, Exercise, Mistake, demo_flow, demo_job
from exhaust.units import pressure, quantity, temperature

FAHRENHEIT = (5 / 9, temperature("0 degF"))  # one degree, and nought of them [K]
CELSIUS = (1.0, temperature("0 degC"))
FINE = 0.1 * pressure("1 psi")


def air_breathed() -> Exercise:
    """Volume of air that the engine takes in [m^3/s]."""
    job, flow = demo_job(), demo_flow()
    density = intake_air(job.duty, job.ambient).density
    right = (flow.air_flow + flow.vapour_flow) / density
    filled = flow.volumetric_efficiency_band.middle
    values = ((job.engine.displacement, "volume"), (job.duty.speed, "speed"), (filled, "percent"))
    return Exercise(
        question=Sentence(
            "A four-stroke of {} turns at {} and fills its cylinders to {}. How much air does it "
            "take in, measured as it stands in the intake?",
            values,
        ),
        kind="volume_flow",
        right=right,
        tolerance=0.01 * right,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "a filling at every turn of the crank",
                2 * right,
                "A four-stroke needs two turns for one breath: halve the speed.",
            ),
            Mistake(
                "cylinders filled to the brim",
                right / filled,
                "Volumetric efficiency says what share of the swept volume really gets in.",
            ),
            Mistake(
                "division by the volumetric efficiency",
                right / filled**2,
                "An engine that fills badly takes in less, not more: multiply.",
            ),
            Mistake(
                "one bank for the whole engine",
                right / 2,
                "The displacement on the card is that of all cylinders, and so is the air.",
            ),
        ),
        notice="Displacement, speed, filling: that is all. What the exhaust is like plays no part "
        "until it pushes back.",
    )


def grown_hot() -> Exercise:
    """How many times larger a volume grows with its temperature, at one pressure."""
    flow = demo_flow()
    cold, hot = flow.intake_temperature, flow.gas_temperature
    return Exercise(
        question=Sentence(
            "Air goes in at {} and leaves as gas at {}. By temperature alone, at one pressure, how "
            "many times larger is its volume?",
            ((cold, "temperature"), (hot, "temperature")),
        ),
        kind="ratio",
        right=hot / cold,
        tolerance=0.02,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "degrees Fahrenheit taken as they stand",
                _as_written(hot, FAHRENHEIT) / _as_written(cold, FAHRENHEIT),
                "Volume goes with absolute temperature: add 459.67 to each before you divide.",
            ),
            Mistake(
                "degrees Celsius taken as they stand",
                _as_written(hot, CELSIUS) / _as_written(cold, CELSIUS),
                "Volume goes with absolute temperature: add 273.15 to each before you divide.",
            ),
            Mistake("the ratio upside down", cold / hot, "Hot gas takes more room than cold air."),
        ),
        notice="Three times the volume through a pipe that is no larger than the intake: this is "
        "why the exhaust, not the intake, sets the tube.",
    )


def _as_written(kelvin: float, scale: tuple[float, float]) -> float:
    degree, nought = scale
    return (kelvin - nought) / degree


def gas_speed() -> Exercise:
    """Mean gas velocity in one of two pipes [m/s]."""
    job, flow = demo_job(), demo_flow()
    tube = job.system.tube
    density = flow.gas.density(flow.gas_temperature, flow.ambient_pressure)
    one = flow.per_bank["left"] / density
    right = one / tube.flow_area
    return Exercise(
        question=Sentence(
            "The engine blows {} of hot gas, half of it down each of two pipes of {} tube with a "
            "wall of {}. How fast does the gas go, on average?",
            ((2 * one, "volume_flow"), (float(tube.od), "tube"), (float(tube.wall), "tube")),
        ),
        kind="velocity",
        right=right,
        tolerance=0.01 * right,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "both banks' gas in one pipe",
                2 * right,
                "There are two pipes, and each carries its own bank.",
            ),
            Mistake(
                "the outside diameter taken for the inside",
                one / (math.pi / 4 * tube.od**2),
                "The gas never sees the wall: take off two wall thicknesses first.",
            ),
            Mistake(
                "the radius taken for the diameter",
                4 * right,
                "Half the diameter is a quarter of the area.",
            ),
            Mistake(
                "minutes taken for seconds",
                60 * right,
                "The flow is by the minute and the speed by the second.",
            ),
        ),
        notice="Two walls off the diameter cost nearly a tenth of the area. Gas that cools on its "
        "way slows down with it.",
    )


def absolute_pressure() -> Exercise:
    """Pressure that a gas's density goes with [Pa]."""
    job, flow = demo_job(), demo_flow()
    gauge = pressure("2 psi")
    sea_level = standard_pressure(0.0)
    return Exercise(
        question=Sentence(
            "A gauge at the collector reads {}. The shop stands {} up, where the air has {}. Which "
            "pressure do you put into the gas law?",
            (
                (gauge, "pressure"),
                (job.ambient.altitude, "run"),
                (flow.ambient_pressure, "pressure"),
            ),
        ),
        kind="pressure",
        right=flow.ambient_pressure + gauge,
        tolerance=FINE,
        because="a tenth of a psi is as fine as a gauge reads",
        mistakes=(
            Mistake(
                "gauge pressure taken for absolute",
                gauge,
                "A gauge reads nought in the open air, which is not empty: add the air's pressure.",
            ),
            Mistake(
                "the pressure of the air at sea level",
                sea_level + gauge,
                "Up here there is less air above you: take the pressure of this place and day.",
            ),
            Mistake(
                "the gauge reading taken off",
                flow.ambient_pressure - gauge,
                "Back pressure stands on top of the air's: add it.",
            ),
        ),
        notice="Back pressure is a small part of the whole: doubling the gauge reading makes the "
        "gas only a little denser.",
    )


def mixed_gas() -> Exercise:
    """Temperature of two streams of gas where they have mixed [K]."""
    gas = demo_flow().gas
    hot, cool = quantity("1300 degF", "temperature"), quantity("700 degF", "temperature")
    right = gas.temperature_at((2 * gas.enthalpy(hot) + gas.enthalpy(cool)) / 3)
    return Exercise(
        question=Sentence(
            "Two pipes meet. One brings twice as much gas as the other; the larger stream has {}, "
            "the smaller {}. How hot is the mixture?",
            ((hot, "temperature"), (cool, "temperature")),
        ),
        kind="temperature",
        right=float(right),
        tolerance=10.0,
        because="heat capacity rises with temperature, which shifts it by a few degrees",
        mistakes=(
            Mistake(
                "the mean of the two temperatures",
                (hot + cool) / 2,
                "Twice the gas brings twice the heat: weigh each temperature with its flow.",
            ),
            Mistake(
                "the flows changed about",
                (hot + 2 * cool) / 3,
                "The larger stream is the hot one.",
            ),
        ),
        notice="Heat adds up, temperatures do not. A sensor behind a crossover reads such a "
        "mixture, and neither bank.",
    )
