"""results.json and cut-list.csv hold the numbers of the results, with their units."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import attrs
import pytest

from exhaust import show
from exhaust.sheet.answers import Answers
from exhaust.sheet.cut_list import cut_list
from exhaust.sheet.results import values
from exhaust.show import Fact

INCH, POUND = 0.0254, 0.45359237  # exact by definition


@pytest.fixture(scope="session")
def content(demo_files: dict[str, bytes]) -> Any:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is not JSON")

    return json.loads(demo_files["results.json"].decode("utf-8"), parse_constant=refuse)


def test_numbers_are_those_of_the_results_bit_for_bit(content: Any, demo_answers: Answers) -> None:
    results = content["results"]
    questions = {"gas_flow", "system", "tubes", "speeds", "test_port", "room", "merges"}
    answers = {"joint", "cut_sheet", "marks", "stock_plan", "fit_up"}
    assert set(results) == questions | answers
    flow, x = demo_answers.flow, demo_answers.job.system.joint
    assert x is not None
    assert results["gas_flow"]["values"]["exhaust"]["value"] == flow.mass_flow
    assert results["gas_flow"]["values"]["gas_temperature"]["value"] == flow.gas_temperature
    assert results["joint"]["values"]["narrowest_area"]["value"] == x.narrowest_area
    assert results["joint"]["values"]["window"]["value"] == x.window_area
    chosen = demo_answers.tubes.chosen
    assert results["tubes"]["values"]["back_pressure"]["value"] == chosen.back_pressure
    rows = results["tubes"]["table"]["rows"]
    assert rows == [list(row) for row in demo_answers.tubes.rows().rows]
    assert rows[results["tubes"]["table"]["marked_row"]][0] == chosen.tube.name


def test_the_saw_stop_is_cutback_times_od(content: Any) -> None:
    """Exact: the cut depth of a sliced bend is its cutback times its outside diameter."""
    steps = content["results"]["cut_sheet"]["steps"]
    slice_ = next(step for step in steps if step["title"] == "Slice the heel")
    settings = slice_["settings"]
    assert settings["stop_to_the_blades_far_face_kept_side"] == {
        "value": pytest.approx(0.28 * 3 * INCH, rel=1e-12),
        "unit": "m",
        "what": "Stop to the blade's far face (kept side)",
    }
    near = settings["stop_to_the_blades_near_face"]["value"]
    assert near == pytest.approx((0.28 * 3 - 0.045) * INCH, rel=1e-12)


def test_every_value_says_its_unit_and_what_it_is(content: Any) -> None:
    units = {unit for unit, _, _ in show.KINDS.values()}
    for result in content["results"].values():
        groups = [result.get("values", {})]
        groups += [
            step[kind] for step in result.get("steps", ()) for kind in ("settings", "checks")
        ]
        for group in groups:
            for one in group.values():
                assert set(one) == {"value", "unit", "what"}
                assert one["unit"] in units
                assert one["what"]
        for column in result.get("table", {}).get("columns", ()):
            assert set(column) == {"key", "unit", "what"}
            assert column["unit"] in units


def test_the_file_says_what_it_is(content: Any) -> None:
    assert content["schema"] == 1
    assert "SI units" in content["what"]
    assert content["job"]["name"] == "Demo V8, dual 3 in with a parallel X"
    assert content["job"]["shown_in"] == "inch"
    assert len(content["job"]["file_sha256"]) == 64


def test_names_given_twice_keep_apart_and_unknown_numbers_are_null() -> None:
    facts = [Fact("Gap", 1.0, "cut"), Fact("gap", 2.0, "cut", "back"), Fact("x", float("nan"))]
    found = values(facts)
    assert [one["value"] for one in found.values()] == [1.0, 2.0, None]
    assert list(found) == ["gap", "gap_2", "x"]
    assert found["gap_2"]["what"] == "gap: back"


def test_the_cut_list_is_the_parts_in_shop_units(
    demo_files: dict[str, bytes], demo_answers: Answers
) -> None:
    plan = demo_answers.plan
    assert plan is not None
    text = demo_files["cut-list.csv"].decode("utf-8")
    assert text.count("\r\n") == len(plan.parts) + 1
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["Mark"] for row in rows][:4] == ["A", "B", "C", "1a"]
    for row, part in zip(rows, plan.parts, strict=True):
        assert row["Mark"] == part.label
        assert int(row["Pieces"]) == part.pieces
        # as shown: to half of the last digit
        length = float(row["Length on the centreline [in]"]) * INCH
        assert length == pytest.approx(part.length, abs=0.0005 * INCH)
        mass = float(row["Mass of one [lb]"]) * POUND
        assert mass == pytest.approx(part.mass, abs=0.005 * POUND)
        blank = float(row["Length of a blank [in]"]) * INCH
        assert blank == pytest.approx(part.blank.length, abs=0.0005 * INCH)
        assert int(row["Blanks"]) == part.blanks


def test_a_run_named_like_a_formula_stays_text(demo_answers: Answers) -> None:
    plan = demo_answers.plan
    assert plan is not None
    part = plan.parts[-1]._replace(what="=1+1, straight", label="-2a")
    text = cut_list(attrs.evolve(plan, parts=(part,)), "inch").decode()
    assert "'-2a,\"'=1+1, straight\"" in text


def test_the_plan_is_in_the_results(content: Any, demo_answers: Answers) -> None:
    plan = demo_answers.plan
    assert plan is not None
    found = content["results"]["stock_plan"]
    assert found["values"]["weld_in_all"]["value"] == plan.weld_length
    assert found["values"]["mass_of_tube_and_joint"]["value"] == plan.mass
    rows = found["table"]["rows"]
    assert sum(row[0] for row in rows) == len(plan.opened)
    keys = [column["key"] for column in found["table"]["columns"]]
    assert keys == ["count", "stock", "source", "cuts", "length", "left"]


def test_a_metric_cut_list_says_so(hostile_files: dict[str, bytes]) -> None:
    heading = hostile_files["cut-list.csv"].decode().splitlines()[0]
    assert "[mm]" in heading
    assert "[kg]" in heading
