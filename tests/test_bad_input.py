"""Bad input, generated over every argument of every public description and question.

Each must raise one `ExhaustError` that is one sentence and names the argument: never a
`TypeError`, a traceback of a library, or silence.
"""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable, Iterator
from typing import Any

import attrs
import pytest

import exhaust
from exhaust import (
    Ambient,
    Bend,
    Cam,
    Cone,
    Engine,
    ExhaustError,
    HPipe,
    Inlet,
    Limits,
    Measured,
    Merge,
    Offcut,
    OperatingPoint,
    ParallelToSplayedX,
    ParallelX,
    Part,
    PortReading,
    PortReadings,
    Pulses,
    PurgeGas,
    Room,
    Run,
    Saw,
    Sensor,
    SplayedX,
    SplitJoint,
    Stock,
    System,
    Tolerances,
    Tube,
    YMerge,
    as_measured,
    compare_balance_tubes,
    compare_crossovers,
    compare_measured,
    compare_merges,
    compare_merges_in_pulses,
    compare_sound,
    compare_speeds,
    compare_tubes,
    cut_sheet,
    exhaust_flow,
    fit_up,
    flow_through,
    joints_that_fit,
    simulate,
    stock_plan,
)
from exhaust.describe import Description, argument_name, dimension_of

TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in")
X = ParallelX(BEND, cutback=0.28)
RUN = Run(name="tail", tube=TUBE, length="3 m", loss=1.8)
BEHIND = Run(name="behind", tube=TUBE, length="1 m")
READING = PortReading(speed="6000 rpm", back_pressure_gauge="1.1 psi")

