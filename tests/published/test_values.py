"""Every published value in data/published beside ours, a row a test; the rules of a row."""

from __future__ import annotations

import re
from types import MappingProxyType

import attrs
import pytest

from exhaust import published_checks
from exhaust.errors import ExhaustError
from exhaust.published import check, sources, values
from exhaust.published.checks import OURS
from exhaust.published.values import value_of
from exhaust.tables import shipped

ALL = [value for source in sources() for value in values(source)]
ROW = {
    "what": "air to burn a fuel",
    "name": "methane",
    "published": "17.23",
    "unit": "kg/kg",
    "tolerance": "",
    "tolerance_share": "0.003",
    "because": "three figures",
    "differs": "",
    "taken": "memory",
    "source": "heywood",
    "where": "table D.4",
}


@pytest.mark.parametrize("value", ALL, ids=repr)
def test_ours_lies_where_the_row_says(value):
    """Within the tolerance; or outside it, if the row says why: a reason must not outlive it."""
    one = check(value)
    assert one.sound, (value.printed, one.ours, value.tolerance, one.judgement)


def test_a_file_is_named_for_its_source_and_nothing_is_said_twice():
    for source in sources():
        assert {one.source for one in values(source)} == {source}
    assert len({repr(one) for one in ALL}) == len(ALL)
    assert {one.what for one in ALL} == set(OURS)  # nor computed for nothing


def test_the_notebook_shows_every_source():
    text = (shipped("notebooks") / "published-checks.ipynb").read_text(encoding="utf-8")
    shown = re.findall(r'answer\.of\(\\"([\w-]+)\\"\)', text)
    assert sorted(shown) == list(sources())


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tolerance_share": ""}, "tolerance must stand either in the unit or as a share"),
        ({"tolerance": "0.1"}, "tolerance must stand either in the unit or as a share"),
        ({"because": ""}, "because must say why the tolerance is what it is"),
        ({"taken": "memories"}, 'taken is not known (got memories); nearest: "memory"'),
        ({"published": "0"}, "tolerance must be more than zero"),
        ({"published": "seventeen"}, "published must be a number (got 'seventeen')"),
    ],
)
def test_a_row_that_says_too_little_is_refused(change, words):
    with pytest.raises(ExhaustError) as error:
        value_of(MappingProxyType({**ROW, **change}))
    assert str(error.value) == words


def test_what_nothing_computes_is_refused():
    value = value_of(MappingProxyType({**ROW, "what": "air to burn a formula fast"}))
    with pytest.raises(ExhaustError, match="nothing here computes 'air to burn a formula fast'"):
        check(value)


@pytest.mark.parametrize(
    ("printed", "differs", "agrees", "sound", "judgement"),
    [
        ("17.23", "", True, True, "agrees"),
        ("17.40", "", False, False, "differs: nobody has said why"),
        ("17.40", "other air", False, True, "differs: other air"),
        ("17.23", "other air", True, False, "agrees, though its row says that it differs"),
    ],
)
def test_judgement(printed, differs, agrees, sound, judgement):
    value = value_of(MappingProxyType(ROW))
    one = check(attrs.evolve(value, printed=printed, differs=differs))
    assert (one.agrees, one.sound) == (agrees, sound)
    assert one.judgement == f"{judgement} (value from memory)"


def test_the_answer_counts_and_shows_what_it_holds():
    answer = published_checks("miller", "iso80000")
    table = answer.table
    assert len(table) == 19
    assert (table["difference"].abs() > table["tolerance"]).sum() == 5
    assert answer.reason == "14 of 19 checks agree; 5 differ, for reasons that are known."
    assert [one.value.source for one in answer.differing.checks] == ["miller"] * 5
    assert answer.differing.reason == "5 checks differ, for reasons that are known."
    assert published_checks("iso80000").differing.reason == "Nothing differs."
    assert "the three handbooks lie 96 % apart here" in answer.differing._repr_html_()
    assert "249.089 Pa" in answer.of("iso80000")._repr_html_()
    with pytest.raises(ExhaustError, match="no check of 'mills' is among these"):
        answer.of("mills")
