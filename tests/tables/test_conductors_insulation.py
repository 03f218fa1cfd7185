from __future__ import annotations

import pytest

from splicewright.question import vocabulary as v
from splicewright.tables.conductors import Insulation, cable_insulation, insulation_types
from splicewright.tables.loader import table
from splicewright.units import size

EVERY = [*insulation_types().values(), *cable_insulation().values()]


def test_a_type_is_given_with_all_that_is_known_of_it():
    assert insulation_types()["THHW"] == Insulation(
        "THHW",
        wet=True,
        burial=False,
        degrees=90,
        degrees_wet=75,
        volts=600,
        made=(size("14 AWG"), size("2000 kcmil")),
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


@pytest.mark.parametrize(
    ("letters", "name", "made"),
    [
        ("THHN", "15 AWG", False),
        ("THHN", "14 AWG", True),
        ("THHN", "1000 kcmil", True),
        ("THHN", "1001 kcmil", False),
        ("TFFN", "18 AWG", True),
        ("TFFN", "15 AWG", False),
        ("UF", "4/0 AWG", True),
        ("UF", "250 kcmil", False),
        ("THHN", "2.5 mm2", True),
        ("THHN", "1.5 mm2", False),
        ("bare", "40 AWG", True),
        ("bare", "2500 kcmil", True),
    ],
)
def test_a_type_is_made_in_its_sizes_both_ends_among_them(letters, name, made):
    assert insulation_types()[letters].is_made(size(name)) is made


def test_of_every_type_but_bare_wire_the_sizes_are_known_the_least_first():
    assert [one.type for one in insulation_types().values() if one.made is None] == ["bare"]
    assert all(one.made[0] < one.made[1] for one in insulation_types().values() if one.made)