GOOD: dict[type[Description], dict[str, Any]] = {
    Ambient: {"altitude": "300 m", "temperature": "25 degC", "humidity": 0.4},
    Bend: {"tube": TUBE, "clr": "4.5 in", "angle": "90 deg", "tangent": "1 in"},
    Cam: {
        "opens": "70 deg",
        "closes": "25 deg",
        "lift": "10 mm",
        "valve": "36 mm",
        "valves": 1,
        "discharge": 0.7,
        "bore": "94 mm",
        "rod": "150 mm",
    },
    Cone: {"name": "step", "length": "4 in"},
    Engine: {
        "displacement": "5.1 L",
        "cylinders": 8,
        "firing_order": (1, 8, 4, 3, 6, 5, 7, 2),
        "left_bank": (1, 3, 5, 7),
        "fuel": "gasoline",
        "compression_ratio": 10.2,
    },
    HPipe: {
        "tube": TUBE,
        "balance_tube": Tube(od="2 in", wall="16 ga"),
        "spacing": "10 in",
        "angle": "80 deg",
        "offset": "0.25 in",
        "splay": "10 deg",
        "length": "14 in",
        "split": SplitJoint(kind="V-band", length="1.5 in"),
    },
    Inlet: {"name": "left bank", "cylinders": (1, 3, 5, 7), "distance": "0.6 m"},
    Limits: {
        "worth_having": 0.01,
        "largest_od": "4 in",
        "largest_back_pressure_gauge": "4 psi",
    },
    Measured: {
        "od_heel_to_throat": "2.99 in",
        "od_side_to_side": "3.02 in",
        "wall": "16 ga",
        "heel_wall": "0.052 in",
        "bend_angle": "91 deg",
        "return_angle": "90 deg",
        "tangent": "1 in",
        "return_tangent": "1 in",
        "opening_length": "6 in",
        "opening_height": "2.7 in",
        "mitre_opening": "3.3 in",
        "exit_mitre_opening": "3.3 in",
        "halved_opening": "4.3 in",
        "kerf": "0.045 in",
    },
    Merge: {"name": "collector", "angle": "10 deg"},
    OperatingPoint: {
        "speed": "6200 rpm",
        "volumetric_efficiency": 0.92,
        "power": "300 kW",
        "bsfc": "270 g/kWh",
        "lambda_": 0.88,
        "boost_gauge": "8 psi",
        "charger": "supercharger",
        "charge_temperature": "50 degC",
        "gas_temperature": "800 degC",
        "gas_temperature_at": "collector",
    },
    Offcut: {"tube": TUBE, "length": "40 in"},
    PurgeGas: {"flow": "30 cfh", "oxygen": 0.001},
    Room: {"width": "17 in", "height": "6 in", "length": "40 in", "clearance": "1 in"},
    Part: {
        "name": "silencer",
        "kind": "silencer",
        "rated_flow": "450 cfm",
        "rated_depression": "28 inH2O",
    },
    PortReading: {
        "speed": "6000 rpm",
        "back_pressure_gauge": "1.1 psi",
        "volumetric_efficiency": 0.92,
        "gas_temperature": "800 degC",
    },
    PortReadings: {
        "readings": (READING,),
        "gauge_accuracy": "0.1 psi",
        "ambient": Ambient(),
    },
    Pulses: {
        "cam": Cam(),
        "primary": TUBE,
        "cell": "10 mm",
        "junction": "momentum",
        "most_cycles": 40,
        "samples": 8,
        "worth_having": 0.01,
    },
    ParallelX: {"bend": BEND, "cutback": 0.28, "spacing": "10.5 in", "return_bend": BEND},
    ParallelToSplayedX: {
        "bend": BEND,
        "cutback": 0.28,
        "included_angle": "45 deg",
        "leg_length": "8 in",
        "spacing": "10.5 in",
        "return_bend": BEND,
        "legs": "mitred",
        "parallel_end": "exit",
    },
    Run: {
        "name": "tail",
        "tube": TUBE,
        "length": "3 m",
        "bends": (BEND,),
        "straights": ("1.4 m", "1.4205 m"),
        "loss": 1.8,
        "from_": "engine",
        "to": "silencer",
    },
    Saw: {
        "kerf": "1.1 mm",
        "kind": "upright",
        "height_capacity": "7 in",
        "width_capacity": "12 in",
        "largest_angle": "45 deg",
        "angle_step": "0.5 deg",
        "clamp_length": "2 in",
    },
    Sensor: {"name": "lambda", "run": "tail", "distance": "10 in"},
    SplayedX: {
        "tube": TUBE,
        "included_angle": "45 deg",
        "cutback": 0.3,
        "leg_length": "8 in",
        "exit_angle": "60 deg",
        "exit_leg_length": "9 in",
        "unequal": "plain",
    },
    System: {
        "runs": (RUN, BEHIND),
        "pipes": 2,
        "joint": X,
        "joint_at": "X",
        "inlets": (Inlet(name="collector"),),
        "places": (),
        "sensors": (Sensor(name="lambda", run="tail", distance="10 in"),),
    },
    Stock: {
        "lengths": ("10 ft", "20 ft"),
        "trim": "5 mm",
        "bend_angles": ("90 deg", "180 deg"),
        "on_hand": (BEND, Offcut(TUBE, length="40 in")),
        "price_per_length": "4.20 /ft",
        "price_per_bend": 18.0,
    },
    Tolerances: {
        "depth": "0.5 mm",
        "blade_angle": "0.5 deg",
        "clocking": "1 deg",
        "halving": "0.5 deg",
        "bend_angle": "1 deg",
        "od": "0.2 mm",
        "offset": "0.5 mm",
        "gap": "1 mm",
    },
    SplitJoint: {"kind": "V-band", "length": "1.5 in", "gap": "0.1 in"},
    Tube: {"od": "3 in", "wall": "16 ga", "material": "304"},
    YMerge: {
        "bend": BEND,
        "outlet": Tube(od="3.5 in", wall="16 ga"),
        "cutback": 0.4,
        "legs": "parallel",
        "spacing": "10.5 in",
        "return_bend": BEND,
        "outlet_straight": "4 in",
    },
}

