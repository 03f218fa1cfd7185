"""Sizes against the American wire gauge (ASTM B258), the conductor table of NFPA 70, and a library."""

from __future__ import annotations

import math

import pytest
from fluids.piping import AWG_gauges, AWG_inch

from splicewright.units import gauge_diameter, gauge_steps, size
from tests.external.published import cited, published

GAUGE = published("gauge")
FORMULA, LIBRARY, TABLE = GAUGE["formula"], GAUGE["library"], GAUGE["conductor_properties"]
ROWS = [pytest.param(row, id=cited(FORMULA["source"], row["size"])) for row in FORMULA["rows"]]
PRINTED = [pytest.param(row, id=cited(TABLE["source"], row["size"])) for row in TABLE["rows"]]
IN_LIBRARY = LIBRARY["aughts"] | {f"{n} AWG": float(n) for n in range(1, 41)}
#: square micrometres in one circular mil
CIRCULAR_MIL = FORMULA["mm2_per_circular_mil"] * 1e6


@pytest.mark.parametrize("row", ROWS)
def test_the_diameter_follows_the_gauge_formula(row):
    assert gauge_diameter(row["number"]) == pytest.approx(row["diameter_in"], abs=5e-7)
    assert gauge_diameter(row["number"]) * 25.4 == pytest.approx(row["diameter_mm"], abs=6e-6)


@pytest.mark.parametrize("row", ROWS)
def test_the_area_follows_the_gauge_formula(row):
    assert size(row["size"]).area / 1e6 == pytest.approx(row["mm2"], abs=6e-6)


@pytest.mark.parametrize("row", ROWS)
def test_the_area_in_circular_mils_is_the_square_of_the_diameter_in_mils(row):
    assert size(row["size"]).area / CIRCULAR_MIL == pytest.approx(row["circular_mils"], abs=0.1, rel=1e-6)


@pytest.mark.parametrize("name", IN_LIBRARY, ids=lambda name: cited(LIBRARY["source"], name))
def test_the_diameter_agrees_with_an_independent_library(name):
    """The library prints four decimals, three figures where those are fewer."""
    printed = AWG_inch[AWG_gauges.index(IN_LIBRARY[name])]
    diameter = math.sqrt(size(name).area / 1e6 * 4 / math.pi) / 25.4
    assert diameter == pytest.approx(printed, abs=0.00006 if printed >= 0.01 else 0.000006)


def test_every_size_of_the_library_that_is_still_made_is_a_size_here():
    no_longer_made_or_finer_than_40 = {0.2, 0.167} | {float(n) for n in range(41, 51)}
    assert set(AWG_gauges) - no_longer_made_or_finer_than_40 == set(IN_LIBRARY.values())


@pytest.mark.parametrize("row", PRINTED)
def test_the_area_agrees_with_the_printed_circular_mils(row):
    """The table rounds to three or four figures, and 1/0 and some others up from their exact value."""
    assert size(row["size"]).area / CIRCULAR_MIL == pytest.approx(row["circular_mils"], rel=0.003)


@pytest.mark.parametrize("row", PRINTED)
def test_the_area_agrees_with_the_printed_square_millimeters(row):
    """The printed areas are from memory; they follow from the rounded circular mils."""
    assert size(row["size"]).area / 1e6 == pytest.approx(row["mm2"], rel=0.003)


@pytest.mark.parametrize("row", [row for row in TABLE["rows"] if "kcmil" in row["size"]], ids=lambda row: row["size"])
def test_a_size_in_kcmil_is_exactly_its_thousands_of_circular_mils(row):
    assert size(row["size"]).area / CIRCULAR_MIL == pytest.approx(row["circular_mils"], rel=1e-7)


def test_sizes_stand_in_the_order_of_the_conductor_table():
    areas = [size(row["size"]).area for row in TABLE["rows"]]
    assert areas == sorted(set(areas))


@pytest.mark.parametrize(("steps", "ratio"), [(1, "one_gauge_area_ratio"), (3, "three_gauges_area_ratio")])
def test_areas_grow_by_the_published_ratio_from_gauge_to_gauge(steps, ratio):
    """Source: worked from ASTM B258: three numbers down about double the area."""
    for number in range(20, 3, -1):
        small, large = size(f"{number} AWG"), size(f"{number - steps} AWG")
        assert large.area / small.area == pytest.approx(FORMULA[ratio], rel=1e-5)
        assert gauge_steps(small, large) == steps


def test_six_gauges_about_double_the_diameter():
    """Source: worked from ASTM B258."""
    assert gauge_diameter(6) / gauge_diameter(12) == pytest.approx(2, rel=0.01)
