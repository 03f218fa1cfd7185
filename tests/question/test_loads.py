"""What a conductor carries in its place, and how much of it the load asks, of real questions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.question.loads import conductor_ampacity
from splicewright.question.read import read_question
from splicewright.units import size, whole
from tests.question.asking import question, questions

TWELVE = {"size": "12 AWG"}
LOADS = (
    "conductor.judged_as",
    "conductor.ampacity",
    "conductor.most_ampacity",
    "conductor.load_margin",
    "conductor.most_margin",
    "conductor.continuous_margin",
    "conductor.joint_degrees",
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
        ("1 mm2", "TFFN", 6),  # judged as 18 AWG
        ("0.75 mm2", "TFFN", None),
    ],
)
def test_a_fixture_wire_has_a_table_of_its_own(name, insulation, carries):
    assert amperes({"size": name, "insulation": insulation}) == carries


@pytest.mark.parametrize("given", [{"cable": "cord"}, {"cable": "cord", "insulation": "THHN"}])
def test_a_cord_has_no_value_for_want_of_its_table(given):
    assert amperes(given) is None
    assert facts(given)["conductor.ampacity_known"] is False


@pytest.mark.parametrize(
    ("name", "carries"),
    [
        ("2.5 mm2", 25),
        ("4 mm2", 30),
        ("13 AWG", 25),
        ("1000 kcmil", 615),
        ("2500 kcmil", 750),
        ("0.75 mm2", None),
        ("22 AWG", None),
    ],
)
def test_a_size_that_the_table_does_not_have_carries_what_the_next_smaller_one_does(name, carries):
    assert amperes({"size": name, "insulation": "THHN"}) == carries


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
    for conductor in found.joint.conductors:
        known = conductor_ampacity(cool, conductor), conductor_ampacity(warm, conductor)
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
        ({"size": "4 mm2"}, 20, 60),
        ({"size": "4 mm2"}, 20.1, 75),
        ({"size": "0.75 mm2"}, 1, None),
        ({"role": "grounded"}, 20.1, 75),
        ({"role": "equipment-grounding"}, 20.1, None),
    ],
)
def test_the_joint_is_as_hot_as_the_coolest_column_that_carries_the_load(given, amps, degrees):
    found = facts(given, circuit={} if amps is None else {"amps": amps}).get("conductor.joint_degrees")
    assert found == (None if degrees is None else whole(degrees, "degC"))


# --- a quarter more --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "amps", "margin"),
    [
        ({"insulation": "THHN"}, 20, 0),  # 25 A at the best terminals, whatever its own column
        ({"insulation": "THHN"}, 20.1, -1),
        ({"insulation": "THHN"}, 8, 150),
        ({"insulation": "TW"}, 16, 0),
        ({"insulation": "TW"}, 16.1, -1),
        ({}, 20, 0),
        ({"cable": "NM"}, 16, 0),
        ({"cable": "NM"}, 16.1, -1),
        ({"material": "aluminum"}, 16, 0),
        ({"size": "4 mm2"}, 20, 0),
        ({"role": "grounded"}, 20.1, -1),
        ({"role": "control"}, 20.1, -1),
        ({"role": "equipment-grounding"}, 20.1, None),
        ({"insulation": "TFFN"}, 20, None),
        ({"cable": "cord"}, 20, None),
        ({"size": "18 AWG", "insulation": "THHN"}, 4, None),
        ({}, None, None),
    ],
)
def test_a_quarter_more_than_the_load_is_held_against_what_the_best_terminals_let_it_carry(given, amps, margin):
    circuit = {} if amps is None else {"amps": amps}
    for place in (at(30), at(70)):  # before any correction
        assert facts(given, place=place, circuit=circuit).get("conductor.continuous_margin") == margin


@pytest.mark.parametrize(("insulation", "most"), [("TW", 160), ("THW", 200)])
def test_the_continuous_margin_is_negative_exactly_above_four_fifths(insulation, most):
    for tenths in range(1, 400):
        found = facts({"insulation": insulation}, circuit={"amps": tenths / 10})["conductor.continuous_margin"]
        assert (found < 0) is (tenths > most), tenths


# --- at the most -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "known"),
    [
        ({}, True),
        ({"insulation": "TW"}, True),
        ({"size": "4 mm2"}, True),
        ({"size": "18 AWG"}, False),
        ({"size": "22 AWG"}, False),
        ({"size": "14 AWG", "insulation": "SF-2"}, False),
        ({"cable": "cord"}, False),
    ],
)
def test_what_a_conductor_carries_between_terminals_is_known_where_the_table_for_building_wire_has_it(given, known):
    assert facts(given)["conductor.at_terminals_known"] is known


@pytest.mark.parametrize(
    ("given", "tenths"),
    [
        ({}, 387),  # 30 A times 1.29
        ({"insulation": "TW"}, 387),
        ({"size": "30 AWG"}, 180),  # as 18 AWG, the least of the table: 14 A times 1.29 is 18.06 A
        ({"size": "14 AWG", "material": "aluminum"}, 322),  # as 12 AWG, the least of its metal
        ({"size": "2500 kcmil"}, 9675),
        ({"cable": "cord"}, None),
    ],
)
def test_at_the_most_a_conductor_carries_its_hottest_column_in_the_coolest_place(given, tenths):
    assert facts(given, place=at(80)).get("conductor.most_ampacity") == tenths


@pytest.mark.parametrize(
    ("given", "amps", "margin"),
    [
        ({}, 38.7, 0),
        ({}, 38.8, -1),
        ({"role": "grounded"}, 38.8, -1),
        ({"role": "control"}, 38.8, -1),
        ({"role": "equipment-grounding"}, 38.8, None),
        ({"cable": "cord"}, 38.8, None),
        ({}, None, None),
    ],
)
def test_the_most_margin_turns_negative_a_tenth_above_the_most(given, amps, margin):
    circuit = {} if amps is None else {"amps": amps}
    assert facts(given, circuit=circuit).get("conductor.most_margin") == margin


@given(questions)
def test_no_conductor_ever_carries_more_than_the_most(value):
    for conductor in facts_of(read_question(value).question).conductors:
        if "conductor.ampacity" in conductor and not conductor["conductor.fixture_wire"]:
            assert conductor["conductor.ampacity"] <= conductor["conductor.most_ampacity"]


# --- other sizes and kinds -------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "gauge"),
    [
        ({}, None),
        ({"size": "13 AWG"}, "14 AWG"),
        ({"size": "4 mm2"}, "12 AWG"),
        ({"size": "300 mm2"}, "500 kcmil"),
        ({"size": "13 AWG", "material": "aluminum"}, None),
        ({"size": "22 AWG"}, None),
        ({"size": "2500 kcmil"}, "2000 kcmil"),
    ],
)
def test_the_size_that_a_conductor_is_judged_by_is_told_where_it_is_not_its_own(given, gauge):
    assert facts(given).get("conductor.judged_as") == (None if gauge is None else size(gauge).area)


@pytest.mark.parametrize(
    ("given", "fixture"),
    [
        ({}, False),
        ({"insulation": "TFFN"}, True),
        ({"insulation": ["SF-2", "TF"]}, True),
        ({"insulation": ["TFFN", "THHN"]}, False),
        ({"insulation": "THHN"}, False),
        ({"cable": "NM"}, False),
        ({"cable": "NM", "insulation": "SFF-2"}, False),
        ({"cable": "MC", "insulation": "TFFN"}, True),
    ],
)
def test_a_fixture_wire_is_one_by_every_mark_of_its_insulation(given, fixture):
    assert facts(given)["conductor.fixture_wire"] is fixture


# --- other codes, proofs ---------------------------------------------------------------


@pytest.mark.parametrize("code", ["nfpa70-2026", "iec60364"])
def test_a_code_that_the_tables_were_not_entered_for_gives_no_value(code):
    asked = question({"size": "4 mm2", "insulation": "THHN"}, {"size": "12 AWG"}, circuit={"amps": 16})
    for conductor in facts_of(replace(asked, code=code)).conductors:
        assert not set(LOADS) & set(conductor)
        assert conductor["conductor.ampacity_known"] is conductor["conductor.at_terminals_known"] is False


@pytest.mark.parametrize(
    "name", [*LOADS, "conductor.ampacity_known", "conductor.at_terminals_known", "conductor.fixture_wire"]
)
def test_what_a_measure_of_load_reads_are_given_facts(name):
    reads = fact_kinds()[name].reads
    assert reads
    assert all(not fact_kinds()[read].reads for read in reads)
