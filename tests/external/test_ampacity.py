"""What conductors of real questions carry, against NFPA 70, Table 310.16, its corrections and worked examples."""

from __future__ import annotations

import itertools
import math

import pytest

from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.tables.loader import table
from tests.external.published import cited, published

DATA = published("ampacity")
AMPERES, OLDER, AMBIENT = DATA["amperes"], DATA["of_older_editions"], DATA["ambient"]["rows"]
COLUMNS = {"60": "TW", "75": "THW", "90": "THHN"}  # insulation types that select a column
METALS = {"copper": "copper", "aluminum": "aluminum", "copper-clad-aluminum": "aluminum"}
EDITIONS = [code for code in CODES if code.startswith("nfpa70-")]
CELLS = [
    pytest.param(size, metal, column, id=cited(AMPERES["source"], size, metal, column))
    for size, metal, column in itertools.product(AMPERES["rows"], METALS, COLUMNS)
]
STALE = [
    pytest.param(size, metal, column, figure, id=cited(OLDER["source"], size, metal, column))
    for size, by_metal in OLDER["rows"].items()
    for metal, by_column in by_metal.items()
    for column, figure in by_column.items()
]
FACTORS = [
    pytest.param(at, column, id=cited(DATA["ambient"]["source"], f"to {AMBIENT[at]['to_c']} degC", column))
    for at, column in itertools.product(range(len(AMBIENT)), COLUMNS)
]
#: conductors whose figure is 100 A, so that what they carry is the factor in percent
HUNDRED = {"60": ("1/0 AWG", "aluminum"), "75": ("3 AWG", "copper"), "90": ("2 AWG", "aluminum")}


def carried(size, insulation, material="copper", ambient=None, code="nfpa70-2023", **conductor):
    """Give the amperes that a conductor of a real question carries; None without a value."""
    place = {} if ambient is None else {"ambient": {"value": ambient[0], "unit": ambient[1]}}
    one = {"size": size, "material": material, "count": 2, **conductor}
    if insulation:
        one["insulation"] = insulation
    (facts,) = facts_of(
        read_question({"code": code, "joint": {"conductors": [one]}, "place": place}).question
    ).conductors
    found = facts.get("conductor.ampacity")
    return None if found is None else found / 10


def temperature(text):
    value, unit = text.split(" ")
    return float(value), unit


def factor(column, ambient):
    size, metal = HUNDRED[column]
    return carried(size, COLUMNS[column], metal, ambient) / 100


def percent(conductors):
    rows = table("ampacity").rows["adjustment"]
    return next(row["percent"] for row in rows if conductors <= row.get("to", conductors))


def test_the_published_table_has_all_its_cells():
    assert len(AMPERES["rows"]) == 30
    assert len(CELLS) == 30 * 3 * 3


@pytest.mark.parametrize(("size", "metal", "column"), CELLS)
def test_a_conductor_carries_the_published_amperes(size, metal, column):
    figure = AMPERES["rows"][size][METALS[metal]].get(column)
    for code in EDITIONS:
        assert carried(size, COLUMNS[column], metal, code=code) == figure


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_no_size_is_entered_that_the_published_table_lacks(metal):
    """Source: NFPA 70 2023, Table 310.16 (page)."""
    published_sizes = {size for size, row in AMPERES["rows"].items() if row[metal]}
    assert set(table("ampacity").rows["amperes"][metal]) == published_sizes


@pytest.mark.parametrize(("size", "metal", "column", "stale"), STALE)
def test_a_figure_of_an_older_edition_is_not_reproduced(size, metal, column, stale):
    assert carried(size, COLUMNS[column], metal) != stale


# --- ambient ---------------------------------------------------------------------------


@pytest.mark.parametrize(("at", "column"), FACTORS)
def test_the_factor_holds_to_the_upper_end_of_its_row_in_both_scales(at, column):
    row = AMBIENT[at]
    for ambient in ((row["to_c"], "degC"), (row["to_f"], "degF")):
        assert factor(column, ambient) == row.get(column, 0)


