"""What a conductor carries, what may protect it, and how large a grounding conductor must be, of real questions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.question.loads import conductor_ampacity
from splicewright.question.read import read_question
from splicewright.units import gauge_name, size, whole
from tests.question.asking import question, questions

TWELVE = {"size": "12 AWG"}
LOADS = (
    "conductor.ampacity",
    "conductor.load_margin",
    "conductor.joint_degrees",
    "conductor.device_limit",
    "conductor.device_excess",
)


def facts(given=None, **parts):
    (found,) = facts_of(question({**TWELVE, **(given or {})}, **parts)).conductors
    return found


def amperes(given=None, **parts):
    """Give what the conductor carries, in amperes; None without a value."""
    found = facts(given, **parts).get("conductor.ampacity")
    return None if found is None else found / 10


def at(value, unit="degC", **more):
    return {"ambient": {"value": value, "unit": unit}, **more}


# --- ampacity --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "carries"),
    [
        ({"insulation": "TW"}, 20),
        ({"insulation": "THW"}, 25),
        ({"insulation": "THHN"}, 30),
        ({"insulation": ["TW", "THHN"]}, 30),
        ({"insulation": "THW", "material": "aluminum"}, 20),
        ({"insulation": "THW", "material": "copper-clad-aluminum"}, 20),
        ({"cable": "UF"}, 20),
        ({"cable": "pump-cable"}, 20),
        ({"insulation": "bare"}, None),
        ({"cable": "MC"}, None),
        ({}, None),
    ],
)
def test_a_conductor_carries_what_its_insulations_column_says(given, carries):
    assert amperes(given) == carries


@pytest.mark.parametrize(
    ("insulation", "dry", "wet"),
    [
        ("THHW", 30, 25),
        ("XHHW", 30, 25),
        ("MTW", 30, 20),
        ("THWN-2", 30, 30),
        ("THHN", 30, None),
        (["THHN", "THWN"], 30, 25),
    ],
)
def test_a_wet_place_takes_the_column_for_wet_places(insulation, dry, wet):
    assert amperes({"insulation": insulation}, place={"exposure": "damp"}) == dry
    for exposure in ("wet", "buried", "submerged"):
        assert amperes({"insulation": insulation}, place={"exposure": exposure}) == wet
    assert amperes({"insulation": insulation}, place={"enclosure": "handhole"}) == wet


@pytest.mark.parametrize(
    ("given", "ambient", "carries"),
    [
        ({}, 30, 20),  # 30 A at 90 degC, held to the 20 A of 60 degC
        ({"insulation": "THHN"}, 30, 20),
        ({}, 55, 20),  # 30 A times 0.76 is 22.8 A
        ({}, 60, 20),  # 21.3 A
        ({}, 65, 19.5),  # below the 60 degC column at last
        ({"material": "aluminum"}, 30, 15),
        ({"size": "18 AWG"}, 30, 14),  # the 60 degC column has no figure to hold it to
    ],
)
def test_a_cable_held_to_the_60_degree_column_is_corrected_from_its_own(given, ambient, carries):
    assert amperes({"cable": "NM", **given}, place=at(ambient)) == carries


@pytest.mark.parametrize(
    ("name", "insulation", "carries"),
    [
        ("18 AWG", "TFFN", 6),
        ("18 AWG", "TF", 6),
        ("16 AWG", ["TFN", "SF-2"], 8),
        ("18 AWG", ["TFFN", "THHN"], 14),  # also building wire
        ("8 AWG", "TFFN", None),
        ("1 mm2", "TFFN", None),
    ],
)
def test_a_fixture_wire_has_a_table_of_its_own(name, insulation, carries):
    assert amperes({"size": name, "insulation": insulation}) == carries


@pytest.mark.parametrize("given", [{"cable": "cord"}, {"cable": "cord", "insulation": "THHN"}])
def test_a_cord_has_no_value_for_want_of_its_table(given):
    assert amperes(given) is None
    assert facts(given)["conductor.ampacity_known"] is False


@pytest.mark.parametrize("name", ["2.5 mm2", "4 mm2", "13 AWG", "22 AWG", "1000 kcmil"])
def test_a_size_that_the_table_does_not_have_has_no_value(name):
    assert amperes({"size": name, "insulation": "THHN"}) is None


@pytest.mark.parametrize(
    ("insulation", "place", "carries"),
    [
        ("THHN", at(10), 34.5),
        ("THHN", at(30), 30),
        ("THHN", at(30.1), 28.8),
        ("THHN", at(86, "degF"), 30),
        ("THHN", at(86.1, "degF"), 28.8),
        ("THHN", at(40), 27.3),
        ("THHW", at(40), 27.3),
        ("THHW", at(40, exposure="wet"), 22),
        ("TW", at(55), 8.2),
    ],
)
def test_the_places_temperature_corrects_the_figure(insulation, place, carries):
    assert amperes({"insulation": insulation}, place=place) == carries


@pytest.mark.parametrize(("insulation", "reach"), [("TW", 55), ("THW", 70), ("THHN", 85)])
def test_beyond_its_columns_reach_a_conductor_carries_nothing(insulation, reach):
    assert amperes({"insulation": insulation}, place=at(reach)) > 0
    assert amperes({"insulation": insulation}, place=at(round(reach + 0.1, 1))) == 0
    assert facts({"insulation": insulation}, place=at(200))["conductor.ampacity_known"] is True


def test_a_part_of_a_tenth_of_an_ampere_is_left_off():
    given = {"size": "14 AWG", "insulation": "THHN"}
    assert Fraction("0.71") * 25 == Fraction("17.75")
    assert amperes(given, place=at(60)) == 17.7


@given(questions)
def test_a_hotter_place_never_lets_a_conductor_carry_more(value):
    found = read_question(value).question
    cool = replace(found, place=replace(found.place, ambient=replace(found.place.ambient, value=25, unit="degC")))
    warm = replace(found, place=replace(found.place, ambient=replace(found.place.ambient, value=50, unit="degC")))
    for one in found.joint.conductors:
        known = conductor_ampacity(cool, one), conductor_ampacity(warm, one)
        assert (None in known) is (known == (None, None))
        assert None in known or known[0] >= known[1]


# --- load ------------------------------------------------------------------------------


@pytest.mark.parametrize(("amps", "margin"), [(25, 0), (25.1, -1), (0.1, 249)])
def test_the_load_margin_turns_negative_a_tenth_above_what_is_carried(amps, margin):
    assert facts({"insulation": "THW"}, circuit={"amps": amps})["conductor.load_margin"] == margin


def test_beyond_the_columns_reach_any_load_is_too_much():
    found = facts({"insulation": "TW"}, place=at(60), circuit={"amps": 0.1})
    assert found["conductor.load_margin"] == -1


@pytest.mark.parametrize(
    ("given", "amps", "known"),
    [
        ({"insulation": "THW"}, 16, True),
        ({"insulation": "THW", "role": "grounded"}, 16, True),
        ({"insulation": "THW", "role": "control"}, 16, True),
        ({"insulation": "THW", "role": "equipment-grounding"}, 16, False),
        ({"insulation": "THW", "role": "isolated-grounding"}, 16, False),
        ({"insulation": "THW", "role": "grounding-electrode"}, 16, False),
        ({"insulation": "THW"}, None, False),
        ({}, 16, False),
    ],
)
def test_the_load_margin_needs_a_load_an_ampacity_and_a_conductor_that_carries_it(given, amps, known):
    found = facts(given, circuit={} if amps is None else {"amps": amps})
    assert ("conductor.load_margin" in found) is known


@pytest.mark.parametrize(
    ("given", "amps", "degrees"),
    [
        ({}, 20, 60),
        ({}, 20.1, 75),
        ({}, 25.1, 90),
        ({}, 30.1, None),
        ({}, None, None),
        ({"material": "aluminum"}, 20, 75),
        ({"size": "18 AWG"}, 1, None),
        ({"size": "4 mm2"}, 1, None),
        ({"role": "grounded"}, 20.1, 75),
        ({"role": "equipment-grounding"}, 20.1, None),
    ],
)
def test_the_joint_is_as_hot_as_the_coolest_column_that_carries_the_load(given, amps, degrees):
    found = facts(given, circuit={} if amps is None else {"amps": amps}).get("conductor.joint_degrees")
    assert found == (None if degrees is None else whole(degrees, "degC"))


# --- devices ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "limit"),
    [
        ({}, 20),
        ({"material": "aluminum"}, 15),
        ({"size": "14 AWG"}, 15),
        ({"size": "18 AWG"}, 7),
        ({"size": "8 AWG"}, None),
        ({"size": "4 mm2"}, None),
    ],
)
def test_only_a_small_conductor_of_the_american_gauge_has_a_largest_device(given, limit):
    assert facts(given).get("conductor.device_limit") == (None if limit is None else whole(limit, "A"))


@pytest.mark.parametrize(("code", "limit"), [("nfpa70-2017", None), ("nfpa70-2020", None), ("nfpa70-2023", 100)])
def test_14_awg_copper_clad_has_a_largest_device_from_2023_on(code, limit):
    given = {"size": "14 AWG", "material": "copper-clad-aluminum"}
    assert facts(given, code=code).get("conductor.device_limit") == limit


@pytest.mark.parametrize(
    ("given", "device", "excess"),
    [({}, 20, 0), ({}, 20.1, 1), ({}, 15, -50), ({}, None, None), ({"size": "8 AWG"}, 60, None)],
)
def test_the_excess_turns_positive_a_tenth_above_the_limit(given, device, excess):
    found = facts(given, circuit={} if device is None else {"overcurrent_amps": device})
    assert found.get("conductor.device_excess") == excess


# --- grounding -------------------------------------------------------------------------

GROUND = {**TWELVE, "role": "equipment-grounding"}


def grounding(*conductors, device=20, **parts):
    circuit = {} if device is None else {"overcurrent_amps": device}
    found = facts_of(question(*({**GROUND, **one} for one in conductors), circuit=circuit, **parts)).single
    least = found.get("joint.least_grounding")
    return None if least is None else gauge_name(least), found.get("joint.grounding_undersized")


@pytest.mark.parametrize(
    ("given", "device", "least", "undersized"),
    [
        ({}, 20, "12 AWG", False),
        ({}, 20.1, "10 AWG", True),
        ({"material": "aluminum"}, 20, "10 AWG", True),
        ({"material": "aluminum"}, 15, "12 AWG", False),
        ({"size": "3 AWG"}, 400, "3 AWG", False),
        ({"size": "4 AWG"}, 400, "3 AWG", True),
        ({"size": "4 mm2"}, 20, "12 AWG", False),
        ({"size": "2.5 mm2"}, 20, "12 AWG", True),
    ],
)
def test_a_grounding_conductor_is_measured_against_the_device(given, device, least, undersized):
    assert grounding(given, device=device) == (least, undersized)


@pytest.mark.parametrize("device", [None, 400.1, 10_000])
def test_without_a_device_or_beyond_the_tables_last_row_there_is_no_value(device):
    assert grounding({}, device=device) == (None, None)


@pytest.mark.parametrize("role", ["ungrounded", "grounded", "isolated-grounding", "grounding-electrode", "control"])
def test_a_joint_with_any_other_conductor_has_no_value(role):
    assert grounding({}, {"role": role}) == (None, None)
    assert grounding({"role": role}) == (None, None)


def test_the_largest_grounding_conductor_counts_by_its_own_metal():
    assert grounding({"size": "14 AWG"}, {"size": "12 AWG"}) == ("12 AWG", False)
    assert grounding({"size": "12 AWG"}, {"size": "10 AWG", "material": "aluminum"}) == ("10 AWG", False)
    assert grounding({"size": "14 AWG"}, {"size": "12 AWG", "material": "aluminum"}) == ("10 AWG", True)


# --- other codes, proofs ---------------------------------------------------------------


@pytest.mark.parametrize("code", ["nfpa70-2026", "iec60364"])
def test_a_code_that_the_tables_were_not_entered_for_gives_no_value(code):
    conductors = [{**TWELVE, "insulation": "THHN"}, GROUND]
    found = facts_of(replace(question(*conductors, circuit={"amps": 16, "overcurrent_amps": 20}), code=code))
    for one in found.conductors:
        assert not set(LOADS) & set(one)
        assert one["conductor.ampacity_known"] is False
    alone = facts_of(replace(question(GROUND, circuit={"overcurrent_amps": 20}), code=code)).single
    assert "joint.least_grounding" not in alone
    assert "joint.grounding_undersized" not in alone


@pytest.mark.parametrize("name", [*LOADS, "joint.least_grounding", "joint.grounding_undersized"])
def test_what_a_measure_of_load_reads_are_given_facts(name):
    reads = fact_kinds()[name].reads
    assert reads
    assert all(not fact_kinds()[read].reads for read in reads)


@pytest.mark.parametrize("name", ["40 AWG", "10 AWG", "1 AWG", "1/0 AWG", "4/0 AWG"])
def test_a_gauge_is_named_by_its_area(name):
    assert gauge_name(size(name).area) == name


@pytest.mark.parametrize("area", [0, size("10 AWG").area + 1, size("250 kcmil").area, size("4 mm2").area])
def test_an_area_of_no_gauge_has_no_name(area):
    with pytest.raises(KeyError):
        gauge_name(area)
