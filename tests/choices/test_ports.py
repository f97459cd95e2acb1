"""Where to tap pressure and where sensors belong: lengths by hand, mixing by the graph."""

import math

import pytest

from exhaust import Bend, Engine, ParallelX, Run, System, Tube
from exhaust.choices.ports import mixing_places, port_note, pressure_tap, sensor_note
from exhaust.system import Inlet, Merge, Sensor

TUBE = Tube(od="3 in", wall="16 ga")
BORE = (3 - 2 * 0.065) * 0.0254
BEND = Bend(TUBE, clr="4.5 in", angle="90 deg")
QUARTER = math.pi / 2 * 4.5 * 0.0254  # of a circle: one bend on its centreline
X = ParallelX(BEND, cutback=0.28)
V8 = Engine(displacement="5 L", cylinders=8, left_bank=(1, 3, 5, 7))
FOUR = Engine(displacement="2 L", cylinders=4)


def run(name, length="1 m", **more):
    return Run(name=name, tube=TUBE, length=length, **more)


def crossed(sensor=None, distance="10 in"):
    runs = [run("head"), run("mid"), run("tail")]
    sensors = [] if sensor is None else [Sensor(name="lambda", run=sensor, distance=distance)]
    return System(runs=runs, pipes=2, joint=X, joint_at="X", sensors=sensors)


def banked(*inlets):
    """Each inlet by its own run into one merge, and on."""
    feeds = [Inlet(name=f"in {n}", cylinders=one) for n, one in enumerate(inlets)]
    runs = [run(f"run {n}", from_=f"in {n}", to="meet") for n in range(len(inlets))]
    return System(runs=[*runs, run("on")], inlets=feeds, places=[Merge(name="meet")])


def test_a_long_straight_has_five_diameters_ahead():
    tap = pressure_tap(System(runs=[run("all", "4 m")]))
    assert tap.distance == pytest.approx(5 * BORE, rel=1e-12)
    assert (tap.straight, tap.rough) == (4.0, False)


@pytest.mark.parametrize(("bends", "length"), [(0, "0.4 m"), (1, "1 m"), (2, "1.2 m")])
def test_a_straight_too_short_is_divided_as_five_to_two(bends, length):
    """By hand: bends spread evenly leave bends + 1 straights alike."""
    one = run("head", length, bends=[BEND] * bends)
    tap = pressure_tap(System(runs=[one]))
    straight = (one.length - bends * QUARTER) / (bends + 1)
    assert tap.straight == pytest.approx(straight, rel=1e-12)
    assert tap.rough is (straight < 7 * BORE)
    assert tap.distance == pytest.approx(5 / 7 * straight if tap.rough else 5 * BORE, rel=1e-12)


def test_a_run_that_is_straight_enough_only_as_a_whole_reads_rough():
    """Trap: one metre less two bends is more than seven diameters, but not in one piece."""
    one = run("head", "1 m", bends=[BEND, BEND])
    assert one.length - one.in_bends > 7 * BORE
    tap = pressure_tap(System(runs=[one]))
    assert tap.rough
    said = port_note(System(runs=[one]))
    assert "in the longest straight of 'head', 5/7 of the way along it" in said
    assert "20.090 in in one piece" in said  # 7 x 2.87 in of bore
    assert said.endswith("and the reading is rough.")


def test_the_straights_that_a_run_says_are_taken_as_they_are():
    """By hand: the bend, then five diameters into the straight behind it, the first long enough."""
    whole = 0.3 + QUARTER + 0.7
    one = run("head", f"{whole} m", bends=[BEND], straights=["0.3 m", "0.7 m"])
    tap = pressure_tap(System(runs=[one]))
    assert tap.distance == pytest.approx(0.3 + QUARTER + 5 * BORE, rel=1e-9)
    assert (tap.straight, tap.rough) == (pytest.approx(0.7), False)
    said = port_note(System(runs=[one]))
    assert said.endswith("the straight it stands in is 27.559 in.")
    assert "evenly" not in said


def test_of_straights_all_too_short_the_longest_has_the_port():
    whole = 0.2 + 2 * QUARTER + 0.4 + 0.3
    lengths = ["0.2 m", "0.4 m", "0.3 m"]
    one = run("head", f"{whole} m", bends=[BEND, BEND], straights=lengths)
    tap = pressure_tap(System(runs=[one]))
    assert tap.distance == pytest.approx(0.2 + QUARTER + 5 / 7 * 0.4, rel=1e-9)
    assert tap.rough
    assert "that straight has only 15.748 in" in port_note(System(runs=[one]))


