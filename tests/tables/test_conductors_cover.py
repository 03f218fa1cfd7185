"""How a column of the cover table is chosen; tests/external checks its figures against the published ones."""

from __future__ import annotations

import pytest
from hypothesis import given

from splicewright.question import vocabulary as v
from splicewright.question.measures import buried_run
from splicewright.question.read import read_question
from splicewright.tables.conductors import least_cover, required_cover
from splicewright.tables.loader import table
from tests.question.asking import question, questions

DWELLING = {"place": {"dwelling": True}, "circuit": {"gfci": True, "volts": 120, "overcurrent_amps": 20}}


def run(**parts):
    return buried_run(question(**parts))


def cover(place=None, **circuit):
    return required_cover(run(place=place or {}, circuit=circuit))


def test_the_column_follows_from_the_wiring():
    assert {wiring: cover({"wiring": wiring}) for wiring in v.WIRING} == {
        "direct": 24,
        "rigid-conduit": 6,
        "emt": 18,
        "pvc-raceway": 18,
    }


def test_a_small_protected_dwelling_circuit_may_lie_at_12_inches():
    assert required_cover(run(**DWELLING)) == 12


@pytest.mark.parametrize(
    ("part", "leaf", "value"),
    [
        ("place", "dwelling", False),
        ("circuit", "gfci", False),
        ("circuit", "volts", 120.1),
        ("circuit", "overcurrent_amps", 20.1),
        ("circuit", "kind", "feeder"),
    ],
)
def test_each_condition_of_the_dwelling_column_is_needed(part, leaf, value):
    parts = {**DWELLING, part: {**DWELLING[part], leaf: value}}
    assert required_cover(run(**parts)) == 24


@pytest.mark.parametrize("kind", ["low-voltage-landscape", "irrigation"])
def test_irrigation_and_garden_lighting_may_lie_at_6_inches_up_to_30_volts(kind):
    assert cover(kind=kind, volts=30) == 6
    assert cover(kind=kind, volts=30.1) == 24


def test_other_low_voltage_circuits_have_no_column_of_their_own():
    assert cover(kind="class-2", volts=24) == 24


def test_the_lesser_depth_holds_where_a_raceway_carries_a_lighter_circuit():
    assert cover({"wiring": "rigid-conduit", "dwelling": True}, gfci=True, overcurrent_amps=20) == 6
    assert cover({"wiring": "pvc-raceway", "dwelling": True}, gfci=True, overcurrent_amps=20) == 12


def test_a_number_that_was_not_stated_meets_no_condition_but_might():
    one = run(place={"dwelling": True}, circuit={"gfci": True})
    assert (required_cover(one), least_cover(one)) == (24, 12)
    other = run(circuit={"kind": "irrigation"})
    assert (required_cover(other, "mm"), least_cover(other, "mm")) == (600, 150)


@given(questions)
def test_the_least_cover_is_never_more_than_the_required_one(value):
    one = buried_run(read_question(value).question)
    for unit in v.LENGTH_UNITS:
        assert 0 <= least_cover(one, unit) <= required_cover(one, unit)


@given(questions)
def test_least_and_required_cover_differ_only_for_want_of_a_number(value):
    one = buried_run(read_question(value).question)
    if one.volts is not None and one.overcurrent_amps is not None:
        assert least_cover(one) == required_cover(one)


@given(questions)
def test_the_figure_in_millimeters_is_the_rounded_figure_in_inches(value):
    one = buried_run(read_question(value).question)
    assert required_cover(one, "mm") == pytest.approx(required_cover(one) * 25.4, abs=10)


def test_the_table_has_a_figure_for_every_word_and_both_units():
    rows = table("cover").rows
    for unit in v.LENGTH_UNITS:
        assert set(rows[unit]) == set(v.COVER)
        assert all(set(row) == set(rows["columns"]) for row in rows[unit].values())
    by_wiring = [needs["wiring"] for needs in rows["columns"].values() if "wiring" in needs]
    named = [one for words in by_wiring for one in ([words] if isinstance(words, str) else words)]
    assert sorted(named) == sorted(v.WIRING)