UNITLESS = {"": "empty", "fast": "words", "nan": "nan", "inf mm": "infinite", "3,5 mm": "comma"}
OF_ANY_DIMENSION: tuple[Any, ...] = (
    3,
    3.0,
    math.nan,
    math.inf,
    True,
    b"3 in",
    [],
    {},
    object(),
    *UNITLESS,
    "1e999 mm",
    "1/0 in",
    "3 furlongs/fortnight^3",
    "3 candela",
)
OUT_OF_RANGE = {
    "length": ("-1 m", "1e6 m"),
    "angle": ("-1 deg", "1e5 deg"),
    "speed": ("-1 rpm", "0 rpm", "1e7 rpm"),
    "temperature": ("-300 degC", "0 K", "1e6 K"),
    "pressure": ("-1 kPa", "1e9 kPa"),
    "power": ("-1 kW", "0 kW"),
    "volume": ("-1 L", "0 L", "1e9 L"),
    "volume_flow": ("-1 cfm", "0 cfm"),
    "price_per_length": ("0 /ft", "-1 /m"),
    "fuel_per_energy": ("0 g/kWh", "-1 g/kWh", "1e9 g/kWh"),
}
ANY_LENGTH_WILL_DO = {"height_capacity", "width_capacity", "clamp_length", "largest_od"}
ANY_PRESSURE_WILL_DO = {"largest_back_pressure_gauge"}
OF_A_BARE_NUMBER: tuple[Any, ...] = (
    "",
    "0.9",
    "3 in",
    math.nan,
    math.inf,
    -math.inf,
    -5,
    1e9,
    True,
    [],
    object(),
)
OF_A_PART: tuple[Any, ...] = (3, "3 in", object(), [3], (RUN, 3))


def bad_values(kind: type[Description], field: attrs.Attribute[Any]) -> Iterator[Any]:
    """Values that `field` of `kind` must refuse."""
    name, dimension = argument_name(field), dimension_of(field)
    optional = field.default is None
    if not optional:
        yield None
    if dimension:
        yield from OF_ANY_DIMENSION
        ranges = OUT_OF_RANGE[dimension]
        if name == "altitude":
            ranges = ("-1 km", "1e6 m")
        if name == "back_pressure_gauge":  # a port may suck
            ranges = ("-30 kPa", "1e9 kPa")
        loose = name in ANY_LENGTH_WILL_DO | ANY_PRESSURE_WILL_DO
        yield from ranges[:1] if loose else ranges
    elif name in {"firing_order", "left_bank"} or (kind, name) == (Inlet, "cylinders"):
        yield from (3, "1-8-4-3", (1, 1), (0,), (1.5,), ("1",), (True,), object())
        if kind is Engine:
            yield (9,)
    elif isinstance(good_value(kind, name), (int, float)):
        yield from OF_A_BARE_NUMBER
    elif isinstance(good_value(kind, name), str):
        yield from (3, math.nan, True, [], object(), "", "  ") + (
            () if name in ANY_NAME_WILL_DO else ("no such thing",)
        )
    else:
        yield from OF_A_PART


ANY_NAME_WILL_DO = {"name", "from_", "to", "run", "joint_at"}
GOOD_VALUE = {name: value for good in GOOD.values() for name, value in good.items()}


def good_value(kind: type[Description], name: str) -> Any:
    """A value that `kind` takes, or what others of that name take: not all go together."""
    return GOOD[kind].get(name, GOOD_VALUE[name])


CASES = [
    pytest.param(
        kind, argument_name(field), value, id=f"{kind.__name__}-{argument_name(field)}-{n}"
    )
    for kind in GOOD
    for field in attrs.fields(kind)  # type: ignore[arg-type]
    if field.init and argument_name(field) in GOOD_VALUE
    for n, value in enumerate(bad_values(kind, field))
]


def one_sentence(error: ExhaustError) -> str:
    text = str(error)
    assert text
    assert "\n" not in text
    assert len(text) < 260, text
    assert "Traceback" not in text
    assert "object at 0x" not in text
    return text


@pytest.mark.parametrize(("kind", "name", "value"), CASES)
def test_every_argument_refuses_what_it_cannot_be(
    kind: type[Description], name: str, value: Any
) -> None:
    with pytest.raises(ExhaustError) as caught:
        kind(**(GOOD[kind] | {name: value}))
    assert name in one_sentence(caught.value)


@pytest.mark.parametrize("kind", GOOD)
def test_a_missing_argument_is_asked_for_by_name(kind: type[Description]) -> None:
    for field in attrs.fields(kind):  # type: ignore[arg-type]
        name = argument_name(field)
        if not field.init or field.default is not attrs.NOTHING:
            continue
        rest = {key: value for key, value in GOOD[kind].items() if key != name}
        with pytest.raises(ExhaustError, match=f"{kind.__name__} needs {name}"):
            kind(**rest)