@pytest.mark.parametrize(("at", "column"), FACTORS)
def test_one_degree_above_a_row_the_next_row_holds_in_both_scales(at, column):
    row, after = AMBIENT[at], AMBIENT[at + 1] if at + 1 < len(AMBIENT) else {}
    for ambient in ((row["to_c"] + 1, "degC"), (row["to_f"] + 1, "degF"), (row["to_c"] + 0.1, "degC")):
        assert factor(column, ambient) == after.get(column, 0)


@pytest.mark.parametrize("row", AMBIENT, ids=lambda row: cited(DATA["equation"]["source"], f"{row['to_c']} degC"))
def test_the_factor_is_the_published_equation_at_the_upper_end_of_its_row(row):
    base = DATA["equation"]["base_c"]
    for column in COLUMNS:
        left = int(column) - row["to_c"]
        exact = math.sqrt(left / (int(column) - base)) if left > 0 else 0
        assert factor(column, (row["to_c"], "degC")) == round(exact, 2)


# --- adjustment, cable, fixture wire ---------------------------------------------------


@pytest.mark.parametrize(
    "row", DATA["adjustment"]["rows"], ids=lambda row: cited(DATA["adjustment"]["source"], row["from"])
)
def test_the_table_has_the_published_percent_for_many_conductors(row):
    assert percent(row["from"]) == row["percent"]
    assert percent(row.get("to", 1000)) == row["percent"]


def test_however_many_there_are_a_conductor_carries_its_figure_for_three_together():
    """Source: NFPA 70 2023, Table 310.15(C)(1) (page); the answer says that more were not judged."""
    assert percent(3) == 100
    assert carried("12 AWG", "THHN", count=24) == 30


@pytest.mark.parametrize("size", AMPERES["rows"], ids=lambda size: cited(DATA["nonmetallic_cable"]["source"], size))
def test_nonmetallic_cable_is_held_to_its_column_and_corrected_from_its_own(size):
    row, cable = AMPERES["rows"][size]["copper"], DATA["nonmetallic_cable"]
    start, held = row[str(cable["starts_from"])], row.get(str(cable["held_to"]))
    assert carried(size, None, cable="NM") == min(start, held or start)
    corrected = int(start * 29) / 100
    assert carried(size, None, cable="NM", ambient=(85, "degC")) == math.floor(min(corrected, held or start) * 10) / 10


@pytest.mark.parametrize("size", AMPERES["rows"], ids=lambda size: cited(DATA["fixture_wire"]["source"], size))
def test_fixture_wire_carries_its_own_published_amperes(size):
    assert carried(size, "TFFN") == DATA["fixture_wire"]["amperes"].get(size)


# --- worked examples -------------------------------------------------------------------


@pytest.mark.parametrize("one", DATA["worked_examples"], ids=lambda one: cited(one["source"], one["given"]["size"]))
def test_a_worked_example_comes_to_its_published_amperes(one):
    given, ambient = one["given"], temperature(one["given"]["ambient"])
    assert carried(given["size"], given["insulation"]) == one["base"]
    together = given.get("current_carrying", 3)
    expected = one["base"] if one["checked"] == "percent" else one["amperes"]
    assert carried(given["size"], given["insulation"], ambient=ambient) == expected
    assert percent(together) == (round(one["factor"] * 100) if one["checked"] == "percent" else 100)
    assert expected * percent(together) == pytest.approx(one["amperes"] * 100)
    assert one["base"] * one["factor"] == pytest.approx(one["amperes"])


@pytest.mark.parametrize("one", DATA["pages_with_errors"], ids=lambda one: cited(one["source"], one["given"]["size"]))
def test_a_published_error_is_not_reproduced(one):
    given, right, printed = one["given"], one["right"], one["printed"]
    corrected = carried(given["size"], given["insulation"], ambient=temperature(given["ambient"]))
    adjusted = corrected * percent(given["current_carrying"]) / 100
    assert corrected / carried(given["size"], given["insulation"]) == pytest.approx(right["factor"])
    assert adjusted == pytest.approx(right["amperes"])
    assert adjusted != pytest.approx(printed["amperes"])
