"""Metric sizes against the nominal areas of IEC 60228, and against the American sizes nearest to them."""

from __future__ import annotations

import pytest

from splicewright.units import gauge_steps, size
from tests.external.published import cited, published

METRIC = published("metric")
AREAS, NEAREST = METRIC["nominal_areas"], METRIC["nearest_gauge"]
GAUGES = [size(row["size"]) for row in published("gauge")["conductor_properties"]["rows"]]
ROWS = [pytest.param(row, id=cited(NEAREST["source"], row["size"])) for row in NEAREST["rows"]]


@pytest.mark.parametrize("mm2", AREAS["mm2"], ids=lambda mm2: cited(AREAS["source"], mm2))
def test_a_nominal_area_is_a_size_of_exactly_that_area(mm2):
    found = size(f"{mm2} mm2")
    assert found.area == round(mm2 * 1e6)
    assert found.text == f"{mm2:g} mm2"
    assert found.system == "metric"


@pytest.mark.parametrize("mm2", AREAS["below_mm2"], ids=lambda mm2: f"{mm2}: connector standards (page)")
def test_an_area_below_those_of_iec_60228_is_a_size_too(mm2):
    assert size(f"{mm2} mm2").area == round(mm2 * 1e6)


def test_nominal_areas_stand_in_their_order():
    found = [size(f"{mm2} mm2") for mm2 in AREAS["mm2"]]
    assert found == sorted(set(found))


@pytest.mark.parametrize("row", ROWS)
def test_the_nearest_size_of_the_american_conductor_table_is_the_published_one(row):
    metric = size(row["size"])
    assert min(GAUGES, key=lambda one: abs(one.area - metric.area)).text == row["nearest"]


@pytest.mark.parametrize("row", ROWS)
def test_a_metric_size_and_its_nearest_american_one_are_never_taken_for_each_other(row):
    metric, american = size(row["size"]), size(row["nearest"])
    assert american.area / 1e6 == pytest.approx(row["mm2"], rel=0.003)
    assert metric != american
    assert (metric > american) is (row["larger"] == "size")


@pytest.mark.parametrize("row", ROWS)
def test_a_metric_size_lies_within_a_gauge_step_of_its_nearest_american_one(row):
    small, large = sorted([size(row["size"]), size(row["nearest"])])
    assert gauge_steps(small, large) == 1
