from __future__ import annotations

import pytest

from splicewright.catalogue import catalogue_of, meets
from splicewright.rulebook.model import FactValue, ListingTest
from splicewright.units import quantity
from tests.catalogue.making import catalogue, combinations, connector, listing

LISTED = connector(
    combinations({"14 AWG": 2}),
    places=["dry", "damp"],
    volts="600 V",
    degrees="105 degC",
    reusable=True,
    clear=False,
    outside="30 x 18 x 18 mm",
)


def passes(attribute: str, operator: str, *values: object) -> bool:
    return meets(LISTED, ListingTest(attribute, operator, values))


@pytest.mark.parametrize(
    ("attribute", "operator", "values", "expected"),
    [
        ("method", "any-of", ("twist-on",), True),
        ("method", "any-of", ("lever", "twist-on"), True),
        ("method", "any-of", ("lever",), False),
        ("method", "other-than", ("lever",), True),
        ("method", "other-than", ("twist-on",), False),
        ("reusable", "any-of", (True,), True),
        ("reusable", "any-of", (False,), False),
        ("clear", "any-of", (False,), True),
        ("volts", "at-least", (6000,), True),
        ("volts", "at-least", (6001,), False),
        ("volts", "at-most", (6000,), True),
        ("volts", "at-most", (5999,), False),
        ("volts", "above", (5999,), True),
        ("volts", "above", (6000,), False),
        ("volts", "below", (6001,), True),
        ("volts", "below", (6000,), False),
        ("places", "includes", ("damp",), True),
        ("places", "includes", ("wet",), False),
        ("places", "includes-any", ("wet", "damp"), True),
        ("places", "includes-any", ("wet", "burial"), False),
        ("places", "includes-all", ("dry", "damp"), True),
        ("places", "includes-all", ("dry", "wet"), False),
        ("places", "any-of", ("wet", "dry"), True),
        ("places", "any-of", ("wet",), False),
        ("places", "other-than", ("wet",), True),
        ("places", "other-than", ("dry",), False),
        ("method", "includes", ("twist-on",), True),
        ("method", "includes-all", ("twist-on", "lever"), False),
    ],
)
def test_operator(attribute, operator, values, expected):
    assert passes(attribute, operator, *values) is expected


def test_quantities_are_coded_like_facts():
    assert passes("degrees", "at-least", quantity("221 degF", "temperature"))
    assert not passes("degrees", "at-least", quantity("221.1 degF", "temperature"))
    assert passes("height", "at-most", quantity("30 mm", "length"))
    assert not passes("height", "below", quantity("30 mm", "length"))


@pytest.mark.parametrize(
    ("operator", "value"),
    [("at-least", 0), ("at-most", 10**9), ("above", -1), ("below", 10**9), ("any-of", 0), ("other-than", 1)],
)
def test_silent_listing_fails_every_test_of_a_number(operator, value):
    assert not passes("luminaire_volts", operator, value)


@pytest.mark.parametrize("operator", ["includes", "includes-any", "includes-all", "any-of", "other-than"])
def test_silent_listing_fails_every_test_of_words(operator):
    assert not passes("resists", operator, "vibration")


@pytest.mark.parametrize("value", [True, False])
def test_flag_that_is_not_written_is_not_known_and_fails_either_way(value):
    assert "sealed" in LISTED.unknown
    assert not passes("sealed", "any-of", value)


def test_flag_that_is_not_written_is_false_where_a_catalogue_says_so_of_what_it_leaves_out():
    plain = {**catalogue(listing()), "unstated": "no"}
    found = catalogue_of(plain).connectors[0]
    assert found.attributes["sealed"] is False
    assert not found.unknown


def test_list_valued_fact_is_compared_word_by_word():
    assert passes("places", "includes-all", ("dry", "damp"))
    assert not passes("places", "includes-all", ("dry", "wet"))
    assert passes("places", "includes-any", ("wet", "dry"))


def test_empty_list_asks_for_nothing_of_all_and_finds_nothing_of_any():
    assert passes("places", "includes-all", ())
    assert not passes("places", "includes-any", ())


def test_map_of_attributes_is_tested_like_a_connector():
    here = {**LISTED.attributes, "fill": "bracketed", "spare_ports": 2}
    assert meets(here, ListingTest("fill", "any-of", ("bracketed",)))
    assert meets(here, ListingTest("spare_ports", "at-least", (2,)))
    assert not meets(here, ListingTest("spare_ports", "at-least", (3,)))
    assert not meets(LISTED, ListingTest("spare_ports", "at-least", (0,)))


def test_fact_whose_value_is_not_put_in_raises():
    with pytest.raises(TypeError, match=r"circuit\.volts"):
        passes("volts", "at-least", FactValue("circuit.volts"))


def test_attributes_derived_from_takes_are_the_union_over_its_groups():
    of = connector(
        combinations({"14 AWG": 2}),
        {"materials": ["aluminum"], "ports": [{"count": 2, "fine-stranded": {"from": "14 AWG", "to": "10 AWG"}}]},
    )
    assert of.attributes["materials"] == {"copper", "aluminum"}
    assert of.attributes["constructions"] == {"solid", "stranded", "fine-stranded"}
    assert of.attributes["ends"] == {"plain"}
