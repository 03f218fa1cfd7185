"""Volumes of boxes and conductors, and the counts that follow from them, against NFPA 70, 314.16."""

from __future__ import annotations

from fractions import Fraction

import pytest

from splicewright.tables.loader import table
from tests.external.published import cited, published

DATA = published("boxes")
PRINTED, ALLOWANCES = DATA["boxes"], DATA["per_conductor"]
WRONG, WORKED = DATA["wrong_on_public_pages"], DATA["worked_examples"]
COUNTS = [
    pytest.param(name, size, most, id=cited(PRINTED["source"], name, size))
    for name, row in PRINTED["rows"].items()
    for size, most in zip(PRINTED["sizes"], row["most"], strict=True)
]


def exact(figure):
    return Fraction(str(figure))


def volume(box):
    return exact(table("boxes").rows["boxes"][box])


def allowance(size):
    return exact(table("boxes").rows["per_conductor"][size])


def most(box, size):
    return volume(box) // allowance(size)


def test_the_published_table_has_24_boxes_and_7_sizes():
    assert len(COUNTS) == 24 * 7


def test_the_table_has_the_published_boxes_and_sizes_and_no_other():
    """Source: NFPA 70 2023, Tables 314.16(A) and 314.16(B)(1) (page)."""
    assert set(table("boxes").rows["boxes"]) == set(PRINTED["rows"])
    assert set(table("boxes").rows["per_conductor"]) == set(ALLOWANCES["in3"]) == set(PRINTED["sizes"])


@pytest.mark.parametrize("name", PRINTED["rows"], ids=lambda name: cited(PRINTED["source"], name))
def test_a_box_has_its_published_volume(name):
    assert volume(name) == exact(PRINTED["rows"][name]["in3"])


@pytest.mark.parametrize("size", ALLOWANCES["in3"], ids=lambda size: cited(ALLOWANCES["source"], size))
def test_a_conductor_asks_for_its_published_volume(size):
    assert allowance(size) == exact(ALLOWANCES["in3"][size])


@pytest.mark.parametrize(("name", "size", "count"), COUNTS)
def test_the_published_count_is_what_the_volumes_hold(name, size, count):
    assert most(name, size) == count


@pytest.mark.parametrize("one", WRONG["boxes"], ids=lambda one: cited(WRONG["source"], one["name"]))
def test_a_wrong_volume_of_a_public_page_is_not_reproduced(one):
    assert volume(one["name"]) == exact(one["right"]) != exact(one["wrong"])


@pytest.mark.parametrize("one", WRONG["per_conductor"], ids=lambda one: cited(WRONG["source"], one["name"]))
def test_a_wrong_allowance_of_a_public_page_is_not_reproduced(one):
    assert allowance(one["name"]) == exact(one["right"]) != exact(one["wrong"])


@pytest.mark.parametrize("one", WORKED["most"], ids=lambda one: cited(one["source"], one["given"]["box"]))
def test_a_worked_example_gives_the_most_conductors(one):
    assert most(one["given"]["box"], one["given"]["size"]) == one["most"]


@pytest.mark.parametrize("one", WORKED["volume"], ids=lambda one: cited(one["source"], one["given"]["size"]))
def test_a_worked_example_gives_the_volume(one):
    needed = one["given"]["count"] * allowance(one["given"]["size"])
    assert needed == exact(one["in3"])
    if "left_in3" in one:
        assert volume(one["given"]["box"]) - needed == exact(one["left_in3"])


@pytest.mark.parametrize("one", WORKED["smallest"], ids=lambda one: cited(one["source"], one["given"]["size"]))
def test_a_worked_example_gives_the_smallest_box(one):
    needed = one["given"]["count"] * allowance(one["given"]["size"])
    assert needed == exact(one["in3"])
    holding = [box for box in one["given"]["choices"] if volume(box) >= needed]
    assert min(holding, key=volume) == one["box"]
