"""How a figure is found in the ampacity tables; tests/external checks the figures against the published ones."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from splicewright.question import vocabulary as v
from splicewright.question.vocabulary import CODES
from splicewright.tables.conductors import (
    COLUMNS,
    ampacity,
    column_for,
    correction,
    device_limit,
    fixture_ampacity,
    gauge_of,
    least_column,
    least_grounding,
    most_amperes,
    most_correction,
)
from splicewright.tables.loader import table
from splicewright.units import size

AMPERES = table("ampacity").rows["amperes"]
SIZES = [(metal, name) for metal, rows in AMPERES.items() for name in rows]
EDITIONS = [code for code in CODES if code.startswith("nfpa70-")]


@pytest.mark.parametrize(
    ("degrees", "column"),
    [(59, None), (60, 60), (74, 60), (75, 75), (89, 75), (90, 90), (105, 90), (200, 90)],
)
def test_the_hottest_column_that_the_insulation_reaches_is_used(degrees, column):
    assert column_for(degrees) == column


@pytest.mark.parametrize(
    ("name", "material", "column", "amperes"),
    [
        ("12 AWG", "copper", 75, 25),
        ("12 AWG", "aluminum", 75, 20),
        ("12 AWG", "copper-clad-aluminum", 75, 20),
        ("18 AWG", "copper", 90, 14),
        ("18 AWG", "copper", 75, None),
        ("14 AWG", "aluminum", 90, None),
        ("14 AWG", "copper-clad-aluminum", 90, None),
        ("13 AWG", "copper", 60, None),
        ("2.5 mm2", "copper", 90, None),
        ("2000 kcmil", "copper", 90, 750),
        ("2250 kcmil", "copper", 90, None),
    ],
)
def test_a_size_has_the_amperes_of_its_metal_and_column_and_none_where_nothing_is_entered(
    name, material, column, amperes
):
    assert ampacity(name, material, column) == amperes


@pytest.mark.parametrize(("metal", "name"), SIZES)
def test_a_hotter_column_carries_more(metal, name):
    row = AMPERES[metal][name]
    assert list(row.values()) == sorted(set(row.values()))
    assert set(row) <= {str(column) for column in COLUMNS}


@pytest.mark.parametrize("metal", AMPERES)
@pytest.mark.parametrize("column", COLUMNS)
def test_a_larger_conductor_carries_more(metal, column):
    rows = sorted(AMPERES[metal], key=size)
    amperes = [found for name in rows if (found := AMPERES[metal][name].get(str(column)))]
    assert all(small < large for small, large in pairwise(amperes))


def test_every_metal_of_a_question_has_its_figures():
    assert set(table("ampacity").rows["metals"]) == set(v.MATERIAL)
    assert set(table("grounding-conductors").rows["metals"]) == set(v.MATERIAL)


@pytest.mark.parametrize("name", sorted({name for _, name in SIZES}))
def test_every_size_of_the_table_is_a_size(name):
    assert size(name).text == name


# --- ambient ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ambient", "column", "factor"),
    [
        (-60, 60, "1.29"),
        (10, 60, "1.29"),
        (Fraction(101, 10), 60, "1.22"),
        (30, 75, "1"),
        (Fraction(301, 10), 75, "0.94"),
        (55, 60, "0.41"),
        (85, 90, "0.29"),
    ],
)
def test_the_factor_is_that_of_the_first_row_that_reaches_the_ambient(ambient, column, factor):
    assert correction(Fraction(ambient), column) == Fraction(factor)


@pytest.mark.parametrize(("ambient", "column"), [(56, 60), (71, 75), (85, 60), (86, 60), (86, 90), (200, 90)])
def test_a_column_may_not_be_used_beyond_its_reach(ambient, column):
    assert correction(Fraction(ambient), column) is None


# --- fixture wire, load, devices, grounding --------------------------------------------


@pytest.mark.parametrize(("name", "amperes"), [("18 AWG", 6), ("10 AWG", 28), ("8 AWG", None), ("1 mm2", None)])
def test_fixture_wire_has_amperes_of_its_own(name, amperes):
    assert fixture_ampacity(name) == amperes


@pytest.mark.parametrize(
    ("name", "material", "amps", "column"),
    [
        ("12 AWG", "copper", 0.1, 60),
        ("12 AWG", "copper", 20, 60),
        ("12 AWG", "copper", 20.1, 75),
        ("12 AWG", "copper", 25.1, 90),
        ("12 AWG", "copper", 30, 90),
        ("12 AWG", "copper", 30.1, None),
        ("12 AWG", "aluminum", 20, 75),
        ("18 AWG", "copper", 1, None),
        ("2.5 mm2", "copper", 1, None),
    ],
)
def test_the_coolest_column_that_carries_the_load_is_given(name, material, amps, column):
    assert least_column(name, material, amps) == column


@pytest.mark.parametrize("code", EDITIONS)
@pytest.mark.parametrize(
    ("name", "material", "amps"),
    [
        ("18 AWG", "copper", 7),
        ("12 AWG", "copper", 20),
        ("12 AWG", "aluminum", 15),
        ("12 AWG", "copper-clad-aluminum", 15),
        ("14 AWG", "aluminum", None),
        ("8 AWG", "copper", None),
        ("4 mm2", "copper", 20),
        ("9 AWG", "copper", 30),
        ("9 AWG", "aluminum", 25),
        ("19 AWG", "copper", None),
    ],
)
def test_a_small_conductor_has_a_largest_device(code, name, material, amps):
    assert device_limit(size(name), material, code) == amps


@pytest.mark.parametrize("name", ["14 AWG", "13 AWG", "2.5 mm2"])
def test_14_awg_copper_clad_and_what_is_judged_as_it_has_a_largest_device_from_2023_on(name):
    limits = {code: device_limit(size(name), "copper-clad-aluminum", code) for code in EDITIONS}
    assert limits == {"nfpa70-2017": None, "nfpa70-2020": None, "nfpa70-2023": 10}


@pytest.mark.parametrize(
    ("name", "material", "gauge"),
    [
        ("12 AWG", "copper", "12 AWG"),
        ("13 AWG", "copper", "14 AWG"),
        ("4 mm2", "copper", "12 AWG"),
        ("2.5 mm2", "copper", "14 AWG"),
        ("95 mm2", "copper", "3/0 AWG"),
        ("240 mm2", "aluminum", "400 kcmil"),
        ("1250 kcmil", "copper", "1250 kcmil"),
        ("1249 kcmil", "copper", "1000 kcmil"),
        ("2500 kcmil", "copper", "2000 kcmil"),
        ("19 AWG", "copper", None),
        ("14 AWG", "aluminum", None),
        ("13 AWG", "copper-clad-aluminum", None),
    ],
)
def test_a_size_that_the_tables_do_not_have_is_judged_by_the_next_smaller_one(name, material, gauge):
    assert gauge_of(size(name), material) == gauge


@pytest.mark.parametrize(
    ("name", "material", "amperes"),
    [
        ("12 AWG", "copper", 30),
        ("13 AWG", "copper", 25),
        ("18 AWG", "copper", 14),
        ("30 AWG", "copper", 14),
        ("14 AWG", "aluminum", 25),
        ("14 AWG", "copper-clad-aluminum", 25),
        ("2500 kcmil", "copper", 750),
    ],
)
def test_the_most_that_a_conductor_carries_is_that_of_its_hottest_column_or_of_the_least_size(name, material, amperes):
    assert most_amperes(size(name), material) == amperes


def test_the_largest_factor_is_that_of_the_coolest_place_and_column():
    assert most_correction() == Fraction("1.29") == correction(Fraction(-60), 60)


@pytest.mark.parametrize(
    ("device", "material", "least"),
    [
        (0.1, "copper", "14 AWG"),
        (15, "copper", "14 AWG"),
        (15.1, "copper", "12 AWG"),
        (15.1, "aluminum", "10 AWG"),
        (15.1, "copper-clad-aluminum", "10 AWG"),
        (400, "copper", "3 AWG"),
        (400.1, "copper", "2 AWG"),
        (6000, "copper", "800 kcmil"),
        (6000, "aluminum", "1250 kcmil"),
        (6000.1, "copper", None),
        (6000.1, "aluminum", None),
    ],
)
def test_the_least_grounding_conductor_is_that_of_the_first_row_that_reaches_the_device(device, material, least):
    assert least_grounding(device, material) == least


def test_a_larger_device_never_asks_a_smaller_grounding_conductor():
    for metal in ("copper", "aluminum"):
        sizes = [size(row[metal]) for row in table("grounding-conductors").rows["least"]]
        assert sizes == sorted(sizes)
    assert all(size(row["aluminum"]) > size(row["copper"]) for row in table("grounding-conductors").rows["least"])
