"""The metal of conductors as listings count it."""

from __future__ import annotations

import pytest

from splicewright.tables.loader import table
from splicewright.tables.metal import metal_of
from splicewright.units import MM2_PER_KCMIL, size


@pytest.mark.parametrize(
    ("of", "cmil", "mm2"), [("18 AWG", 1620, 0.823), ("14 AWG", 4110, 2.08), ("4/0 AWG", 211_600, 107.2)]
)
def test_a_gauge_of_the_table_has_its_printed_figures(of, cmil, mm2):
    assert metal_of(size(of), "cmil") == cmil
    assert float(metal_of(size(of), "mm2")) == mm2


@pytest.mark.parametrize("of", table("conductor-metal").rows["gauges"])
def test_printed_figures_are_those_of_the_gauge_but_for_rounding(of):
    area = size(of).area / 10**6
    assert float(metal_of(size(of), "mm2")) == pytest.approx(area, rel=0.003)
    assert float(metal_of(size(of), "cmil") * MM2_PER_KCMIL / 1000) == pytest.approx(area, rel=0.003)


def test_thicker_conductors_have_more_metal():
    gauges = [*range(40, 0, -1)]
    sizes = [size(f"{gauge} AWG") for gauge in gauges] + [size(f"{aught}/0 AWG") for aught in range(1, 5)]
    for unit in ("cmil", "mm2"):
        metal = [metal_of(one, unit) for one in (*sizes, size("250 kcmil"))]
        assert metal == sorted(set(metal))
