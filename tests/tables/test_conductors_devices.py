"""Standard ratings and terminals: how they are found; tests/external checks them against the published ones."""

from __future__ import annotations

from fractions import Fraction

import pytest

from splicewright.question import vocabulary as v
from splicewright.tables.conductors import (
    largest_control_device,
    largest_device,
    largest_machine_device,
    standard_ratings,
    terminal_column,
    whole_dwelling,
)
from splicewright.tables.loader import table
from splicewright.units import size

CODES = [code for code in v.CODES if code.startswith("nfpa70-")]


@pytest.mark.parametrize("code", CODES)
def test_ratings_stand_in_order_and_once_each(code):
    ratings = standard_ratings(code)
    assert list(ratings) == sorted(set(ratings))


def test_the_editions_differ_in_the_least_rating_only():
    assert standard_ratings("nfpa70-2017") == standard_ratings("nfpa70-2020") == standard_ratings("nfpa70-2023")[1:]
    assert standard_ratings("nfpa70-2023")[0] == 10


@pytest.mark.parametrize("row", table("standard-devices").rows["ratings"], ids=str)
def test_every_row_ends_on_a_step(row):
    assert (row["to"] - row["from"]) % row["step"] == 0


@pytest.mark.parametrize(
    ("amperes", "device"),
    [
        ("0.1", 10),
        ("10", 10),
        ("10.1", 15),
        ("15", 15),
        ("15.1", 20),
        ("51", 60),
        ("110", 110),
        ("111", 125),
        ("700.1", 800),
        ("800", 800),
        ("800.1", "800.1"),
        ("1000", 1000),
        ("7000", 7000),
        ("0", 0),
        ("-1", 0),
    ],
)
def test_the_largest_device_is_the_next_rating_to_800_amperes_and_the_ampacity_itself_above(amperes, device):
    assert largest_device(Fraction(amperes), "nfpa70-2023") == Fraction(device)


def test_before_2023_the_least_rating_is_15():
    assert largest_device(Fraction(1), "nfpa70-2020") == 15


@pytest.mark.parametrize(
    ("amperes", "rating"),
    [("82.9", 0), ("83", 100), ("91.2", 100), ("91.3", 110), ("165.9", 175), ("166", 200), ("332", 400), ("900", 400)],
)
def test_a_feeder_of_a_whole_dwelling_has_the_largest_rating_of_which_it_carries_83_percent(amperes, rating):
    assert whole_dwelling(Fraction(amperes), "nfpa70-2023", 240, kind="feeder", current="ac") == rating


@pytest.mark.parametrize(
    ("volts", "words"),
    [
        (240.1, {"kind": "feeder", "current": "ac"}),
        (None, {"kind": "feeder", "current": "ac"}),
        (240, {"kind": "branch", "current": "ac"}),
        (240, {"kind": "feeder", "current": "dc"}),
    ],
)
def test_any_other_circuit_has_no_such_rating(volts, words):
    assert whole_dwelling(Fraction(200), "nfpa70-2023", volts, **words) == 0


def test_the_most_for_any_motor_is_seventeen_times_a_load_that_is_the_most_for_its_conductors():
    assert largest_machine_device(Fraction(72), "motors") == 1700
    assert largest_machine_device(Fraction(100), "compressors") == 180


@pytest.mark.parametrize(("device", "column"), [(None, 75), (0.1, 60), (100, 60), (100.1, 75), (10_000, 75)])
def test_terminals_without_a_mark_are_for_60_degrees_to_100_amperes(device, column):
    assert terminal_column(device) == column


@pytest.mark.parametrize(
    ("name", "material", "most"),
    [
        ("18 AWG", "copper", 25),
        ("17 AWG", "copper", 25),
        ("10 AWG", "copper", 160),
        ("12 AWG", "aluminum", 100),
        ("12 AWG", "copper-clad-aluminum", 100),
        ("18 AWG", "aluminum", None),
        ("19 AWG", "copper", None),
    ],
)
def test_a_control_conductor_has_a_largest_device(name, material, most):
    assert largest_control_device(size(name), material) == most


@pytest.mark.parametrize("material", v.MATERIAL)
def test_a_larger_control_conductor_never_has_a_smaller_device(material):
    names = [*(f"{number} AWG" for number in range(18, 0, -1)), "1/0 AWG", "4/0 AWG", "250 kcmil", "2000 kcmil"]
    found = [largest_control_device(size(name), material) for name in names]
    known = [one for one in found if one is not None]
    assert known == sorted(known)
    assert len(known) > 10
