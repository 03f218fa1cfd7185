from __future__ import annotations

import pytest

from splicewright.question import vocabulary as v
from splicewright.tables.insulation import Insulation, cable_insulation, insulation_types
from splicewright.tables.loader import table

EVERY = [*insulation_types().values(), *cable_insulation().values()]


def test_a_type_is_given_with_all_that_is_known_of_it():
    assert insulation_types()["THHW"] == Insulation(
        "THHW", wet=True, burial=False, degrees=90, degrees_wet=75, volts=600
    )


def test_bare_may_be_wet_and_buried_and_is_good_for_no_degrees_or_volts():
    assert insulation_types()["bare"] == Insulation(
        "bare", wet=True, burial=True, degrees=None, degrees_wet=None, volts=None
    )


def test_every_type_of_the_table_is_given_and_no_other():
    assert list(insulation_types()) == list(table("insulation").rows["types"])


def test_cables_are_those_a_question_may_name():
    assert set(cable_insulation()) <= set(v.CABLE)
    assert "none" not in cable_insulation()


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.type)
def test_whatever_may_be_buried_may_be_wet(one):
    assert one.wet or not one.burial


@pytest.mark.parametrize("one", [one for one in EVERY if one.type != "bare"], ids=lambda one: one.type)
def test_degrees_in_a_wet_place_are_given_exactly_for_types_that_may_be_wet(one):
    assert (one.degrees_wet is not None) is one.wet


@pytest.mark.parametrize("one", [one for one in EVERY if one.degrees_wet], ids=lambda one: one.type)
def test_a_wet_place_never_raises_the_degrees(one):
    assert one.degrees_wet <= one.degrees


@pytest.mark.parametrize("letters", [t for t in insulation_types() if t.endswith("-2") and insulation_types()[t].wet])
def test_a_dash_2_type_keeps_its_degrees_when_wet(letters):
    one = insulation_types()[letters]
    assert (one.degrees, one.degrees_wet) == (90, 90)
