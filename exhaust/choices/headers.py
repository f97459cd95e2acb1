"""The pipes between ports and where a system starts: each cylinder's primary, and its collector."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from exhaust.choices.shelf import shelf_tubes
from exhaust.engine import Engine
from exhaust.errors import broken
from exhaust.pulse.firing import firing_angles
from exhaust.show import listed, quantity
from exhaust.stock import Tube
from exhaust.system import Inlet, Merge, Place, Run, System
from exhaust.units import SI

# Flow area of a cylinder's primary over its swept volume: 22 cm^2 a litre; common practice.
AREA_PER_VOLUME = 2.2  # [1/m]
AT_PORT = SI(0.01, "length", "m")  # as near to the port as an inlet can be


class Headed(NamedTuple):
    """A system from its ports on: an inlet for each cylinder.

    `collectors` are the places where it started before; `said` is what was assumed; `watched` are
    other places where a pipe is to end so that its gas can be read there.
    """

    system: System
    collectors: tuple[str, ...]
    said: tuple[str, ...]
    watched: tuple[str, ...] = ()


def with_headers(system: System, engine: Engine, primary: Tube | None = None) -> Headed:
    """Return `system`, its pipes one by one, with a primary ahead from each cylinder's port.

    A primary is as long as the inlet's `distance` from the ports, in the tube `primary` (none:
    the usual size for the cylinder). Several that feed one inlet meet there; the primary of an
    inlet with one cylinder is in the tube that goes on.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> pipe = System(runs=[Run(name="all", tube=tube, length="3 m")])
    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> headed = with_headers(pipe, engine)
    >>> [(run.name, run.tube.name) for run in headed.system.runs][3:]
    [('primary 2', '1-5/8 in x 16 ga'), ('all', '2.5 in x 16 ga')]
    """
    whole = system.unfolded()
    fed = cylinders_fed(whole, engine)
    fires = firing_angles(engine)
    first = {line.start: whole.runs[line.run] for line in whole.graph.lines}
    usual = primary or usual_primary(engine, whole.runs[0].tube)
    runs, places = list[Run](), list[Place]()
    for name, inlet in whole.graph.inlets.items():
        tube = first[name].tube if len(fed[name]) == 1 else usual
        # round the collector as they fire, as collectors are built
        runs += _primaries(inlet, sorted(fed[name], key=fires.__getitem__), tube)
        if len(fed[name]) > 1:
            places.append(Merge(name=name))
    runs += [
        whole.runs[line.run].with_(from_=line.start, to=line.end) for line in whole.graph.lines
    ]
    headed = System(
        runs=runs,
        joint=whole.joint,
        joint_at=whole.joint_at,
        inlets=[
            Inlet(name=f"cylinder {number}", cylinders=[number], distance=AT_PORT)
            for numbers in fed.values()
            for number in numbers
        ],
        places=[*places, *whole.places],
    )
    return Headed(headed, tuple(fed), tuple(_said(whole, fed, primary, usual)))


def _primaries(inlet: Inlet, numbers: Sequence[int], tube: Tube) -> Iterator[Run]:
    for number in numbers:
        yield Run(
            name=f"primary {number}",
            tube=tube,
            length=inlet.distance,
            from_=f"cylinder {number}",
            to=inlet.name,
        )


def _said(
    system: System, fed: dict[str, tuple[int, ...]], primary: Tube | None, usual: Tube
) -> Iterator[str]:
    lengths = sorted({float(inlet.distance) for inlet in system.graph.inlets.values()})
    long = listed([quantity(length, "run") for length in lengths])
    if any(len(numbers) > 1 for numbers in fed.values()):
        why = "as given" if primary is not None else "usual for the cylinder, common practice"
        yield (
            f"Each cylinder has a primary in {usual.name} ({why}), {long} long, the inlet's "
            "distance from the ports; those of one inlet meet there in one place at 15 degrees, "
            "round it as they fire."
        )
    else:
        yield f"Each cylinder's port lies {long} ahead of its inlet, in the tube that goes on."


def usual_primary(engine: Engine, like: Tube) -> Tube:
    """Return the tube of the usual stock for a primary: 22 cm^2 for each litre of a cylinder.

    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> usual_primary(engine, Tube(od="3 in", wall="16 ga")).name
    '1-3/4 in x 16 ga'
    """
    area = AREA_PER_VOLUME * engine.displacement / engine.cylinders
    return min(shelf_tubes(like), key=lambda tube: abs(tube.flow_area - area))


def cylinders_fed(system: System, engine: Engine) -> dict[str, tuple[int, ...]]:
    """Return the cylinders that feed each inlet of an unfolded system.

    As the inlets name them; two inlets that name none have the engine's left bank and the rest.
    Raises `ExhaustError` where a cylinder feeds none or two, or where nothing says which.

    >>> tail = Run(name="tail", tube=Tube(od="3 in", wall="16 ga"), length="2 m")
    >>> engine = Engine(displacement="5 L", cylinders=8, left_bank=(1, 3, 5, 7))
    >>> cylinders_fed(System(runs=[tail], pipes=2).unfolded(), engine)
    {'left engine': (1, 3, 5, 7), 'right engine': (2, 4, 6, 8)}
    """
    inlets = system.graph.inlets
    fed = {name: inlet.cylinders for name, inlet in inlets.items()}
    if not any(fed.values()):
        banks = list(engine.banks.values())
        if len(inlets) == 1:
            banks = [tuple(range(1, engine.cylinders + 1))]
        if len(banks) != len(inlets):
            remedy = "name cylinders for every inlet"
            if len(inlets) == 2:
                remedy = "give the engine's left_bank, or name cylinders for both inlets"
            rule = "must say which cylinders feed each of them"
            raise broken(rule, f"{len(inlets)} inlets, {len(banks)} bank", remedy).named("inlets")
        return dict(zip(inlets, banks, strict=True))
    _check_named(fed, engine)
    return fed


def _check_named(fed: dict[str, tuple[int, ...]], engine: Engine) -> None:
    """Refuse inlets that do not name each cylinder of the engine just once."""
    named = [number for numbers in fed.values() for number in numbers]
    for number in named:
        if number > engine.cylinders:
            rule = f"name cylinder {number} but the engine has {engine.cylinders}"
            raise broken(rule).named("inlets")
    for number in range(1, engine.cylinders + 1):
        if named.count(number) != 1:
            times = "no inlet" if not named.count(number) else "several inlets"
            rule = f"must have each cylinder feed one of them: cylinder {number} feeds {times}"
            raise broken(rule, None, "the whole engine is simulated").named("inlets")
    for name, numbers in fed.items():
        if not numbers:
            rule = "names no cylinders where other inlets do"
            raise broken(rule, None, "name them for every inlet or none").named(f"inlet {name!r}")
