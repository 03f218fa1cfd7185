"""Two catalogues compared, connector by connector and field by field."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.catalogue import catalogue_of, load_catalogue
from splicewright.shelf.diff import compare
from tests.catalogue.making import catalogue, combinations, listing, port, ports
from tests.shelf.files import made


def fields(was: dict[str, Any], now: dict[str, Any]) -> list[dict[str, Any]]:
    (changed,) = compare(made(was), made(now)).to_dict()["changed"]
    return list(changed["fields"])


def test_catalogue_is_the_same_as_itself() -> None:
    shop = load_catalogue("shop")
    assert compare(shop, shop).same


def test_connectors_that_come_and_go_are_told() -> None:
    found = compare(made(listing(id="one"), listing(id="two")), made(listing(id="two"), listing(id="three")))
    assert (found.added, found.gone, dict(found.changed)) == (("three",), ("one",), {})
    assert not found.same


def test_field_that_says_something_else_is_told_with_both() -> None:
    (told,) = fields(listing(volts="300 V"), listing(volts="600 V"))
    assert told == {"field": "volts", "was": {"value": 300, "unit": "V"}, "now": {"value": 600, "unit": "V"}}


SAME = {
    "degrees": ("105 degC", "221 degF"),
    "strip": ("1/2 in", "12.7 mm"),
    "torque": ("12 lbf-in", "1 lbf-ft"),
    "outside": ("1 x 2 in", "25.4 x 50.8 mm"),
}


@pytest.mark.parametrize("field", SAME)
def test_one_quantity_in_two_units_is_the_same(field: str) -> None:
    one, other = SAME[field]
    assert compare(made(listing(**{field: one})), made(listing(**{field: other}))).same
    if field != "outside":
        sizes = {"from": "14 AWG", "to": "12 AWG"}
        rows = [[{**sizes, field: value}] for value in (one, other)]
        assert compare(made(listing(**{field: rows[0]})), made(listing(**{field: rows[1]}))).same


def test_another_quantity_is_told_as_it_is_written() -> None:
    (told,) = fields(listing(degrees="105 degC"), listing(degrees="105 degF"))
    assert (told["was"]["unit"], told["now"]["unit"]) == ("degC", "degF")
    (told,) = fields(listing(strip="1/2 in"), listing(strip="12.8 mm"))
    assert told["now"] == {"value": 12.8, "unit": "mm"}


def test_field_that_was_not_stated_is_none() -> None:
    told = {one["field"]: one for one in fields(listing(), listing(strip="11 mm"))}
    assert told["strip"] == {"field": "strip", "was": None, "now": {"value": 11, "unit": "mm"}}


def test_word_of_a_list_is_told_alone() -> None:
    (told,) = fields(listing(places=["dry", "damp"]), listing(places=["damp", "wet"]))
    assert told == {"field": "places", "added": ["wet"], "gone": ["dry"]}


def test_filling_that_is_gone_is_told_with_its_kinds() -> None:
    was = listing(takes=[combinations({"14 AWG": "2 to 3"})])
    (told,) = fields(was, listing(takes=[combinations({"14 AWG": 2})]))
    assert told == {"field": "takes", "added": [], "gone": ["3 x 14 AWG (solid or stranded, copper)"]}


def test_same_lines_in_other_groups_are_told_whole() -> None:
    one, other = combinations({"14 AWG": 2}), combinations({"14 AWG": 3})
    (told,) = fields(listing(takes=[one, other]), listing(takes=[combinations({"14 AWG": "2 to 3"})]))
    assert set(told) == {"field", "was", "now"}


def test_totals_of_metal_and_figures_of_ports_are_compared() -> None:
    total = {"from": "4 mm2", "to": "16 mm2", "count": "2 to 5", "thinnest": "14 AWG", "thickest": "10 AWG"}
    group = {"materials": ["copper"], "constructions": ["solid"], "metal": [total]}
    more = {**group, "metal": [{**total, "to": "17 mm2"}]}
    run = ports(port(2, "14 AWG", "10 AWG", strip="9 mm", torque="20 lbf-in"))
    other = ports(port(2, "14 AWG", "10 AWG", strip="9 mm", torque="25 lbf-in"))
    for before, after, told in (
        (group, more, "4 mm2 to 17 mm2 of metal in all"),
        (run, other, "strip 9 mm, torque 25 lbf-in"),
    ):
        one, two = (catalogue_of(catalogue(listing(takes=[takes]))) for takes in (before, after))
        (change,) = compare(one, two).changed["one"]
        assert change.field == "takes"
        assert told in str(change.added)
        assert len(change.added) == len(change.gone) == 1
