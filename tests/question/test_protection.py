"""Which overcurrent device a conductor may have ahead of it, and what its load leaves of it, of real questions."""

from __future__ import annotations

from dataclasses import replace

import pytest

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.units import whole
from tests.question.asking import TWELVE, question

EIGHT = {"size": "8 AWG"}
OF_CONDUCTOR = (
    "conductor.device_limit",
    "conductor.device_excess",
    "conductor.load_above_device",
    "conductor.protected_at",
    "conductor.protection_excess",
    "conductor.load_above_protection",
    "conductor.unmarked_excess",
    "conductor.rounded_up",
    "conductor.control_excess",
    "conductor.motor_excess",
)
OF_JOINT = (
    "joint.tapped_excess",
    "joint.tap_excess",
    "circuit.load_excess",
    "circuit.continuous_excess",
    "circuit.motor_device_excess",
    "circuit.motor_device_beyond",
    "circuit.nameplate_stated",
    "circuit.nameplate_excess",
    "circuit.nameplate_load_excess",
)
STATED = {"amps": 16, "overcurrent_amps": 20}


def measured(name, given=None, *, device=None, amps=None, **parts):
    """Give a measure of one conductor in base units, tenths of an ampere; None where it has no value."""
    stated = {"overcurrent_amps": device, "amps": amps, **parts.pop("circuit", {})}
    circuit = {key: value for key, value in stated.items() if value is not None}
    (found,) = facts_of(question({**TWELVE, **(given or {})}, circuit=circuit, **parts)).conductors
    return found.get(f"conductor.{name}")


def joined(name, *conductors, device=20, **parts):
    circuit = {} if device is None else {"overcurrent_amps": device}
    given = ({**TWELVE, **conductor} for conductor in conductors)
    return facts_of(question(*given, circuit=circuit, **parts)).single.get(f"joint.{name}")


def at(value):
    return {"ambient": {"value": value, "unit": "degC"}}


# --- small conductors ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "limit"),
    [
        ({}, 20),
        ({"material": "aluminum"}, 15),
        ({"size": "14 AWG"}, 15),
        ({"size": "18 AWG"}, 7),
        ({"size": "10 AWG"}, 30),
        ({"size": "9 AWG"}, 30),
        (EIGHT, None),
        ({"size": "4 mm2"}, 20),
        ({"size": "10 mm2"}, None),
        ({"size": "0.75 mm2"}, None),
        ({"size": "14 AWG", "material": "aluminum"}, None),
    ],
)
def test_only_a_small_conductor_has_a_largest_device(given, limit):
    assert measured("device_limit", given) == (None if limit is None else whole(limit, "A"))


@pytest.mark.parametrize(("code", "limit"), [("nfpa70-2017", None), ("nfpa70-2020", None), ("nfpa70-2023", 100)])
@pytest.mark.parametrize("size", ["14 AWG", "2.5 mm2"])
def test_14_awg_copper_clad_has_a_largest_device_from_2023_on(code, limit, size):
    assert measured("device_limit", {"size": size, "material": "copper-clad-aluminum"}, code=code) == limit


@pytest.mark.parametrize(
    ("given", "device", "excess"),
    [({}, 20, 0), ({}, 20.1, 1), ({}, 15, -50), ({}, None, None), (EIGHT, 60, None)],
)
def test_the_excess_turns_positive_a_tenth_above_the_limit(given, device, excess):
    assert measured("device_excess", given, device=device) == excess


@pytest.mark.parametrize(
    ("given", "amps", "excess"),
    [({}, 20, 0), ({}, 20.1, 1), ({}, 4, -160), ({}, None, None), (EIGHT, 60, None)],
)
def test_a_load_is_measured_against_the_largest_device_that_so_small_a_conductor_may_have(given, amps, excess):
    assert measured("load_above_device", given, amps=amps) == excess


