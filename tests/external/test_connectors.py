"""The shipped catalogue `shop` against what the standards and guide information of wire connectors say."""

from __future__ import annotations

import pytest

from splicewright import choose
from splicewright.answering import shipped_chooser
from splicewright.catalogue.model import kinds_in
from splicewright.units import size
from tests.external.published import cited, published

DATA = published("connectors")
SHOP = shipped_chooser().catalogue("shop").connectors
SPLICES = [pytest.param(method, id=cited(DATA["size"]["source"], method)) for method in DATA["size"]["methods"]]


def every(part, where):
    """Parametrize over the shop's connectors `where` a part of the data speaks of them, each named with its source."""
    some = [one for one in SHOP if where(one)]
    assert some, part
    return pytest.mark.parametrize("one", some, ids=lambda one: cited(DATA[part]["source"], one.id))


def of_methods(part):
    return lambda one: one.method in DATA[part]["methods"]


def takes(material):
    return lambda one: material in one.attributes["materials"]


def conductors(one):
    """Give each (metal, construction, size) that a connector takes; of a range, both of its ends."""
    for take in one.takes:
        listed = [(entry.kinds, entry.size) for combination in take.combinations for entry in combination.entries]
        ranges = [ranged for port in take.ports for ranged in port.ranges]
        listed += [(ranged.kinds, end) for ranged in ranges for end in (ranged.least, ranged.most)]
        for kinds, of in listed:
            for material, construction, _ in kinds_in(kinds):
                yield material, construction, of


def within(of, bounds):
    return size(bounds["from"]) <= of and ("to" not in bounds or of <= size(bounds["to"]))


def volts(one, attribute="volts"):
    return one.attributes[attribute] / 10


def outside(one, material, part):
    """Give each size of a metal that a connector takes and its standard does not."""
    found = []
    for metal, construction, of in conductors(one):
        bounds = DATA[part].get(construction)
        if metal == material and not (bounds and within(of, bounds)):
            found.append(f"{of} {construction}")
    return sorted(set(found))


@every("aluminum", takes("aluminum"))
def test_aluminum_is_taken_only_in_the_sizes_of_the_standard(one):
    assert outside(one, "aluminum", "aluminum") == []


@every("copper_clad", takes("copper-clad-aluminum"))
def test_copper_clad_is_taken_only_in_the_sizes_of_the_standard(one):
    assert outside(one, "copper-clad-aluminum", "copper_clad") == []


@every("copper", of_methods("copper"))
def test_copper_is_taken_only_in_the_sizes_of_the_standard(one):
    assert outside(one, "copper", "copper") == []


@pytest.mark.parametrize("method", SPLICES)
def test_no_splicing_connector_of_a_spring_or_cap_kind_takes_more_than_its_standard(method):
    largest = {one.id: max(of for _, _, of in conductors(one)) for one in SHOP if one.method == method}
    assert largest
    assert [name for name, of in largest.items() if of > size(DATA["size"]["most"])] == []


@pytest.mark.parametrize("method", SPLICES)
def test_the_service_bars_them_for_what_is_larger(method):
    larger = choose({"joint": {"conductors": [{"size": "4 AWG", "count": 2, "insulation": "THHN"}]}})
    at_most = choose({"joint": {"conductors": [{"size": "6 AWG", "count": 2, "insulation": "THHN"}]}})
    assert method in {barred for bar in larger["method_bars"] for barred in bar["methods"]}
    assert method not in {barred for bar in at_most["method_bars"] for barred in bar["methods"]}


@every("volts", lambda one: of_methods("volts")(one) and one.attributes["insulated"])
def test_an_insulated_splicing_connector_has_volts_of_a_published_class(one):
    assert volts(one) in DATA["volts"]["insulated"]


@every("volts", lambda one: "luminaire_volts" in one.attributes)
def test_a_higher_mark_for_luminaires_stands_beside_that_for_building_wiring(one):
    assert volts(one, "luminaire_volts") in DATA["volts"]["in_luminaires"]
    assert volts(one) == DATA["volts"]["in_luminaires_beside"]


