"""Values changed in the text of a job file: that line differs and no other.

Invariants: what is read back (by tomllib, which the writer does not use) is what was put there;
lines that say something else are the same; a change undone gives the same text.
"""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from demo_keys import DEMO, KEYS, TEXT, edited

from exhaust.errors import ExhaustError
from exhaust.job import read_job
from exhaust.job.editing import by_place, mistakes_in, split_place, value_at, with_values
from exhaust.tables import shipped

DEMOS = sorted((shipped("data") / "jobs").glob("*.toml"))


def there(text: str) -> list[str]:
    """The places of every value that stands in sections of the demo job."""
    found = []
    for section, table in tomllib.loads(text).items():
        many = table if isinstance(table, list) else [table]
        for number, one in enumerate(many, start=1):
            name = f"{section} {number}" if isinstance(table, list) else section
            found += [f"{name}.{key}" for key in one] if isinstance(one, dict) else [section]
    return found


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    old, new = before.splitlines(), after.splitlines()
    assert len(old) == len(new)
    return [pair for pair in zip(old, new, strict=True) if pair[0] != pair[1]]


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_one_changed_value_changes_its_line_and_keeps_its_comment(demo: Any) -> None:
    text = demo.read_text(encoding="utf-8")
    for place in there(text):
        after = with_values(text, {place: "4 bananas"})
        ((old, new),) = changed_lines(text, after)
        assert '"4 bananas"' in new
        if " #" in old:
            comment = old[old.rindex(" #") :]
            assert new.endswith(comment)
            assert new.index(comment) <= max(old.index(comment), new.index('bananas"') + 8)
        assert value_at(after, place) == "4 bananas"
        back = with_values(after, {place: value_at(text, place)})
        assert tomllib.loads(back) == tomllib.loads(text)
        assert len(changed_lines(back, text)) <= 1


def test_values_written_again_as_they_were_give_the_same_text() -> None:
    for place in there(TEXT):
        value = value_at(TEXT, place)
        if isinstance(value, str):
            assert with_values(TEXT, {place: value}) == TEXT


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_what_is_taken_away_stays_as_a_comment_and_comes_back(demo: Any) -> None:
    text = demo.read_text(encoding="utf-8")
    for place in there(text):
        value = value_at(text, place)
        without = with_values(text, {place: None})
        assert value_at(without, place) is None
        ((old, new),) = changed_lines(text, without)
        assert new == f"# {old}"
        if isinstance(value, (str, int)):
            assert with_values(without, {place: value}) == text


def test_what_the_demo_job_writes_as_a_comment_comes_to_life_there() -> None:
    after = with_values(TEXT, {"duty.gas_temperature": "1500 degF"})
    ((old, new),) = changed_lines(TEXT, after)
    assert old.startswith('# gas_temperature = "1480 degF"')
    assert new.startswith('gas_temperature = "1500 degF"')
    assert new.endswith("# if you have measured it, say so,")
    assert read_job(after).duty.gas_temperature == pytest.approx((1500 + 459.67) / 1.8)


def test_a_commented_section_is_not_taken_for_the_one_above_it() -> None:
    """[measured] is written as a comment behind [saw], with a key that a saw could not have."""
    after = with_values(TEXT, {"saw.tangent": "1 in"})
    assert value_at(after, "saw.tangent") == "1 in"
    assert "# tangent = 1.5 " in after


def test_a_new_key_stands_behind_the_last_of_its_section() -> None:
    after = with_values(TEXT, {"bend.tangent": "1 in"}).splitlines()
    at = after.index('tangent = "1 in"')
    assert after[at - 1].startswith("angle = ")
    assert after[at + 1 : at + 3] == ["", "[system]"]
    assert [line for line in after if line != after[at]] == TEXT.splitlines()


def test_a_new_key_stands_ahead_of_comments_that_follow() -> None:
    """What a section's last lines say as comments stays behind the keys that are there."""
    after = with_values(TEXT, {"duty.power": "300 hp"}).splitlines()
    at = after.index('power = "300 hp"')
    assert after[at - 1].startswith("lambda = ")
    assert after[at + 1].startswith("# gas_temperature = ")
    assert [line for line in after if line != after[at]] == TEXT.splitlines()


def test_a_new_section_stands_at_the_end() -> None:
    after = with_values(TEXT, {"cam.lift": "11 mm", "cam.valve": "38 mm"})
    assert after.startswith(TEXT)
    assert after.removeprefix(TEXT) == '\n[cam]\nlift = "11 mm"\nvalve = "38 mm"\n'
    assert read_job(after).pulses.cam.lift == pytest.approx(0.011)


def test_values_above_the_sections_and_among_many_alike() -> None:
    after = with_values(TEXT, {"units": "metric", "run 2.length": "1 m", "run 2.loss": 0.3})
    job = read_job(after)
    assert job.units == "metric"
    assert [round(float(run.length), 4) for run in job.system.runs] == [1.1684, 1.0, 1.9812]
    assert job.system.runs[1].loss == 0.3


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("run 9.length", "run 9 is not a section of the file; write it there first"),
        ("schema.od", "schema is not a section of the file; write it there first"),
    ],
)
def test_a_place_that_is_not_there_is_refused(place: str, said: str) -> None:
    with pytest.raises(ExhaustError, match=said):
        with_values(TEXT, {place: "1 in"})


def test_sections_on_one_line_are_written_again_too() -> None:
    text = 'tube = { od = "3 in", wall = "16 ga" }  # in the rack\n'
    assert with_values(text, {"tube.od": "2 in"}) == text.replace("3 in", "2 in")
    assert value_at(with_values(text, {"tube.wall": None}), "tube") == {"od": "3 in"}


def test_windows_lines_stay_as_they_are() -> None:
    text = TEXT.replace("\n", "\r\n")
    after = with_values(text, {"tube.od": "2 in", "tube.material": None})
    assert after == text.replace('od = "3 in"', 'od = "2 in"').replace("material", "# material")


def test_the_mistakes_are_those_of_the_reader_each_at_its_place() -> None:
    """The same words as the reader says of a file changed by another hand."""
    places = [key for key in KEYS if value_at(TEXT, key) is not None]
    assert len(places) > 40
    for place in places:
        said = mistakes_in(with_values(TEXT, {place: "4 bananas"}))
        assert said == mistakes_in(edited({place: "4 bananas"}))
        if KEYS[place].kind != "text":
            at = by_place(said, [*places, *{place.partition(".")[0] for place in places}])
            assert any(name.startswith(place) or place.startswith(name) for name in at if name)
    assert mistakes_in(TEXT) == ()
    assert mistakes_in("units = ") == (
        "job.toml is not sound TOML at line 1, column 9: invalid value; mend that line",
    )


def test_a_mistake_belongs_to_the_whole_name() -> None:
    said = ["run 12.length must be a length", "bend: no", "bending is not a section"]
    assert by_place(said, ["run 1", "run 12", "bend"]) == {
        "run 12": said[:1],
        "bend": said[1:2],
        "": said[2:],
    }


def test_places_come_apart() -> None:
    assert split_place("run 12.bends") == ("run", 12, "bends")
    assert DEMO.read_text(encoding="utf-8") == TEXT
