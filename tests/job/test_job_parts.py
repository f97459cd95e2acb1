"""What the parts of a job file say against each other, and sections that are not ones."""

from __future__ import annotations

import math
from typing import Any

import pytest
import tomlkit
from demo_keys import DEMO, INCH, NAN, TEXT, edited, mistakes, only_mistake

from exhaust import Limits, Pulses, Tube
from exhaust.errors import JobError
from exhaust.job import load_job, read_job


def test_the_demo_job_is_sound_and_says_what_it_says() -> None:
    job = load_job(DEMO)
    assert (job.engine.cylinders, job.duty.lambda_, job.system.pipes) == (8, 0.88, 2)
    assert job.system.tube.od == pytest.approx(3 * INCH)
    assert job.engine.displacement == pytest.approx(311 * INCH**3)  # exact: the inch is
    assert [len(run.bends) for run in job.system.runs] == [2, 0, 3]
    assert [tube.od / INCH for tube in job.tubes] == pytest.approx([2.5, 2.75, 3.0, 3.5])
    assert job.system.joint is not None
    assert job.saw is not None
    assert job.system.joint.tube == job.system.tube
    assert repr(job) == "<Job: Demo V8, dual 3 in with a parallel X, v8-parallel-x.toml>"


def test_the_demo_engine_fires_each_bank_unevenly() -> None:
    """A cross-plane V8 fires two cylinders of a bank in a row, twice a cycle (textbook)."""
    engine = load_job(DEMO).engine
    left = [cylinder in engine.left_bank for cylinder in engine.firing_order]
    in_a_row = [a == b for a, b in zip(left, left[1:] + left[:1], strict=True)]
    assert sum(left) == 4
    assert sum(in_a_row) == 2


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"engine.firing_order": [1, 8, 4, 3, 6, 5, 7, 9]}, "engine.firing_order names cylinder 9"),
        ({"engine.firing_order": [1, 8, 4]}, "engine.firing_order does not name cylinder 2, 3"),
        ({"engine.firing_order": [1, "8"]}, "engine.firing_order must be a whole number"),
        ({"engine.left_bank": [1, 1]}, "engine.left_bank names cylinder 1 2 times"),
        ({"duty.volumetric_efficiency": None}, "duty must give volumetric_efficiency, or power"),
        ({"duty.gas_temperature_at": "turbine outlet"}, "duty.gas_temperature_at says"),
        ({"tube.wall": "1.6 in"}, "tube.wall must be less than half of od 3 in"),
        ({"bend.clr": "1.2 in"}, "bend.clr must be more than half of od 3 in"),
        ({"run 1.length": "2 in"}, "run 1.length of run 'collector to X' must hold its bends"),
        ({"run 1.bends": ["90"]}, "run 1.bends 1 must be an angle with a unit (got '90')"),
        ({"run 1.bends": ["190 deg"]}, "run 1.bends 1.angle must be between 5 deg and 185 deg"),
        ({"run 1.bends": [{"clr": "4 in"}]}, "run 1.bends 1.angle is missing"),
        ({"system.pipes": 3}, "joint must have 2 runs in and 2 out (got 3 in and 3 out)"),
        ({"run 2.to": "muffler"}, "part 1 is on no run; name it in the from or to"),
        ({"part 1.loss": None}, "part 1: silencer 'silencer' must give loss, or rated_flow"),
        ({"part 1.rated_flow": "450 cfm"}, "part 1: silencer 'silencer' must give loss, or"),
        ({"sensor 1.run": "no such run"}, "sensor 1 is in run 'no such run', which is not one"),
        ({"sensor 1.distance": "50 in"}, "sensor 1 must be less than 46 in from the start"),
        ({"joint.cutback": 0.9, "joint.spacing": "3 in"}, "joint.spacing must be at least"),
        ({"joint.cutback": 0.6, "joint.spacer": "0 in"}, "joint.cutback 0.60 runs past the end"),
        ({"saw.kerf": "4 mm", "joint.cutback": 0.05}, "saw.kerf must be between zero and"),
        ({"shelf.tubes": ["3 in"]}, "shelf.tubes 1 must be a tube, its od x its wall"),
        ({"shelf.tubes": ["3 in x 7 ga"]}, "shelf.tubes 1.wall has a BWG number that is not"),
        ({"shelf.tubes": [{"od": "3 in"}]}, "shelf.tubes 1.wall is missing"),
        ({"shelf.tubes": ["3 in x 16 ga"] * 2}, "shelf.tubes names 3 in x 16 ga more than"),
        ({"shelf.outlets": ["2 in x 16 ga"]}, "shelf.outlets 1 must be as large as the tube"),
        ({"shelf.outlets": ["6 in x 16 ga"]}, "shelf.outlets 1 must be less than two tubes"),
    ],
)
def test_what_parts_say_against_each_other_is_told_once(changes: dict[str, Any], said: str) -> None:
    assert only_mistake(changes).startswith(said)


def test_two_ways_of_spacing_are_one_too_many() -> None:
    text = TEXT.replace('spacing = "10.5 in"', 'spacing = "10.5 in"\ngap = "7 in"', 1)
    with pytest.raises(JobError, match=r"^joint takes one of .* \(got spacing and gap\)"):
        read_job(text)