@pytest.mark.parametrize("kind", GOOD)
def test_an_unknown_argument_is_answered_with_the_nearest(kind: type[Description]) -> None:
    name = next(iter(GOOD[kind]))
    with pytest.raises(ExhaustError, match=f'has no .* nearest: "{name}"'):
        kind(**GOOD[kind], **{name + "x": 1})


@pytest.mark.parametrize("kind", GOOD)
def test_the_good_ones_are_good_and_come_round_again(kind: type[Description]) -> None:
    made = kind(**GOOD[kind])
    assert made.with_() == made
    assert hash(made) == hash(made.with_())
    assert repr(made).startswith(kind.__name__)


def test_every_public_description_is_tried() -> None:
    public = {getattr(exhaust, name) for name in exhaust.__all__}
    descriptions = {
        kind for kind in public if isinstance(kind, type) and issubclass(kind, Description)
    }
    assert descriptions == set(GOOD)


SYSTEM = System(runs=[RUN, BEHIND], pipes=2, joint=X)
ENGINE = Engine(**GOOD[Engine])
DUTY = OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.92, lambda_=0.88)
QUESTIONS: dict[Callable[..., Any], dict[str, Any]] = {
    exhaust_flow: {"engine": ENGINE, "duty": DUTY, "ambient": Ambient()},
    compare_tubes: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "ambient": Ambient(),
        "tubes": [TUBE],
        "limits": Limits(),
    },
    compare_merges: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "ambient": Ambient(),
        "outlets": [TUBE],
        "limits": Limits(),
    },
    flow_through: {"system": SYSTEM, "engine": ENGINE, "duty": DUTY, "ambient": Ambient()},
    compare_speeds: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "ambient": Ambient(),
        "tubes": [TUBE],
        "speeds": ["3000 rpm"],
    },
    compare_measured: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "readings": PortReadings(readings=[READING]),
        "ambient": Ambient(),
    },
    compare_balance_tubes: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "ambient": Ambient(),
        "tubes": [TUBE],
        "pulses": Pulses(),
    },
    compare_crossovers: {
        "system": SYSTEM,
        "engine": ENGINE,
        "duty": DUTY,
        "ambient": Ambient(),
        "joints": [X],
        "pulses": Pulses(),
    },
    simulate: {
        "engine": ENGINE,
        "system": SYSTEM,
        "duty": DUTY,
        "ambient": Ambient(),
        "pulses": Pulses(),
    },
    compare_merges_in_pulses: {
        "steady": compare_merges(SYSTEM, ENGINE, DUTY, outlets=[TUBE]),
        "pulses": Pulses(),
    },
    compare_sound: {"options": {}},
    joints_that_fit: {"room": Room(**GOOD[Room]), "joints": [X]},
    cut_sheet: {"joint": X, "saw": Saw(kerf="1.1 mm")},
    stock_plan: {
        "system": SYSTEM,
        "saw": Saw(kerf="1.1 mm"),
        "stock": Stock(),
        "gas": PurgeGas(),
    },
    as_measured: {"joint": X, "saw": Saw(kerf="1.1 mm"), "measured": Measured()},
    fit_up: {
        "joint": X,
        "saw": Saw(kerf="1.1 mm"),
        "tolerances": Tolerances(),
        "turned": "best",
        "samples": 16,
        "seed": 20,
    },
}


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.__name__)
def test_every_question_refuses_the_wrong_kind_by_name(question: Callable[..., Any]) -> None:
    good = QUESTIONS[question]
    assert list(inspect.signature(question).parameters) == list(good)
    for name in good:
        optional = inspect.signature(question).parameters[name].default is None
        for value in ([] if optional else [None]) + ["3 in", 3.0, object(), Saw, [3], {}]:
            with pytest.raises(ExhaustError) as caught:
                question(**(good | {name: value}))
            assert name.rstrip("s") in one_sentence(caught.value)


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.__name__)
def test_every_question_refuses_its_first_two_the_other_way_round(
    question: Callable[..., Any],
) -> None:
    """`simulate` asks for the engine first, comparisons for the system: easily mixed up."""
    first, *others = QUESTIONS[question].values()
    if not others or not all(isinstance(one, Description) for one in (first, others[0])):
        return
    with pytest.raises(ExhaustError, match=r"must be an? \S+ \(got") as caught:
        question(others[0], first, *others[1:])
    one_sentence(caught.value)