@pytest.mark.parametrize("limit", DATA["most_volts"], ids=lambda limit: cited(limit["source"], limit["volts"], "V"))
def test_no_connector_has_more_volts_than_its_standard_reaches(limit):
    some = {one.id: volts(one) for one in SHOP if one.attributes["insulated"] is limit["insulated"]}
    assert some
    assert [name for name, most in some.items() if most > limit["volts"]] == []


@every("degrees", of_methods("degrees"))
def test_a_splicing_connector_bears_a_usual_temperature(one):
    assert one.attributes["degrees"] / 90 in DATA["degrees"]["degrees"]


@every("intermixed", lambda one: one.attributes["intermixed"])
def test_aluminum_and_copper_touch_only_in_connectors_for_dry_places(one):
    assert one.attributes["places"] == set(DATA["intermixed"]["places"])


@every("push_in", of_methods("push_in"))
def test_no_push_in_connector_takes_aluminum(one):
    assert DATA["push_in"]["never"] not in one.attributes["materials"]


@every("burial", lambda one: "burial" in one.attributes["places"] and one.attributes["insulated"])
def test_an_insulated_connector_for_burial_is_sealed(one):
    assert one.attributes["sealed"]


def sealed_filled(one):
    return one.attributes["sealed"] and one.method not in DATA["single_use"]["sealed_but_opens"]


@every("single_use", lambda one: of_methods("single_use")(one) or sealed_filled(one))
def test_crimped_welded_piercing_and_sealed_filled_kinds_are_used_once(one):
    assert not one.attributes["reusable"]


@every("solder", of_methods("solder"))
def test_no_joint_for_grounding_relies_on_solder(one):
    assert one.attributes["grounding"] == "no"


@pytest.mark.parametrize(
    "method", DATA["electrode"]["methods"], ids=lambda method: cited(DATA["electrode"]["source"], method)
)
def test_irreversible_compression_is_offered_for_a_grounding_electrode_conductor(method):
    one = {"size": "4 AWG", "count": 2, "insulation": "bare", "role": "grounding-electrode"}
    options = choose({"joint": {"conductors": [one]}, "limit": 100})["options"]
    irreversible = {one.id for one in SHOP if one.attributes["irreversible"]}
    assert method in {option["method"] for option in options}
    assert {option["connector"] for option in options} <= irreversible


@pytest.mark.parametrize("supply", DATA["leads"]["supply"], ids=lambda supply: cited(DATA["leads"]["source"], supply))
def test_a_lead_of_equipment_can_be_joined_to_its_supply(supply):
    lead = {"size": DATA["leads"]["lead"], "construction": "stranded", "insulation": "TFFN"}
    joint = {"conductors": [{"size": supply, "insulation": "THHN"}, lead]}
    answer = choose({"joint": joint, "place": {"enclosure": "luminaire"}, "circuit": {"kind": "luminaire"}})
    assert answer["outcome"] == "options"


@pytest.mark.parametrize("amps", [15, 20, 25, 30], ids=lambda amps: cited(DATA["coolest"]["source"], amps, "A"))
def test_a_hotter_conductor_does_not_lift_what_the_connector_must_be_rated_for(amps):
    """The connector is asked for the coolest column of 12 AWG that carries the load, whatever the conductor's own."""
    asked = {}
    for insulation in ("THW-2", "THHN", "XHHW-2"):
        conductors_here = [{"size": "12 AWG", "count": 2, "insulation": insulation}]
        answer = choose({"joint": {"conductors": conductors_here}, "circuit": {"amps": amps}})
        found = [demand["test"]["at-least"] for demand in answer["demands"] if demand["attribute"] == "degrees"]
        asked[insulation] = [test for test in found if test != [{"value": 30, "unit": "degC"}]]
    column = {"value": {15: 60, 20: 60, 25: 75, 30: 90}[amps], "unit": "degC"}
    assert all(tests == [[column]] for tests in asked.values())