# --- by ampacity -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "ambient", "device"),
    [
        (EIGHT, 30, 50),  # a standard rating itself
        ({"size": "6 AWG"}, 30, 70),  # the next one above 65 A
        ({**EIGHT, "insulation": "TW"}, 30, 40),
        ({**EIGHT, "insulation": "THHN"}, 30, 50),  # 55 A in its own column, 50 A at the best terminals
        ({**EIGHT, "insulation": "THHN"}, 50, 50),  # 55 A times 0.82 is 45.1 A
        (EIGHT, 50, 50),  # by the best that its insulation may be
        ({**EIGHT, "insulation": "TW"}, 50, 25),  # 40 A times 0.58 is 23.2 A
        ({**EIGHT, "insulation": "TW"}, 56, 0),  # beyond what its column may be used at
        ({**EIGHT, "cable": "NM"}, 30, 40),
        ({**EIGHT, "cable": "NM"}, 60, 40),  # 55 A times 0.71 is 39.1 A
        ({**EIGHT, "cable": "cord"}, 30, None),
        ({**EIGHT, "insulation": "SF-2"}, 30, None),
        ({**EIGHT, "material": "aluminum"}, 30, 40),
        ({"size": "500 kcmil"}, 30, 400),
        ({"size": "2000 kcmil"}, 30, 700),
        ({"size": "10 mm2"}, 30, 50),  # judged as 8 AWG
        ({"size": "18 AWG"}, 30, None),  # the column of the terminals has no figure for it
    ],
)
def test_a_conductor_may_have_the_next_standard_device_above_what_it_carries(given, ambient, device):
    assert measured("protected_at", given, place=at(ambient)) == (None if device is None else whole(device, "A"))


@pytest.mark.parametrize(("code", "device"), [("nfpa70-2017", 15), ("nfpa70-2020", 15), ("nfpa70-2023", 10)])
def test_ten_amperes_are_a_standard_rating_of_breakers_from_2023_on(code, device):
    """What carries 6.15 A may have the next rating."""
    given = {"size": "14 AWG", "insulation": "TW"}
    assert measured("protected_at", given, place=at(55), code=code) == whole(device, "A")


@pytest.mark.parametrize(
    ("given", "device", "excess"),
    [
        (EIGHT, 50, 0),
        (EIGHT, 50.1, 1),
        (EIGHT, 40, -100),
        (EIGHT, None, None),
        ({"size": "6 AWG"}, 70, 0),
        ({"size": "6 AWG"}, 70.1, 1),
        ({**EIGHT, "cable": "cord"}, 60, None),
    ],
)
def test_the_protection_excess_turns_positive_a_tenth_above_what_the_ampacity_allows(given, device, excess):
    assert measured("protection_excess", given, device=device) == excess


@pytest.mark.parametrize(
    ("given", "amps", "excess"),
    [(EIGHT, 50, 0), (EIGHT, 50.1, 1), (EIGHT, 40, -100), (EIGHT, None, None), ({**EIGHT, "cable": "cord"}, 60, None)],
)
def test_a_load_is_measured_against_the_largest_device_that_the_ampacity_allows(given, amps, excess):
    assert measured("load_above_protection", given, amps=amps) == excess


@pytest.mark.parametrize(
    ("given", "device", "excess"),
    [
        (EIGHT, 40, 0),
        (EIGHT, 40.1, 1),
        (EIGHT, 50, 100),
        ({"size": "3 AWG"}, 100, 100),  # 85 A at 60 degC, so 90 A
        ({"size": "3 AWG"}, 100.1, 1),  # 100 A at 75 degC: unmarked terminals above 100 A are for 75 degC
        (EIGHT, None, None),
        ({**EIGHT, "cable": "cord"}, 60, None),
    ],
)
def test_between_terminals_without_a_mark_a_conductor_to_100_amperes_counts_by_its_coolest_column(
    given, device, excess
):
    assert measured("unmarked_excess", given, device=device) == excess


