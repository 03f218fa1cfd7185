"""Least equipment grounding conductors of real questions, against NFPA 70, Table 250.122."""

from __future__ import annotations

import pytest

from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.units import gauge_name, size
from tests.external.published import cited, published

DATA = published("grounding_conductors")
ROWS, LOOKUPS = DATA["table"]["rows"], DATA["lookups"]["rows"]
METALS = {"copper": "copper", "aluminum": "aluminum", "copper-clad-aluminum": "aluminum"}
GAUGES = [
    size(name).area
    for name in (
        *(f"{number} AWG" for number in range(1, 25)),
        *(f"{aught}/0 AWG" for aught in range(1, 5)),
        *(f"{kcmil} kcmil" for kcmil in (250, 300, 350, 400, 500, 600, 700, 750, 800, 900, 1000, 1250)),
    )
]
CODES_70 = [code for code in CODES if code.startswith("nfpa70-")]


def measured(device, material, of="12 AWG", code="nfpa70-2023"):
    one = {"size": of, "count": 2, "material": material, "role": "equipment-grounding"}
    sent = {"code": code, "joint": {"conductors": [one]}, "circuit": {"overcurrent_amps": device}}
    return facts_of(read_question(sent).question).single


def least(device, material, code="nfpa70-2023"):
    found = measured(device, material, code=code).get("joint.least_grounding")
    return None if found is None else gauge_name(found)


@pytest.mark.parametrize("code", CODES_70)
@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("at", range(len(ROWS)), ids=lambda at: cited(DATA["table"]["source"], ROWS[at]["up_to"], "A"))
def test_a_row_holds_to_its_rating_and_the_next_begins_a_tenth_above(at, metal, code):
    column = METALS[metal]
    assert least(ROWS[at]["up_to"], metal, code) == ROWS[at][column]
    after = ROWS[at + 1][column] if at + 1 < len(ROWS) else None
    assert least(ROWS[at]["up_to"] + 0.1, metal, code) == after


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("row", LOOKUPS, ids=lambda row: cited(DATA["lookups"]["source"], row["device"], "A"))
def test_a_worked_look_up_gives_the_published_size(row, metal):
    assert least(row["device"], metal) == row[METALS[metal]]


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: cited(DATA["table"]["source"], row["up_to"], "A"))
def test_the_published_size_is_enough_and_the_next_smaller_is_not(row, metal):
    enough = row[METALS[metal]]
    smaller = gauge_name(max(one for one in GAUGES if one < size(enough).area))
    assert measured(row["up_to"], metal, enough)["joint.grounding_undersized"] is False
    assert measured(row["up_to"], metal, smaller)["joint.grounding_undersized"] is True


@pytest.mark.parametrize("one", DATA["worked_examples"], ids=lambda one: cited(one["source"], one["device"], "A"))
def test_a_worked_example_starts_from_the_size_by_the_table(one):
    assert least(one["device"], "copper") == one["copper"]
