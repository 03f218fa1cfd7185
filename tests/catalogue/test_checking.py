"""Mistakes planted in a good listing: each is told with its line or cell, its connector, and what to look for."""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any

import orjson
import pytest
import yaml

from splicewright import shipped
from splicewright.catalogue import catalogue_of, load_catalogue
from splicewright.catalogue.carton import carton_keys, look_for
from splicewright.catalogue.checking import ListingFault, check_listing, contradictions, sound_catalogue
from splicewright.catalogue.schema import LISTED
from splicewright.faults import Faults
from splicewright.refusals import Refused
from splicewright.yaml_text import read_yaml
from tests.catalogue.making import catalogue, combinations, port, ports

TODAY = dt.date(2026, 11, 30)
CAP: dict[str, Any] = {
    "id": "cap",
    "name": "Cap",
    "method": "twist-on",
    "takes": [combinations({"14 AWG": "2 to 4"}, {"12 AWG": "2 to 3"}, {"12 AWG": 1, "14 AWG": "1 to 2"})],
    "places": ["dry", "damp"],
    "volts": "600 V",
    "luminaire_volts": "1000 V",
    "degrees": "105 degC",
    "insulated": True,
    "reusable": True,
    "grounding": "also",
    "tool": "none",
    "strip": "1/2 in",
    "outside": "28 x 15 mm",
    "source": {"document": "carton", "read_on": "2026-10-01"},
}
LUG: dict[str, Any] = {
    "id": "lug",
    "method": "set-screw",
    "takes": [{"materials": ["copper"], "ports": [{"count": 2, "stranded": {"from": "8 AWG", "to": "2 AWG"}}]}],
    "places": ["dry"],
    "volts": "600 V",
    "degrees": "90 degC",
    "insulated": True,
    "grounding": "also",
    "tool": "screwdriver",
    "strip": "15 mm",
    "torque": "50 lbf-in",
    "outside": "50 x 30 x 20 mm",
}


def told(*connectors: dict[str, Any], **more: Any) -> list[ListingFault]:
    text = yaml.safe_dump({**catalogue(*connectors), **more}, sort_keys=False, default_flow_style=False)
    document = read_yaml(text)
    return check_listing(type(document)(document.value, document.where, "shelf.yaml"), TODAY)