@pytest.mark.parametrize(
    ("given", "ambient", "device", "excess"),
    [
        ({"size": "6 AWG"}, 30, 65, 0),
        ({"size": "6 AWG"}, 30, 65.1, 1),
        ({"size": "6 AWG"}, 30, 70, 50),
        (EIGHT, 30, 50, 0),
        ({**EIGHT, "insulation": "TW"}, 60, 0.1, 1),
        ({"size": "6 AWG"}, 30, None, None),
        ({"size": "6 AWG", "cable": "cord"}, 30, 70, None),
    ],
)
def test_a_device_is_rounded_up_where_it_exceeds_the_ampacity_itself(given, ambient, device, excess):
    assert measured("rounded_up", given, device=device, place=at(ambient)) == excess


# --- control conductors ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "most"),
    [
        ({"size": "18 AWG"}, 25),
        ({"size": "16 AWG"}, 40),
        ({"size": "14 AWG"}, 100),
        ({}, 120),
        ({"size": "10 AWG"}, 160),
        ({"material": "aluminum"}, 100),
        ({"size": "10 AWG", "material": "copper-clad-aluminum"}, 140),
        ({"size": "13 AWG"}, 100),  # judged as 14 AWG
        (EIGHT, 240),
        ({**EIGHT, "material": "copper-clad-aluminum"}, 180),
        ({"size": "10 mm2"}, 240),  # judged as 8 AWG
    ],
)
def test_the_control_excess_turns_positive_a_tenth_above_the_table(given, most):
    assert measured("control_excess", given, device=most) == 0
    assert measured("control_excess", given, device=round(most + 0.1, 1)) == 1


@pytest.mark.parametrize(
    ("given", "device"),
    [({}, None), ({"size": "20 AWG"}, 100), ({"size": "14 AWG", "material": "aluminum"}, 100)],
)
def test_without_a_device_or_a_row_of_the_table_there_is_no_control_excess(given, device):
    assert measured("control_excess", given, device=device) is None


# --- feeders of whole dwellings, and motors ---------------------------------------------

FOUR, FEEDER, HOME = {"size": "4 AWG"}, {"kind": "feeder", "volts": 240}, {"place": {"dwelling": True}}


@pytest.mark.parametrize(
    ("given", "most"),
    [
        (FOUR, 100),
        ({"size": "2 AWG", "material": "aluminum"}, 100),
        ({"size": "2/0 AWG"}, 200),
        ({"size": "4/0 AWG", "material": "aluminum"}, 200),
        ({"size": "400 kcmil"}, 400),
        ({"size": "1000 kcmil"}, 600),
        ({"size": "6 AWG"}, 70),
    ],
)
def test_a_feeder_of_a_whole_dwelling_has_83_percent_of_its_rating(given, most):
    assert measured("protected_at", given, circuit=FEEDER, **HOME) == whole(most, "A")


@pytest.mark.parametrize(
    ("circuit", "place"),
    [(FEEDER, {}), ({**FEEDER, "volts": 277}, HOME), ({**FEEDER, "current": "dc"}, HOME), ({"volts": 240}, HOME)],
)
def test_no_other_circuit_has_less_ampacity_than_the_next_rating_asks(circuit, place):
    assert measured("protected_at", FOUR, circuit=circuit, **place) == whole(90, "A")
    assert measured("whole_dwelling_excess", FOUR, device=100, circuit=circuit, **place) is None


def test_what_the_device_of_a_whole_dwelling_exceeds_is_the_limit_of_any_other_feeder():
    assert measured("whole_dwelling_excess", FOUR, device=100, circuit=FEEDER, **HOME) == whole(10, "A")
    assert measured("whole_dwelling_excess", {"size": "3 AWG"}, device=100, circuit=FEEDER, **HOME) == 0
    assert measured("whole_dwelling_excess", {"size": "6 AWG"}, device=100, circuit=FEEDER, **HOME) is None