def test_the_port_stands_in_the_first_run_ahead_of_the_joint():
    said = port_note(crossed())
    assert said.startswith("Pressure test port of each pipe: in 'head', 14.350 in from its start")
    assert "between 10 and 2 o'clock" in said
    assert "not in a weld" in said
    bent = port_note(System(runs=[run("head", "2 m", bends=[BEND])]))
    assert "with its bend in the middle: its straights are then" in bent


def test_sensors_stand_ahead_of_what_mixes_the_banks():
    assert mixing_places(crossed(), V8) == ["X"]
    assert "Oxygen sensors belong ahead of X" in sensor_note(crossed(), V8)
    assert sensor_note(System(runs=[run("head")], pipes=2), V8) is None


def test_a_sensor_behind_what_mixes_the_banks_is_named():
    assert sensor_note(crossed("head"), V8) is None
    for where in ("mid", "tail"):
        said = sensor_note(crossed(where), V8)
        assert said.startswith("lambda reads the gas of both banks, behind X")


@pytest.mark.parametrize(
    ("inlets", "engine", "mixes"),
    [
        (((), ()), V8, True),
        (((1, 3, 5, 7), (2, 4, 6, 8)), V8, True),
        (((1, 3), (5, 7)), V8, False),  # half of a bank each: still one bank
        (((1,), (3,), (5,), (7,)), V8, False),
        (((1,), (2,), (3,), (4,)), FOUR, False),
        (((), (), (), ()), FOUR, False),  # a collector of a four in line
        (((1, 2), (3, 4)), V8, True),
        (((1, 4), (2, 3)), FOUR, True),  # two pairs: no bank is said, each is one of its own
    ],
)
def test_a_collector_of_one_bank_mixes_nothing(inlets, engine, mixes):
    assert mixing_places(banked(*inlets), engine) == (["meet"] if mixes else [])


def test_a_single_sensor_of_an_engine_without_banks_reads_all_of_it():
    """A four in line by pairs; of two banks, or with a second sensor, it is told as before."""
    pairs = banked((1, 4), (2, 3))
    one, other = (Sensor(name=f"lambda {n}", run="on", distance=f"{n}0 in") for n in (1, 2))
    assert sensor_note(pairs.with_(sensors=[one]), FOUR) is None
    both = sensor_note(pairs.with_(sensors=[one, other]), FOUR)
    assert both.startswith("lambda 1 and lambda 2 read the gas of both banks")
    flat = FOUR.with_(left_bank=(1, 3))
    assert sensor_note(pairs.with_(sensors=[one]), flat).startswith("lambda 1 reads")


def test_collectors_of_each_bank_ahead_of_a_crossover_are_not_the_mixing_place():
    """Four primaries of each of two pipes into one, a sensor behind that, then the X."""
    ports = [Inlet(name=f"port {n}", cylinders=[n]) for n in (1, 3, 5, 7)]
    runs = [run(f"primary {n}", from_=f"port {n}", to="collector") for n in (1, 3, 5, 7)]
    runs += [run("ahead", to="X"), run("tail")]
    system = System(
        runs=runs,
        inlets=ports,
        places=[Merge(name="collector")],
        joint=X,
        joint_at="X",
        pipes=2,
        sensors=[Sensor(name="O2", run="ahead", distance="10 in")],
    )
    assert mixing_places(system, V8) == ["X"]
    assert sensor_note(system, V8) is None


def test_a_fork_mixes_nothing():
    runs = [run("down", to="fork"), run("l", from_="fork"), run("r", from_="fork")]
    assert mixing_places(System(runs=runs, places=[Merge(name="fork")]), V8) == []


@pytest.mark.parametrize("distance", ["1 in", "38.5 in"])
def test_a_bung_in_the_weld_at_the_end_of_its_run_is_told(distance):
    said = sensor_note(crossed("head", distance), V8)
    assert said == "lambda stands in the weld at an end of 'head': move its bung."


def test_written_in_full_a_crossover_mixes_as_it_does_folded():
    whole = crossed("tail").unfolded()
    assert mixing_places(whole, V8) == ["X"]
    assert sensor_note(whole, V8).startswith("left lambda and right lambda read the gas of both")


def test_only_where_streams_come_together_are_they_mixed():
    """A fork behind the merge passes on what is mixed already."""
    both = banked((1, 3, 5, 7), (2, 4, 6, 8))
    runs = [*both.runs[:2], run("on", from_="meet", to="fork")]
    runs += [run("left tip", from_="fork"), run("right tip", from_="fork")]
    forked = both.with_(runs=runs, places=[*both.places, Merge(name="fork")])
    assert mixing_places(forked, V8) == ["meet"]
