"""Cover depths of real questions against every cell of the published table (NFPA 70, Table 300.5(A))."""

from __future__ import annotations

import itertools

import pytest

from splicewright.question.facts import facts_of
from splicewright.question.measures import buried_run
from splicewright.question.read import read_question
from splicewright.tables.conductors import required_cover
from tests.external.published import cited, published

DATA = published("burial_cover")
WIRING = {"c1": ("direct",), "c2": ("rigid-conduit",), "c3": ("pvc-raceway", "emt")}
DWELLING = {"kind": "branch", "gfci": True, "volts": 120, "overcurrent_amps": 20}
LOW_VOLTAGE = {"kind": "low-voltage-landscape", "volts": 30}
LIGHTER = {"c4": DWELLING, "c5": LOW_VOLTAGE}
UNITS = ("in", "mm")
CELLS = [
    pytest.param(row, unit, column, id=cited(DATA["source"], row, column, unit))
    for row, unit, column in itertools.product(DATA["rows"], UNITS, ["c1", "c2", "c3", "c4", "c5"])
]
SHARED = [
    pytest.param(row, unit, column, raceway, wiring, id=cited(DATA["shallowest"]["source"], row, wiring, column, unit))
    for row, unit, column, raceway in itertools.product(DATA["rows"], UNITS, LIGHTER, ["c2", "c3"])
    for wiring in WIRING[raceway]
]


def question(row, wiring, circuit, depth=None):
    place = {"exposure": "buried", "cover": row, "wiring": wiring, "dwelling": circuit is DWELLING}
    if depth:
        place["depth"] = depth
    conductors = [{"size": "12 AWG", "count": 2, "cable": "UF"}]
    return read_question({"joint": {"conductors": conductors}, "place": place, "circuit": circuit}).question


def cell(row, unit, column, way="direct"):
    figure = DATA["rows"][row][unit][column]
    return figure[way] if isinstance(figure, dict) else figure


def in_column(row, column, depth=None):
    """Give a question for each wiring method of a column."""
    if column in WIRING:
        return [question(row, wiring, {"kind": "feeder", "volts": 240}, depth) for wiring in WIRING[column]]
    return [question(row, "direct", LIGHTER[column], depth)]


def shortfalls(row, column, depth):
    return [facts_of(one).single["place.cover_shortfall"] for one in in_column(row, column, depth)]


def test_the_published_table_has_all_its_cells():
    assert len(CELLS) == 7 * 5 * 2


def test_tubing_stands_in_the_column_that_names_it():
    """Source: NFPA 70 2023, Table 300.5(A) (page), whose third column names electrical metallic tubing."""
    assert DATA["tubing"]["column"] == next(column for column, wiring in WIRING.items() if "emt" in wiring)


@pytest.mark.parametrize(("row", "unit", "column"), CELLS)
def test_the_cover_asked_for_is_the_published_figure(row, unit, column):
    assert {required_cover(buried_run(one), unit) for one in in_column(row, column)} == {cell(row, unit, column)}


@pytest.mark.parametrize(("row", "unit", "column"), CELLS)
def test_the_published_figure_is_enough_and_a_tenth_less_is_not(row, unit, column):
    figure = cell(row, unit, column)
    assert set(shortfalls(row, column, {"value": figure, "unit": unit})) == {0}
    if figure:
        assert all(short > 0 for short in shortfalls(row, column, {"value": round(figure - 0.1, 1), "unit": unit}))


@pytest.mark.parametrize(("row", "unit", "column", "raceway", "wiring"), SHARED)
def test_the_shallowest_depth_applies_where_a_raceway_carries_a_lighter_circuit(row, unit, column, raceway, wiring):
    """This gives 4 in under a slab for a raceway of column 4 or 5, where a cable asks for 6."""
    served = question(row, wiring, LIGHTER[column])
    shallowest = min(cell(row, unit, raceway), cell(row, unit, column, "raceway"))
    assert required_cover(buried_run(served), unit) == shallowest


def test_a_service_lateral_in_nonmetallic_conduit_asks_for_the_cover_of_the_worked_example():
    """Source: EC&M magazine, code question 3 (page)."""
    lateral = read_question(
        {
            "joint": {"conductors": [{"size": "2/0 AWG", "count": 3, "material": "aluminum"}]},
            "place": {"exposure": "buried", "wiring": "pvc-raceway", "dwelling": True},
            "circuit": {"kind": "service", "volts": 240},
        }
    ).question
    assert required_cover(buried_run(lateral)) == DATA["worked_example"]["cover_in"]