@pytest.mark.parametrize(("device", "excess"), [(590.2, -0), (590.3, 1), (2000, 14098)])
def test_no_device_of_a_motor_is_beyond_seventeen_times_what_72_percent_of_its_conductors_stand_for(device, excess):
    assert measured("motor_excess", device=device) == excess


@pytest.mark.parametrize("given", [{"size": "18 AWG"}, {"size": "22 AWG"}, {"cable": "cord"}])
def test_wire_that_the_tables_do_not_have_at_terminals_has_no_motor_s_limit(given):
    assert measured("motor_excess", given, device=2000) is None


# --- taps ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("conductors", "device", "tapped", "tap"),
    [
        ([{"size": "10 AWG"}, {"size": "14 AWG"}], 15, -150, 0),
        ([{"size": "10 AWG"}, {"size": "14 AWG"}], 15.1, -149, 1),
        ([{"size": "10 AWG"}, {"size": "14 AWG"}], 30, 0, 150),
        ([{"size": "10 AWG"}, {"size": "14 AWG"}], 30.1, 1, 151),
        ([EIGHT, {}], 50.1, 1, 301),
        ([{}, {}], 20.1, 1, 1),
        ([{"role": "control"}, {"size": "14 AWG", "role": "control"}], 20, 0, 50),
        ([{"size": "10 AWG"}, {"size": "14 AWG", "role": "grounded"}], 30, 0, 150),
        ([{"role": "grounded"}, {"role": "equipment-grounding"}], 30, 100, 100),
        ([{"role": "equipment-grounding"}, {"role": "equipment-grounding"}], 30, None, None),
        ([EIGHT, {}], None, None, None),
        ([{**EIGHT, "cable": "cord"}], 60, None, None),
        ([{**EIGHT, "cable": "cord"}, EIGHT], 60, 100, 100),
    ],
)
def test_a_tap_is_measured_by_its_largest_and_its_smallest_current_carrying_conductor(conductors, device, tapped, tap):
    assert joined("tapped_excess", *conductors, device=device) == tapped
    assert joined("tap_excess", *conductors, device=device) == tap


@pytest.mark.parametrize("counts", [(1, 1), (1, 2), (2, 1)])
def test_of_two_as_large_the_better_protected_may_be_tapped_and_the_worse_is_the_tap(counts):
    conductors = [
        {"count": count, "material": metal} for count, metal in zip(counts, ("copper", "aluminum"), strict=True)
    ]
    assert joined("tapped_excess", *conductors) == 0
    assert joined("tap_excess", *conductors) == 50


def test_in_the_heat_a_tapped_small_conductor_counts_by_what_it_carries():
    assert joined("tapped_excess", {"insulation": "TW"}, device=20, place=at(50)) == 50  # 11.6 A, so 15 A


# --- the load and the device -----------------------------------------------------------


def of_circuit(name, **circuit):
    return facts_of(question(circuit=circuit)).single.get(f"circuit.{name}")


@pytest.mark.parametrize(
    ("amps", "device", "excess"), [(20, 20, 0), (20.1, 20, 1), (0.1, 20, -199), (None, 20, None), (20, None, None)]
)
def test_the_load_excess_turns_positive_a_tenth_above_the_device(amps, device, excess):
    stated = {"amps": amps, "overcurrent_amps": device}
    assert of_circuit("load_excess", **{key: one for key, one in stated.items() if one is not None}) == excess


@pytest.mark.parametrize(
    ("amps", "device", "excess"),
    [
        (16, 20, 0),
        (16.1, 20, 2),  # 20.125 A, rounded up
        (15.9, 20, -1),  # 19.875 A
        (0.1, 0.1, 1),
        (8000, 10_000, 0),
        (8000.1, 10_000, 2),
        (None, 20, None),
        (20, None, None),
    ],
)
def test_a_quarter_more_than_the_load_is_measured_against_the_device(amps, device, excess):
    stated = {"amps": amps, "overcurrent_amps": device}
    assert of_circuit("continuous_excess", **{key: one for key, one in stated.items() if one is not None}) == excess


