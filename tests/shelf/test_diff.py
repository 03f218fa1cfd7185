"""Two catalogues compared, connector by connector and field by field."""

from __future__ import annotations

from typing import Any

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
