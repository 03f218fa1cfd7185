"""How large equipment grounding conductors are to be behind an overcurrent device, of real questions."""

from __future__ import annotations

from dataclasses import replace

import pytest

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.units import gauge_name, size
from tests.question.asking import question

GROUND = {"size": "12 AWG", "role": "equipment-grounding"}
NAMES = ("joint.least_grounding", "joint.grounding_undersized", "joint.some_grounding_undersized")
ALUMINUM = {"material": "aluminum"}


def measured(*conductors, device=20, **parts):
    """Give the least size, and whether every one and whether some one of the grounding conductors is smaller."""
    circuit = {} if device is None else {"overcurrent_amps": device}
    found = facts_of(question(*({**GROUND, **conductor} for conductor in conductors), circuit=circuit, **parts)).single
    least, *undersized = (found.get(name) for name in NAMES)
    return (None if least is None else gauge_name(least), *undersized)


@pytest.mark.parametrize(
    ("given", "device", "least", "undersized"),
    [
        ({}, 20, "12 AWG", False),
        ({}, 20.1, "10 AWG", True),
        (ALUMINUM, 20, "10 AWG", True),
        (ALUMINUM, 15, "12 AWG", False),
        ({"material": "copper-clad-aluminum"}, 20, "10 AWG", True),
        ({"size": "3 AWG"}, 400, "3 AWG", False),
        ({"size": "4 AWG"}, 400, "3 AWG", True),
        ({"size": "3 AWG"}, 400.1, "2 AWG", True),
        ({"size": "250 kcmil"}, 2000, "250 kcmil", False),
        ({"size": "800 kcmil"}, 6000, "800 kcmil", False),
        ({"size": "750 kcmil"}, 6000, "800 kcmil", True),
        ({"size": "4 mm2"}, 20, "12 AWG", False),
        ({"size": "2.5 mm2"}, 20, "12 AWG", True),
    ],
)
def test_a_grounding_conductor_is_measured_against_the_device(given, device, least, undersized):
    assert measured(given, device=device) == (least, undersized, undersized)


@pytest.mark.parametrize("device", [None, 6000.1, 10_000])
def test_without_a_device_or_beyond_the_tables_last_row_there_is_no_value(device):
    assert measured({}, device=device) == (None, None, None)


@pytest.mark.parametrize("role", ["ungrounded", "grounded", "grounding-electrode", "control"])
def test_a_conductor_of_another_role_has_no_value_and_changes_none(role):
    assert measured({"role": role}) == (None, None, None)
    assert measured({"size": "14 AWG"}, {"size": "10 AWG", "role": role}) == ("12 AWG", True, True)


def test_an_isolated_grounding_conductor_carries_a_fault_too():
    assert measured({"role": "isolated-grounding", "size": "14 AWG"}) == ("12 AWG", True, True)
    assert measured({"size": "14 AWG"}, {"role": "isolated-grounding"}) == ("12 AWG", False, True)


@pytest.mark.parametrize(
    ("conductors", "device", "expected"),
    [
        ([{"size": "14 AWG"}, {"size": "12 AWG"}], 20, ("12 AWG", False, True)),
        ([{"size": "14 AWG"}, {"size": "12 AWG"}], 15, ("14 AWG", False, False)),
        ([{"size": "14 AWG"}, {"size": "13 AWG"}], 20, ("12 AWG", True, True)),
        ([{}, {"size": "10 AWG", **ALUMINUM}], 20, ("10 AWG", False, False)),
        ([{"size": "14 AWG"}, ALUMINUM], 20, ("10 AWG", True, True)),
        ([{}, ALUMINUM], 20, ("12 AWG", False, True)),
    ],
)
def test_each_grounding_conductor_counts_by_its_own_metal(conductors, device, expected):
    assert measured(*conductors, device=device) == expected
    assert measured(*reversed(conductors), device=device) == expected


def test_a_smaller_copper_conductor_suffices_beside_a_larger_one_of_aluminum_that_does_not():
    assert measured({"size": "4 AWG"}, {"size": "3 AWG", **ALUMINUM}, device=300) == ("2 AWG", False, True)


@pytest.mark.parametrize("code", ["nfpa70-2026", "iec60364"])
def test_a_code_that_the_table_was_not_entered_for_gives_no_value(code):
    found = facts_of(replace(question(GROUND, circuit={"overcurrent_amps": 20}), code=code)).single
    assert not set(NAMES) & set(found)


@pytest.mark.parametrize("name", NAMES)
def test_what_a_measure_of_grounding_reads_are_given_facts(name):
    reads = fact_kinds()[name].reads
    assert reads
    assert all(not fact_kinds()[read].reads for read in reads)


@pytest.mark.parametrize("name", ["40 AWG", "10 AWG", "1 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "1250 kcmil"])
def test_a_gauge_is_named_by_its_area(name):
    assert gauge_name(size(name).area) == name


@pytest.mark.parametrize(
    "area", [0, size("10 AWG").area + 1, size("250 kcmil").area + 1, size("4 mm2").area, size("2500 mm2").area]
)
def test_an_area_of_no_gauge_has_no_name(area):
    with pytest.raises(KeyError):
        gauge_name(area)