def test_the_continuous_excess_is_positive_exactly_where_four_fifths_of_the_device_are_exceeded():
    for tenths in range(1, 500):
        found = of_circuit("continuous_excess", amps=tenths / 10, overcurrent_amps=20)
        assert (found > 0) is (tenths > 160), tenths


# --- conductors in parallel, beside each other -----------------------------------------


@pytest.mark.parametrize(("parallel", "limit"), [(1, 200), (2, 400), (3, 600)])
def test_conductors_in_parallel_are_protected_together(parallel, limit):
    assert measured("protected_at", {"size": "3/0 AWG", "parallel": parallel}) == whole(limit, "A")


@pytest.mark.parametrize(("together", "limit"), [(None, 65), (3, 65), (4, 60), (9, 60), (10, 40), (31, 30), (200, 30)])
def test_what_lies_beside_a_conductor_lowers_its_device(together, limit):
    place = {} if together is None else {"current_carrying": together}
    given = {"size": "6 AWG", "insulation": "THHN"}
    expected = {65: 70}.get(limit, limit)  # the next rating above 65 A
    assert measured("protected_at", given, place=place) == whole(expected, "A")


# --- the device of a motor, the nameplate ----------------------------------------------


def of_motor(name, **circuit):
    return of_circuit(name, serves="motor", **circuit)


def test_a_motor_s_device_is_held_to_its_kind():
    stated = {"amps": 14, "overcurrent_amps": 50}
    assert of_motor("motor_device_excess", **stated, overcurrent_device="inverse-time-breaker") == whole(15, "A")
    assert of_motor("motor_device_beyond", **stated, overcurrent_device="inverse-time-breaker") == whole(-6, "A")
    assert of_motor("motor_device_beyond", **stated, overcurrent_device="time-delay-fuse") == whole(18.5, "A")


@pytest.mark.parametrize("lacking", ["amps", "overcurrent_amps", "overcurrent_device"])
def test_where_a_figure_is_not_stated_a_motor_s_device_has_no_excess(lacking):
    stated = {"amps": 14, "overcurrent_amps": 50, "overcurrent_device": "time-delay-fuse"}
    del stated[lacking]
    assert of_motor("motor_device_excess", **stated) is None
    assert of_motor("motor_device_beyond", **stated) is None


def test_device_and_load_are_held_to_the_nameplate():
    assert of_circuit("nameplate_excess", nameplate_amps=20, overcurrent_amps=30) == whole(10, "A")
    assert of_circuit("nameplate_load_excess", nameplate_amps=20, amps=16) == whole(-4, "A")
    assert of_circuit("nameplate_excess", nameplate_amps=20) is None
    assert of_circuit("nameplate_load_excess", amps=16) is None
    assert (of_circuit("nameplate_stated", nameplate_amps=20), of_circuit("nameplate_stated")) == (True, False)


# --- other codes, proofs ---------------------------------------------------------------


@pytest.mark.parametrize("code", ["nfpa70-2026", "iec60364"])
def test_a_code_that_the_tables_were_not_entered_for_gives_no_value(code):
    found = facts_of(replace(question({**TWELVE, "insulation": "THHN"}, EIGHT, circuit=STATED), code=code))
    assert all(not set(OF_CONDUCTOR) & set(conductor) for conductor in found.conductors)
    assert {"joint.tapped_excess", "joint.tap_excess"} & set(found.single) == set()


@pytest.mark.parametrize("name", [*OF_CONDUCTOR, *OF_JOINT])
def test_what_a_measure_of_protection_reads_are_given_facts(name):
    reads = fact_kinds()[name].reads
    assert reads
    assert all(not fact_kinds()[read].reads for read in reads)