def test_every_mistake_is_told_at_once_without_follow_on_noise() -> None:
    said = mistakes(
        {
            "engine.cylinders": "eight",
            "tube.od": 3,
            "bend.clr": "4.5 deg",
            "run 2.length": "",
            "joint.cutback": NAN,
            "saw.kerf": "thin",
            "shelf.outlets": ["4 in", "five"],
            "limits.worth_having": 5,
        }
    )
    starts = [line.split(" must", 1)[0].split(" is", 1)[0] for line in said]
    assert sorted(starts) == [
        *("bend.clr", "engine.cylinders", "joint.cutback", "limits.worth_having"),
        *("run 2.length", "saw.kerf", "shelf.outlets 1", "shelf.outlets 2", "tube.od"),
    ]
    assert "engine.cylinders must be a whole number (got 'eight')" in said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("lambda =", "lamda =", 'duty.lamda is not a key of duty; nearest: "lambda"'),
        ("lambda =", "lambda_ =", 'duty.lambda_ is not a key of duty; nearest: "lambda"'),
        ("kerf =", "kref =", 'saw.kref is not a key of saw; nearest: "kerf"'),
        ("count = 2", "cuont = 2", "run 3.bends 1.cuont is not a key of run 3.bends 1; nearest"),
        ("[limits]", "[limit]", 'limit is not a section; nearest: "limits"'),
        ("schema = 1", "schema = 1\ncolour = 3", "colour is not a section"),
        ("[joint]", "[joint]\nbend = 3", "joint.bend is not a key of joint"),
    ],
)
def test_an_unknown_key_is_refused_with_the_nearest(old: str, new: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(TEXT.replace(old, new, 1))
    assert any(line.startswith(said) for line in caught.value.mistakes)


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ("", "schema is missing; write schema = 1"),
        ("schema = 2", "schema must be 1 (got 2); the file is newer"),
        ("schema = 0", "schema must be 1 (got 0)"),
        ("schema = true", "schema must be 1 (got True)"),
        ('schema = "1"', "schema must be 1 (got '1')"),
        ("schema = 1.0", "schema must be 1 (got 1.0)"),
    ],
)
def test_the_schema_is_known_before_anything_else(new: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(TEXT.replace("schema = 1", new, 1))
    assert len(caught.value.mistakes) == 1
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("new", ["", 'units = "imperial"', "units = 3", "units = []"])
def test_the_unit_system_is_one_of_two(new: str) -> None:
    with pytest.raises(JobError, match=r"^units ") as caught:
        read_job(TEXT.replace('units = "inch"', new, 1))
    assert len(caught.value.mistakes) == 1


SECTIONS = ["job", "engine", "duty", "tube", "shelf", "bend", "saw"]


@pytest.mark.parametrize("section", SECTIONS)
def test_a_missing_section_is_named_once(section: str) -> None:
    document: Any = tomlkit.parse(TEXT)
    document.remove(section)
    with pytest.raises(JobError) as caught:
        read_job(tomlkit.dumps(document))
    about = [line for line in caught.value.mistakes if not line.startswith("run ")]
    assert len(about) == 1
    assert about[0].startswith(f"{section} is missing; ")


@pytest.mark.parametrize("section", [*SECTIONS, "ambient", "system", "joint", "limits"])
@pytest.mark.parametrize("value", [3, "text", [3], [{"a": 1}], NAN])
def test_a_section_must_be_one(section: str, value: object) -> None:
    document: Any = tomlkit.parse(TEXT)
    document.remove(section)
    plain = {section: value, **document.unwrap()}
    with pytest.raises(JobError) as caught:
        read_job(tomlkit.dumps(plain))
    assert [line for line in caught.value.mistakes if line.startswith(f"{section} must be")]
    assert len(caught.value.mistakes) == 1


@pytest.mark.parametrize("value", [3, "text", [], {"name": "one"}])
def test_runs_must_be_a_list_of_sections(value: object) -> None:
    document: Any = tomlkit.parse(TEXT)
    document.remove("run")
    with pytest.raises(JobError, match=r"^run .*\[\[run\]\]") as caught:
        read_job(tomlkit.dumps({"run": value, **document.unwrap()}))
    assert len(caught.value.mistakes) == 1


def test_optional_sections_may_be_left_out() -> None:
    document: Any = tomlkit.parse(TEXT)
    for section in ("ambient", "limits", "joint", "saw", "system"):
        document.remove(section)
    document["shelf"].remove("outlets")
    job = read_job(tomlkit.dumps(document))
    assert job.saw is None
    assert job.system.joint is None
    assert job.system.pipes == 1
    assert job.outlets == ()
    assert job.limits == Limits()


def test_outlets_need_two_pipes() -> None:
    document: Any = tomlkit.parse(TEXT)
    document.remove("joint")
    document["system"]["pipes"] = 1
    with pytest.raises(JobError, match=r"^shelf.outlets need 2 pipes or more to merge \(got 1\)"):
        read_job(tomlkit.dumps(document))


def test_a_cam_and_a_header_go_into_the_simulation_of_the_job() -> None:
    """As asked at the bench; without them the usual ones stand."""
    assert read_job(edited({})).pulses == Pulses(worth_having=0.01)
    changes = {"cam.opens": "78 deg", "cam.lift": "0.48 in", "header.primary": "1-7/8 in x 16 ga"}
    found = read_job(edited(changes | {"limits.worth_having": 0.02})).pulses
    assert found.cam.opens == pytest.approx(math.radians(78))
    assert found.cam.lift == pytest.approx(0.48 * 0.0254)
    assert found.primary == Tube(od="1-7/8 in", wall="16 ga")
    assert found.worth_having == 0.02