def changed(one: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Give a listing with some keys replaced, or (None) left out."""
    return {key: value for key, value in {**copy.deepcopy(one), **more}.items() if value is not None}


def takes(*lines: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"takes": [combinations(*lines, **more)]}


def by_metal(**more: Any) -> dict[str, Any]:
    total = {"from": "4 mm2", "to": "16 mm2", "count": "2 to 5", "thinnest": "14 AWG", "thickest": "10 AWG", **more}
    return {"takes": [{"materials": ["copper"], "constructions": ["solid"], "metal": [total]}]}


def test_a_good_listing_has_no_fault():
    assert told(CAP, LUG) == []


def test_the_shipped_catalogue_has_no_fault():
    path = shipped.folder("rulesets") / "catalogues" / "shop.yaml"
    assert check_listing(shipped.read_data_file(path, "shop.yaml"), TODAY) == []


TORQUES = [
    {"from": "8 AWG", "to": "6 AWG", "torque": "40 lbf-in"},
    {"from": "4 AWG", "to": "2 AWG", "torque": "50 lbf-in"},
]

#: what is planted, in which of the two -> level, part, a piece of what is said, the key of what to look for
PLANTED: list[tuple[dict[str, Any], dict[str, Any], str, str, str, str]] = [
    # what can't be read
    (CAP, {"method": "twist"}, "error", "method", "did you mean 'twist-on'?", "method"),
    (CAP, {"volt": "600 V"}, "error", "volt", "did you mean 'volts'?", ""),
    (CAP, {"places": ["dry", "wett"]}, "error", "places/1", "did you mean 'wet'?", "places"),
    (CAP, {"volts": "600"}, "error", "volts", "write a number, a space and one of: V", "volts"),
    (CAP, {"degrees": "105 C"}, "error", "degrees", "one of: degC, degF", "degrees"),
    (CAP, {"strip": "half an inch"}, "error", "strip", "one of: in, ft, mm", "strip"),
    (CAP, {"insulated": "yes"}, "error", "insulated", "neither true nor false", "insulated"),
    (CAP, takes({"14": 2}), "error", "takes/0/combinations/0/14", "has no unit", "combinations"),
    (CAP, takes({"14 AWG": "4 to 2"}), "error", "takes/0/combinations/0/14 AWG", "does not go up", "combinations"),
    (CAP, takes({"14 AWG": 2}, {"14 AWG": 2}), "error", "takes/0/combinations/1", "stands twice", "combinations"),
    (LUG, {"takes": [ports(port(2, "2 AWG", "8 AWG"))]}, "error", "takes/0/ports/0/solid/from", "upside down", "ports"),
    (LUG, {"takes": [ports(port(2, "14 AWG", "4 mm2"))]}, "error", "takes/0/ports/0/solid", "two systems", "ports"),
    (LUG, {"torque": "50"}, "error", "torque", "is not a torque", "torque"),
    (LUG, {"torque": [TORQUES[0], {**TORQUES[1], "from": "6 AWG"}]}, "error", "torque/1", "another figure", "torque"),
    (CAP, {"source": {"document": "x", "read_on": "1/10/26"}}, "error", "source/read_on", "is no day", "source"),
    (CAP, {"price": -1}, "error", "price", "out of range", "price"),
    (CAP, {"id": "Cap One"}, "error", "id", "kebab-case", "id"),
    # what contradicts itself
    (CAP, {"irreversible": True}, "error", "reusable", "true beside irreversible", "reusable"),
    (CAP, {"method": "butt-crimp", "tool": "matched"}, "error", "reusable", "can't be undone", "reusable"),
    (
        CAP,
        {"method": "butt-crimp", "tool": "matched", "reusable": None, "irreversible": False},
        "warning",
        "irreversible",
        "can't be undone",
        "irreversible",
    ),
    (CAP, takes({"1/0 AWG": 2}), "error", "takes", "takes 1/0 AWG; twist-on joins 24 AWG to 4 AWG", "takes"),
    (CAP, {"luminaire_volts": "300 V"}, "error", "luminaire_volts", "less than volts", "luminaire_volts"),
    (CAP, {"intermixed": True}, "error", "intermixed", "only copper is taken", "materials"),
    (CAP, {"sealed": True, "insulated": False}, "error", "sealed", "insulated is false", "insulated"),
    (CAP, {"torque": "9 lbf-in"}, "error", "tool", "is none, but a torque is given", "tool"),
    (CAP, {"caps": True}, "error", "caps", "one conductor alone", "combinations"),
    (CAP, {"caps": False, **takes({"14 AWG": "1 to 3"}, {"12 AWG": 2})}, "error", "caps", "is listed", "caps"),
    (
        CAP,
        takes({"14 AWG": "2 to 3"}, {"12 AWG": 2}, {"2 AWG": 2}, {"12 AWG": 1, "14 AWG": 1}),
        "error",
        "takes/0/combinations",
        "over twice the metal",
        "combinations",
    ),
    (
        CAP,
        takes({"14 AWG": "2 to 3"}, {"12 AWG": 2}, {"24 AWG": 2}, {"12 AWG": 1, "14 AWG": 1}),
        "error",
        "takes/0/combinations",
        "under half the metal",
        "combinations",
    ),
    (LUG, {"takes": [{**LUG["takes"][0], "least": 3}]}, "error", "takes/0/least", "its ports hold 2", "ports"),
    (CAP, by_metal(**{"from": "30 mm2", "to": "40 mm2"}), "error", "takes/0/metal/0/from", "do not fill", "metal"),
    (CAP, by_metal(**{"from": "1 mm2", "to": "2 mm2"}), "error", "takes/0/metal/0/to", "are beyond", "metal"),
    (CAP, {"outside": "1.8 x 1.5 mm"}, "error", "outside", "smaller than a conductor", "outside"),
    (CAP, {"source": {"document": "x", "read_on": "2026-12-24"}}, "error", "source/read_on", "a day to come", "source"),
    (
        CAP,
        takes({"14 AWG": "2 to 13"}, {"12 AWG": "2 to 3"}),
        "error",
        "takes/0/combinations/0/14 AWG",
        "times the metal of any other row",
        "combinations",
    ),
    # what was perhaps misread
    (
        CAP,
        takes({"12 AWG": "2 to 14"}),
        "warning",
        "takes/0/combinations/0/12 AWG",
        "hardly any listing has more",
        "combinations",
    ),
    (CAP, by_metal(count="2 to 15"), "warning", "takes/0/metal/0/count", "are beyond 16 mm2", "metal"),
    (CAP, {"volts": "660 V"}, "warning", "volts", "hardly any listing has", "volts"),
    (CAP, {"degrees": "105 degF"}, "warning", "degrees", "hardly any listing has", "degrees"),
    (
        CAP,
        takes({"14 AWG": 2}, {"14 AWG": 4}, {"12 AWG": 2}),
        "warning",
        "takes/0/combinations",
        "2 and 4 x 14 AWG, but not 3",
        "combinations",
    ),
    (
        CAP,
        takes({"12 AWG": 3}, {"16 AWG": 3}, {"14 AWG": 2}),
        "warning",
        "takes/0/combinations",
        "not 3 x 14 AWG",
        "combinations",
    ),
    (CAP, {"places": ["dry", "wet"]}, "warning", "places", "has wet, but not damp", "places"),
    (
        CAP,
        {"places": ["dry", "damp", "wet", "burial"]},
        "warning",
        "places",
        "not said that it is a sealed set",
        "sealed",
    ),
    (CAP, {"tool": "matched"}, "warning", "tool", "does not go with twist-on", "tool"),
    (LUG, {"torque": None}, "warning", "method", "no torque is given", "torque"),
    (LUG, {"torque": TORQUES[:1]}, "warning", "torque", "no figure for", "torque"),
    (
        LUG,
        {"torque": [TORQUES[0], {**TORQUES[1], "torque": "5 lbf-in"}]},
        "warning",
        "torque",
        "falls from 40 lbf-in",
        "torque",
    ),
    (
        LUG,
        {"torque": [*TORQUES, {"from": "1/0 AWG", "to": "2/0 AWG", "torque": "90 lbf-in"}]},
        "warning",
        "torque/2",
        "does not take",
        "torque",
    ),
    (CAP, {"strip": "40 mm"}, "warning", "strip", "longer than the connector", "strip"),
    (CAP, {"strip": "0.5 mm"}, "warning", "strip", "see that the unit is right", "strip"),
    (CAP, {"outside": "28 x 15 in"}, "warning", "outside", "see that the unit is right", "outside"),
    (CAP, {"amps": "200 A"}, "warning", "amps", "more than 12 AWG", "amps"),
    (CAP, takes({"14 AWG": "2 to 3"}, materials=["aluminum", "copper"]), "warning", "takes", "may touch", "intermixed"),
    (
        CAP,
        {**takes({"14 AWG": "2 to 3"}, materials=["aluminum"]), "method": "push-in"},
        "warning",
        "takes",
        "hardly any push-in",
        "materials",
    ),
    (CAP, {"minutes": 90}, "warning", "minutes", "minutes, not hours", "minutes"),
    (CAP, {"price": 14.9}, "warning", "price", "that of a pack", "pack"),
    (
        CAP,
        {"source": {"document": "x", "read_on": "2023-11-29"}},
        "warning",
        "source/read_on",
        "more than 3 years ago",
        "source",
    ),
    # what is not said
    (
        CAP,
        {"grounding": None},
        "warning",
        "",
        "until it says also, only or no, it is offered for no joint",
        "grounding",
    ),
    *[
        (CAP, {name: None}, "warning", "", f"nothing is said of {name}", name)
        for name in ("places", "volts", "degrees", "grounding", "insulated")
    ],
    (CAP, {"strip": None}, "warning", "", "nothing is said of the strip length", "strip"),
]


@pytest.mark.parametrize(
    ("good", "planted", "level", "part", "says", "look"),
    PLANTED,
    ids=[f"{one[3]}: {one[4]}" for one in PLANTED],
)
def test_a_planted_mistake_is_told(good, planted, level, part, says, look):
    found = told(changed(good, **planted))
    (fault,) = [one for one in found if one.part == part and says in one.says]
    assert fault.level == level
    assert fault.connector == str(planted.get("id", good["id"]))
    assert fault.look_for == (look_for(look) if look else "")
    assert fault.line > 1
    assert str(fault).startswith(f"shelf.yaml:{fault.line}: {level}: ")
    if level == "warning":
        assert all(one.level == "warning" for one in found)


def test_enough_mistakes_are_planted():
    assert len(PLANTED) >= 30


def test_a_part_is_told_on_its_own_line():
    (fault,) = told(changed(CAP, volts="660 V"))
    text = yaml.safe_dump(catalogue(changed(CAP, volts="660 V")), sort_keys=False, default_flow_style=False)
    assert text.splitlines()[fault.line - 1].strip() == "volts: 660 V"


def test_what_was_imported_is_told_by_its_cell():
    cells = {"": "connectors!5", "/volts": "connectors!F5", "/takes/0/combinations/0": "fillings!7"}
    one = changed(CAP, volts="660 V", degrees="106.5 degC", **{"from": cells})
    found = told(one, **{"from": "shelf.xlsx"})
    assert [(fault.part, fault.cell) for fault in found] == [
        ("volts", "shelf.xlsx connectors!F5"),
        ("degrees", "shelf.xlsx connectors!5"),
    ]
    assert str(found[0]).startswith("shelf.xlsx connectors!F5: warning: cap: volts: is 660 V")
    broken = changed(CAP, **takes({"14": 2}), **{"from": cells})
    assert [fault.cell for fault in told(broken)] == ["fillings!7"]


def test_one_listing_that_can_not_be_read_keeps_no_other_from_being_checked():
    found = told(changed(CAP, volts="600"), changed(LUG, torque=None))
    assert [(fault.connector, fault.level) for fault in found] == [("cap", "error"), ("lug", "warning")]


def test_two_that_are_one_are_told():
    found = told(changed(CAP, part_number="1"), changed(LUG, part_number="1"))
    assert [(fault.connector, fault.part, fault.level) for fault in found] == [("lug", "part_number", "error")]
    assert found[0].look_for == "beside the bar code, or on the edge of the carton"
    same = told(CAP, changed(CAP, id="other"))
    assert {(fault.part, fault.says) for fault in same} == {
        ("name", "is that of cap too"),
        ("id", "is listed for all that cap is, and nothing else"),
    }


@pytest.mark.parametrize("text", ["[]", "5", "{}", "connectors: [5]", "connectors: {}", "{connectors: [{from: []}]}"])
def test_a_file_of_another_kind_is_told_and_nothing_breaks(text):
    found = check_listing(read_yaml(text), TODAY)
    assert found
    assert {fault.level for fault in found} == {"error"}
    assert all(orjson.dumps(fault.to_dict()) for fault in found)


@pytest.mark.parametrize("planted", [{"id": "Cap One"}, {"minutes": 90}, {"price": -1}])
def test_what_no_carton_says_is_not_to_be_looked_for(planted):
    (fault,) = told(changed(CAP, **planted))
    assert fault.look_for == ""
    assert "look for" not in str(fault)


def test_what_to_look_for_is_told_of_every_attribute():
    assert set(LISTED) <= set(carton_keys())
    assert all(look_for(name) for name in LISTED)


# --- taken into use ------------------------------------------------------------------------------


def in_use(one: dict[str, Any]) -> list[tuple[str, str]]:
    """Give what keeps a listing from being taken into use."""
    given = catalogue(one)
    return [(problem.pointer, problem.says) for problem in contradictions(given, catalogue_of(given))]


def is_read(one: dict[str, Any]) -> bool:
    try:
        catalogue_of(catalogue(one))
    except Refused:
        return False
    return True


@pytest.mark.parametrize(
    ("good", "planted", "level", "says"),
    [(one[0], one[1], one[2], one[4]) for one in PLANTED],
    ids=[f"{one[3]}: {one[4]}" for one in PLANTED],
)
def test_what_is_an_error_is_not_taken_into_use_and_what_is_a_doubt_is(good, planted, level, says):
    one = changed(good, **planted)
    if not is_read(one):
        assert level == "error"
        with pytest.raises(Faults):
            sound_catalogue(yaml.safe_dump(catalogue(one)), "shelf.yaml")
    elif level == "warning" or "a day to come" in says:  # what is refused goes by no clock
        assert in_use(one) == []
    else:
        assert [told for told in in_use(one) if says in told[1]]
        with pytest.raises(Faults) as raised:
            sound_catalogue(yaml.safe_dump(catalogue(one)), "shelf.yaml")
        for fault in raised.value.faults:
            assert (fault.file, fault.line > 1) == ("shelf.yaml", True)
            assert fault.part.startswith(good["id"])


BEYOND_USUAL = ("joins 24 AWG to 4 AWG", "over twice the metal", "under half the metal", "times the metal of any other")


@pytest.mark.parametrize(
    ("good", "planted", "says"), [(one[0], one[1], one[4]) for one in PLANTED if one[2] == "error"]
)
def test_who_is_sure_may_list_what_is_beyond_the_usual_and_no_contradiction(good, planted, says):
    if not is_read(one := changed(good, **planted)):
        return
    usual = any(words in told for _, told in in_use(one) for words in BEYOND_USUAL)
    sure = changed(one, sure=True)
    assert (in_use(sure) == []) == (usual or "a day to come" in says)
    if usual:
        assert {fault.level for fault in told(sure)} == {"warning"}
        assert all("write sure: true" in told for _, told in in_use(one))


def test_two_part_numbers_alike_are_not_taken_into_use():
    given = catalogue(changed(CAP, part_number="1"), changed(LUG, part_number="1"))
    (problem,) = contradictions(given, catalogue_of(given))
    assert (problem.pointer, problem.says) == ("/connectors/1/part_number", "is that of cap too")


def test_the_shipped_catalogue_may_be_taken_into_use():
    path = shipped.folder("rulesets") / "catalogues" / "shop.yaml"
    assert sound_catalogue(path.read_bytes(), "shop.yaml", "shop").digest == load_catalogue("shop").digest


def test_a_day_that_has_come_somewhere_is_none_to_come():
    tomorrow = {"document": "x", "read_on": "2026-12-01"}
    assert told(changed(CAP, source=tomorrow)) == []


def test_being_sure_changes_no_answer():
    assert catalogue_of(catalogue(CAP)).digest == catalogue_of(catalogue(changed(CAP, sure=True))).digest
