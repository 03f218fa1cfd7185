"""What the shipped demonstration catalogue claims: the trade's sense of it, which no code checks."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from splicewright.catalogue import Connector, fill, load_catalogue
from splicewright.catalogue.model import kinds_in
from splicewright.question.vocabulary import METHODS
from splicewright.units import Size, size
from tests.catalogue.making import joint

SHOP = load_catalogue("shop")
ALL = SHOP.connectors
_BORE = re.compile(r"a bore of ([0-9.]+) to ([0-9.]+) mm2 of metal")


def of_method(*methods: str) -> list[Connector]:
    found = [one for one in ALL if one.method in methods]
    assert found
    return found


def marked(attribute: str, value: object = True) -> list[Connector]:
    return [one for one in ALL if one.attributes.get(attribute) == value]


def ids(connectors: list[Connector]) -> set[str]:
    return {connector.id for connector in connectors}


def places(connector: Connector) -> frozenset[str]:
    found = connector.attributes["places"]
    assert isinstance(found, frozenset)
    return found


def sizes(connector: Connector) -> Iterator[Size]:
    for take in connector.takes:
        for combination in take.combinations:
            yield from (entry.size for entry in combination.entries)
        for port in take.ports:
            for ranged in port.ranges:
                yield from (ranged.least, ranged.most)


def listed(connectors: list[Connector], *conductors: str) -> set[str]:
    asked = joint(*conductors)
    return {connector.id for connector in connectors if fill(connector, asked).basis == "listed"}


def test_at_least_fifty_two_connectors():
    assert len(ALL) >= 52


@pytest.mark.parametrize("method", METHODS)
def test_every_method_has_at_least_two_connectors(method):
    assert len(of_method(method)) >= 2


def test_connectors_stand_sorted_by_id():
    assert [one.id for one in ALL] == sorted(ids(list(ALL)))


def test_sizes_run_from_24_awg_to_750_kcmil():
    every = [found for one in ALL for found in sizes(one)]
    assert min(every) == size("24 AWG")
    assert max(every) == size("750 kcmil")


def test_sizes_are_all_awg_or_kcmil():
    assert {found.system for one in ALL for found in sizes(one)} == {"awg"}


def test_push_in_lever_and_closed_end_crimp_are_for_copper_only():
    for one in of_method("push-in", "lever", "closed-end-crimp"):
        assert one.attributes["materials"] == {"copper"}, one.id


def test_push_in_lever_and_closed_end_crimp_are_for_dry_or_damp_places_only():
    for one in of_method("push-in", "lever", "closed-end-crimp"):
        assert places(one) <= {"dry", "damp"}, one.id


def test_no_push_in_connector_takes_fine_strands_without_a_ferrule_or_bonded_end():
    for one in of_method("push-in"):
        ends = {end for _, construction, end in kinds_in(one.kinds) if construction == "fine-stranded"}
        assert ends <= {"ferruled", "bonded"}, one.id


def test_every_lever_connector_takes_plain_fine_strands():
    for one in of_method("lever"):
        assert ("copper", "fine-stranded", "plain") in kinds_in(one.kinds), one.id


def test_only_cold_weld_sleeve_and_insulated_lug_splices_are_permanent_repairs_of_old_aluminum():
    assert ids(marked("permanent_aluminum_repair")) == {
        "compression-pigtail-sleeve",
        "set-screw-lug-splice-2-port",
        "set-screw-lug-splice-3-port",
    }


@pytest.mark.parametrize("aluminum", ["12 AWG", "10 AWG"])
def test_every_permanent_repair_joins_a_copper_tail_to_solid_aluminum(aluminum):
    found = listed(marked("permanent_aluminum_repair"), "1 x 12 AWG", f"1 x {aluminum} aluminum")
    assert found == ids(marked("permanent_aluminum_repair"))


def test_every_permanent_repair_is_insulated():
    assert all(one.attributes["insulated"] for one in marked("permanent_aluminum_repair"))


def test_prefilled_twist_on_for_aluminum_is_dry_intermixed_and_no_permanent_repair():
    one = SHOP.connector("twist-on-aluminum-copper")
    assert places(one) == {"dry"}
    assert one.attributes["intermixed"] is True
    assert one.attributes["permanent_aluminum_repair"] is False


def test_intermixed_connectors_are_for_dry_places_only():
    assert marked("intermixed")
    for one in marked("intermixed"):
        assert places(one) == {"dry"}, one.id


def test_two_copper_and_one_aluminum_have_a_listed_connector():
    found = listed(marked("intermixed"), "2 x 12 AWG", "1 x 12 AWG aluminum")
    assert {"twist-on-aluminum-copper", "set-screw-lug-splice-3-port"} <= found


def test_no_connector_takes_solid_aluminum_other_than_12_and_10_awg():
    for other in ("14 AWG", "13 AWG", "8 AWG"):
        assert not [one.id for one in ALL if fill(one, joint(f"2 x {other} aluminum")).fits], other


def test_split_bolt_for_unlike_metals_has_a_spacer():
    assert ids([one for one in of_method("split-bolt") if one.attributes["intermixed"]]) == {"split-bolt-spacer-medium"}


def test_copper_clad_has_listed_connectors():
    assert "twist-on-copper-clad" in listed(list(ALL), "3 x 12 AWG copper-clad-aluminum")
    assert "twist-on-copper-clad" in listed(list(ALL), "2 x 12 AWG copper-clad-aluminum", "1 x 12 AWG")


def test_uf_pair_has_direct_burial_connectors_that_hold_the_cable():
    found = listed(of_method("direct-burial-splice"), "2 x 12 AWG")
    assert "direct-burial-tube-small" in found & ids(marked("strain_relief"))


def test_every_direct_burial_splice_is_sealed_and_listed_for_burial():
    for one in of_method("direct-burial-splice"):
        assert one.attributes["sealed"], one.id
        assert "burial" in places(one), one.id


def test_one_direct_burial_splice_lacks_strain_relief_and_most_have_it():
    without = [one for one in of_method("direct-burial-splice") if not one.attributes["strain_relief"]]
    assert ids(without) == {"direct-burial-shell-low-voltage"}


def test_every_insulated_connector_for_wet_places_is_sealed():
    for one in ALL:
        if places(one) & {"wet", "burial", "submersion"} and one.attributes["insulated"]:
            assert one.attributes["sealed"], one.id


def test_every_connector_for_a_wetter_place_is_for_the_drier_ones_too():
    for one in ALL:
        ladder = ["dry", "damp", "wet", "burial"]
        wettest = max(ladder.index(place) for place in places(one) if place in ladder)
        assert set(ladder[: wettest + 1]) <= places(one), one.id


@pytest.mark.parametrize("conductors", ["2 x 10 AWG stranded", "2 x 4 AWG stranded"])
def test_submersible_pump_cable_has_a_shrink_splice_with_strain_relief(conductors):
    found = [one for one in of_method("shrink-splice") if "submersion" in places(one)]
    assert listed(found, conductors)
    assert all(one.attributes["strain_relief"] and one.attributes["sealed"] for one in found)


@pytest.mark.parametrize("method", ["lever", "twist-on"])
def test_luminaire_lead_with_two_supply_conductors_is_listed(method):
    assert listed(of_method(method), "2 x 12 AWG", "1 x 18 AWG fine-stranded")


def test_no_twist_on_push_in_or_lever_connector_takes_twelve_12_awg():
    asked = joint("12 x 12 AWG")
    for one in of_method("twist-on", "push-in", "lever"):
        assert fill(one, asked).verdict in ("too-many", "ports-too-few", "construction-not-taken"), one.id


def test_ground_crimps_and_ground_twist_ons_are_for_grounding_only():
    assert all(one.attributes["grounding"] == "only" for one in of_method("ground-crimp", "ground-twist-on"))


def test_large_electrode_conductors_have_irreversible_compression_and_exothermic_joints():
    found = listed(marked("irreversible"), "2 x 250 kcmil stranded")
    assert {"compression-sleeve-250", "compression-tap-grounding-large", "exothermic-cable-large"} <= found


def test_no_solder_joint_is_for_grounding():
    assert all(one.attributes["grounding"] == "no" for one in of_method("solder"))


def test_compression_exothermic_and_crimped_joints_are_irreversible_and_not_reusable():
    for one in of_method("compression", "exothermic", "closed-end-crimp", "butt-crimp", "ground-crimp"):
        assert one.attributes["irreversible"], one.id
        assert not one.attributes["reusable"], one.id


def test_no_connector_is_both_irreversible_and_reusable():
    assert not [one.id for one in marked("irreversible") if one.attributes["reusable"]]


def test_insulation_displacement_takes_uncut_conductors_at_low_voltage_and_at_600_volts():
    assert all(one.attributes["uncut"] for one in of_method("insulation-displacement"))
    assert {one.attributes["volts"] for one in of_method("insulation-displacement")} == {300, 3000, 6000}


def test_only_cable_splice_devices_go_without_a_box():
    assert ids(marked("unboxed")) == ids(of_method("cable-splice-device"))


def test_hot_luminaires_have_connectors_for_150_degrees():
    hot = [one for one in ALL if one.attributes["degrees"] == 150 * 90]
    assert {"twist-on", "push-in", "luminaire-disconnect"} <= {one.method for one in hot}


def test_thousand_volt_circuits_have_connectors():
    assert {"terminal-block-1000-volt", "direct-burial-resin-kit"} <= ids(marked("volts", 10_000))


def test_listings_of_every_connector_name_volts_and_degrees():
    assert not [one.id for one in ALL if not {"volts", "degrees"} <= one.attributes.keys()]


def test_volts_in_luminaires_are_given_only_by_insulated_600_volt_connectors():
    for one in ALL:
        if "luminaire_volts" in one.attributes:
            assert one.attributes["volts"] == 6000, one.id
            assert one.attributes["insulated"], one.id


def test_every_connector_that_caps_takes_one_conductor():
    assert marked("caps")
    for one in marked("caps"):
        assert fill(one, joint("1 x 12 AWG")).fits or fill(one, joint("1 x 16 AWG")).fits, one.id


def test_every_screwed_connector_gives_a_torque_for_each_size_it_takes():
    screwed = [
        one
        for one in of_method("set-screw", "split-bolt", "terminal-block", "direct-burial-splice")
        if one.attributes["tool"] in ("screwdriver", "wrench") and one.id != "terminal-block-spring"
    ]
    assert len(screwed) > 10
    for one in screwed:
        for of in sizes(one):
            assert one.figure("torque", joint(f"2 x {of}")), (one.id, of)


def test_connectors_that_need_a_strip_give_its_length():
    without = ids([one for one in ALL if "strip" not in one.figures])
    assert without == ids(of_method("insulation-displacement", "cable-splice-device"))


def test_combinations_fill_the_bore_that_the_connector_is_described_with():
    checked = 0
    for one in ALL:
        bore = _BORE.search(str(one.to_dict().get("about")))
        if bore:
            least, most = (round(float(text) * 1e6) for text in bore.groups())
            for combination in one.takes[0].combinations:
                assert least <= sum(combination.areas) <= most, (one.id, combination.text)
                checked += 1
    assert checked > 300


def test_sizes_far_apart_stand_only_in_connectors_said_to_take_them():
    asked = joint("1 x 12 AWG", "1 x 18 AWG stranded"), joint("2 x 12 AWG", "1 x 18 AWG stranded")
    for one in ALL:
        if any(fill(one, each).basis == "listed" for each in asked):
            assert one.attributes["wide_range"], one.id


def test_luminaire_disconnects_are_judged_pole_by_pole():
    assert "luminaire-disconnect-2-pole" in listed(of_method("luminaire-disconnect"), "1 x 12 AWG", "1 x 18 AWG")
    assert "one pole" in SHOP.connector("luminaire-disconnect-2-pole").to_dict()["about"]


def test_note_says_that_the_catalogue_is_invented():
    assert "describes no real product" in SHOP.note
