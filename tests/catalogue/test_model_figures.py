"""Figures that depend on the size or metal of a conductor, and what else a listing says beside what it takes."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.catalogue import Connector, catalogue_of
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.catalogue.model import shape_of
from splicewright.refusals import Refused
from splicewright.rulebook.model import ListingTest
from tests.catalogue.making import catalogue, connector, joint, listing, port, ports

PORTS = ports({"count": 4, "stranded": {"from": "14 AWG", "to": "2 AWG"}}, materials=["aluminum", "copper"])


def made(**more: Any) -> Connector:
    return connector(PORTS, **more)


def told(**more: Any) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        catalogue_of(catalogue(listing(**more)))
    return {problem.pointer.removeprefix("/connectors/0"): problem.says for problem in caught.value.problems}


def test_a_strip_by_size_is_that_of_the_joint():
    one = made(
        strip=[
            {"from": "14 AWG", "to": "10 AWG", "strip": "3/8 in"},
            {"from": "8 AWG", "to": "2 AWG", "strip": "1 1/16 in"},
        ]
    )
    assert one.figure("strip", joint("2 x 12 AWG stranded")) == ({"value": 0.375, "unit": "in"}, [])
    mixed = one.figure("strip", joint("1 x 12 AWG stranded", "1 x 6 AWG stranded"))
    assert mixed is not None
    assert mixed.value == {"value": 1.0625, "unit": "in"}
    assert mixed.by_conductor == [
        {
            "figure": "strip",
            "size": {"value": "6", "unit": "AWG"},
            "material": "copper",
            "value": {"value": 1.0625, "unit": "in"},
        },
        {
            "figure": "strip",
            "size": {"value": "12", "unit": "AWG"},
            "material": "copper",
            "value": {"value": 0.375, "unit": "in"},
        },
    ]


def test_a_torque_by_metal_tells_the_conductor_that_has_none():
    one = made(torque={"materials": ["copper"], "torque": "20 lbf-ft"})
    found = one.figure("torque", joint("1 x 6 AWG stranded", "1 x 8 AWG stranded aluminum"))
    assert found is not None
    assert [one.get("value") for one in found.by_conductor] == [{"value": 20, "unit": "lbf-ft"}, None]
    assert one.figure("torque", joint("1 x 6 AWG stranded aluminum", "1 x 8 AWG stranded")) is None


def test_ports_that_differ_tell_their_figures_port_by_port():
    run = {"count": 2, "stranded": {"from": "8 AWG", "to": "2 AWG"}, "strip": "20 mm", "torque": "50 lbf-in"}
    tap = {"count": 1, "stranded": {"from": "14 AWG", "to": "8 AWG"}, "strip": "10 mm"}
    one = connector(ports(run, tap))
    assert one.figure("strip", joint("2 x 4 AWG stranded")) == ({"value": 20, "unit": "mm"}, [])
    both = one.figure("strip", joint("3 x 8 AWG stranded"))
    assert both is not None
    assert [(row["value"]["value"], row["ports"]) for row in both.by_conductor] == [
        (20, "2 ports: stranded 8 AWG to 2 AWG"),
        (10, "1 port: stranded 14 AWG to 8 AWG"),
    ]
    assert one.to_dict()["takes"][0]["figures"] == [
        {
            "ports": "2 ports: stranded 8 AWG to 2 AWG",
            "strip": {"value": 20, "unit": "mm"},
            "torque": {"value": 50, "unit": "lbf-in"},
        },
        {"ports": "1 port: stranded 14 AWG to 8 AWG", "strip": {"value": 10, "unit": "mm"}},
    ]


AMPS = [
    {"from": "14 AWG", "to": "10 AWG", "amps": "30 A"},
    {"from": "8 AWG", "to": "2 AWG", "materials": ["copper"], "amps": "90 A"},
]


@pytest.mark.parametrize(
    ("conductors", "amps"),
    [
        (["2 x 12 AWG stranded"], 300),
        (["2 x 6 AWG stranded"], 900),
        (["1 x 6 AWG stranded", "1 x 12 AWG stranded"], 300),
        (["1 x 6 AWG stranded aluminum", "1 x 12 AWG stranded"], 300),  # the other carries what it may
        (["2 x 6 AWG stranded aluminum"], None),
    ],
)
def test_a_rating_by_size_is_that_of_the_worst_conductor(conductors, amps):
    one = made(amps=AMPS)
    assert "amps" not in one.attributes
    assert one.attributes_in(shape_of(joint(*conductors))).get("amps") == amps


def test_an_index_tests_a_rating_by_size_for_each_joint():
    index = ConnectorIndex(
        catalogue_of(catalogue(listing(takes=[PORTS], amps=AMPS), listing(id="two", takes=[PORTS], amps="20 A")))
    )
    assert "amps" in index.of_joint
    test = ListingTest("amps", "at-least", (250,))
    small, large = (shape_of(joint(f"2 x {size} AWG stranded")) for size in (12, 6))
    assert index.passing_here(small, test, 3) == 1
    assert index.passing_here(large, ListingTest("amps", "at-least", (900,)), 3) == 1
    assert index.passing_here(small, ListingTest("amps", "at-least", (200,)), 3) == 3


def test_figures_are_printed_with_what_they_hold_for():
    printed = made(amps=AMPS, volts="600 V", torque={"materials": ["copper"], "torque": "20 lbf-in"}).to_dict()
    assert printed["volts"] == {"value": 600, "unit": "V"}
    assert "amps" not in printed
    assert printed["figures"][1] == {
        "figure": "amps",
        "value": {"value": 90, "unit": "A"},
        "from": {"value": "8", "unit": "AWG"},
        "to": {"value": "2", "unit": "AWG"},
        "materials": ["copper"],
    }
    assert printed["torque"] == [{"torque": {"value": 20, "unit": "lbf-in"}, "materials": ["copper"]}]


@pytest.mark.parametrize(
    ("key", "rows", "faults"),
    [
        (
            "strip",
            [{"from": "14 AWG", "to": "10 AWG", "strip": "9 mm"}, {"from": "10 AWG", "to": "8 AWG", "strip": "12 mm"}],
            {"/strip/1": "holds for a size and metal that another figure holds for; part them"},
        ),
        (
            "volts",
            [{"materials": ["copper"], "volts": "600 V"}, {"from": "14 AWG", "to": "8 AWG", "volts": "300 V"}],
            {"/volts/1": "holds for a size and metal that another figure holds for; part them"},
        ),
        (
            "amps",
            [{"amps": "20 A"}],
            {"/amps/0": "says no size and no metal; a figure that holds for all is written alone"},
        ),
        ("amps", {"from": "14 AWG", "amps": "20 A"}, {"/amps/to": "is required beside the other end of the range"}),
        (
            "degrees",
            {"to": "14 AWG", "degrees": "90 degC"},
            {"/degrees/from": "is required beside the other end of the range"},
        ),
        (
            "strip",
            {"from": "8 AWG", "to": "14 AWG", "strip": "9 mm"},
            {"/strip/from": "the range is upside down; write {from: 14 AWG, to: 8 AWG}"},
        ),
        ("strip", {"materials": ["copper"]}, {"/strip/strip": "is required"}),
    ],
)
def test_figures_that_can_not_be_meant_are_refused(key, rows, faults):
    assert told(**{key: rows}) == faults


def test_figures_of_two_metals_do_not_speak_of_one_another():
    rows = [{"materials": [metal], "strip": f"{at} mm"} for at, metal in enumerate(("copper", "aluminum"), 9)]
    assert made(strip=rows).figure("strip", joint("2 x 6 AWG stranded aluminum")) == ({"value": 10, "unit": "mm"}, [])


FACTS = {
    "part_number": "T-1",
    "pack": 100,
    "price": 9.5,
    "on_hand": 40,
    "minutes": 1.25,
    "source": {"document": "carton", "where": "side", "read_on": "2026-11-30", "read_by": "storekeeper"},
}


def test_what_the_user_says_of_buying_and_reading_is_kept():
    one = made(**FACTS)
    assert dict(one.facts) == FACTS
    assert {key: one.to_dict()[key] for key in FACTS} == FACTS


def test_minutes_by_method_stand_for_connectors_without_their_own():
    plain = catalogue(listing(), listing(id="two", minutes=2), listing(id="three", method="lever"))
    found = {
        one.id: one.facts.get("minutes") for one in catalogue_of({**plain, "minutes": {"twist-on": 0.5}}).connectors
    }
    assert found == {"one": 0.5, "two": 2, "three": None}


def test_cells_are_kept_and_count_for_nothing():
    cells = {"": "connectors!5", "/volts": "connectors!F5"}
    one, other = made(), made(**{"from": cells})
    assert dict(other.cells) == cells
    assert one.to_dict() == other.to_dict()


@pytest.mark.parametrize(
    ("more", "faults"),
    [
        ({"minutes": 0}, {"/minutes": "0 is out of range; 0.01 to 600 is allowed"}),
        ({"pack": 0}, {"/pack": "0 is out of range; 1 to 100000 is allowed"}),
        ({"price": 0}, {"/price": "0 is out of range; 0.0001 to 1000000 is allowed"}),
        ({"source": {"where": "side"}}, {"/source/document": "is required"}),
        (
            {"source": {"document": "x", "read_on": "2026-02-30"}},
            {"/source/read_on": '"2026-02-30" is no day; write it like 2026-11-30'},
        ),
        (
            {"source": {"document": "x", "read_on": "30.11.26"}},
            {"/source/read_on": '"30.11.26" is no day; write it like 2026-11-30'},
        ),
        ({"from": []}, {"/from": "must be a map of at most 5000 pointers to cells"}),
        ({"from": {"volts": "F5"}}, {"/from": '"volts" is no pointer into the listing; write it like /volts'}),
        ({"from": {"/volts": 5}}, {"/from": "5 is no cell; write it like connectors!F5"}),
        ({"resists": "none"}, {"/resists": "must be a list of words"}),
    ],
)
def test_facts_that_can_not_be_meant_are_refused(more, faults):
    assert told(**more) == faults


def test_what_a_listing_does_not_say_is_not_known():
    silent = connector(ports(port(2, "14 AWG", "12 AWG")), places=None, grounding=None, tool=None, resists=[])
    printed = silent.to_dict()
    assert {"places", "grounding", "tool", "volts", "insulated"} <= silent.unknown
    assert not {"resists", "amps", "method"} & silent.unknown
    assert printed["not_stated"] == sorted(silent.unknown)
    assert printed["insulated"] is False
    assert "insulated" not in silent.attributes
    stated = connector(ports(port(2, "14 AWG", "12 AWG")), insulated=False)
    assert stated.attributes["insulated"] is False
    assert "insulated" not in stated.unknown
