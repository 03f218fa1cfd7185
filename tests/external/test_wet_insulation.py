"""Insulation types that may be wet or buried, against NFPA 70, 310.10 and the articles of the types."""

from __future__ import annotations

import pytest

from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.tables.conductors import cable_insulation, insulation_types
from tests.external.published import cited, published

DATA = published("wet_insulation")


def each(part):
    return [
        pytest.param(letters, id=cited(entry["source"], letters)) for entry in DATA[part] for letters in entry["types"]
    ]


def named(part):
    return {letters for entry in DATA[part] for letters in entry["types"]}


def rating(letters, name):
    conductor = {"size": "12 AWG", "count": 2, "insulation": letters}
    question = read_question({"joint": {"conductors": [conductor]}, "place": {"exposure": "wet"}}).question
    return facts_of(question).conductors[0][name]


@pytest.mark.parametrize("letters", each("may_be_wet"))
def test_a_type_named_for_wet_places_is_rated_for_them(letters):
    assert rating(letters, "conductor.wet_rating") == "rated"


@pytest.mark.parametrize("letters", each("may_not_be_wet"))
def test_a_type_not_named_for_wet_places_is_not_rated_for_them(letters):
    assert rating(letters, "conductor.wet_rating") == "not-rated"


@pytest.mark.parametrize("letters", each("may_be_buried"))
def test_a_type_identified_for_burial_is_rated_for_it(letters):
    assert rating(letters, "conductor.burial_rating") == "rated"


def test_the_sources_speak_of_every_type_that_has_insulation():
    """Source: those of the data file; this says that no type of the table went unchecked."""
    assert named("may_be_wet") | named("may_not_be_wet") == set(insulation_types()) - {"bare"}


def test_no_other_type_may_be_buried():
    """Source: NFPA 70, 310.10(E): directly buried conductors are a type identified for it (page)."""
    buried = {letters for letters, one in insulation_types().items() if one.burial}
    assert buried == named("may_be_buried") | {"bare"}


@pytest.mark.parametrize("entry", DATA["cables"], ids=lambda entry: cited(entry["source"], entry["cable"]))
def test_a_cable_tells_whether_its_conductors_may_be_wet_or_buried(entry):
    one = cable_insulation()[entry["cable"]]
    assert (one.wet, one.burial) == (entry["wet"], entry["burial"])
