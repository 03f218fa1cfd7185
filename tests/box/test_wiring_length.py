"""The free length of wires at the opening."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright import fill_box
from tests.box.requests import SQUARE, TWELVE, box

MARKED = {"volume": {"value": 21, "unit": "in3"}}
LARGE = {**MARKED, "opening": {"value": 8, "unit": "in"}}


def long(value: float, unit: str = "in") -> dict[str, Any]:
    return {"value": value, "unit": unit}


def pointers(wire: dict[str, Any], **parts: Any) -> list[str]:
    return [
        problem["pointer"]
        for problem in fill_box(box({**TWELVE, **wire}, **{"box": {"name": SQUARE}, **parts}))["problems"]
    ]


@pytest.mark.parametrize(
    ("length", "told"),
    [
        (long(6), []),
        (long(5.9), ["/wires/0/free"]),
        (long(150, "mm"), []),
        (long(149.9, "mm"), ["/wires/0/free"]),
    ],
)
def test_a_wire_that_ends_here_has_the_free_length_in_its_own_unit(length: dict[str, Any], told: list[str]) -> None:
    assert pointers({"free": length}) == told


@pytest.mark.parametrize(
    ("length", "told"),
    [
        (long(3), []),
        (long(2.9), ["/wires/0/outside"]),
        (long(75, "mm"), []),
        (long(74.9, "mm"), ["/wires/0/outside"]),
    ],
)
def test_a_wire_reaches_out_of_a_small_opening(length: dict[str, Any], told: list[str]) -> None:
    assert pointers({"outside": length}) == told


def test_a_wire_need_not_reach_out_of_a_large_opening() -> None:
    assert pointers({"outside": long(0)}, box=LARGE) == []


def test_a_loop_is_not_held_to_the_free_length() -> None:
    assert pointers({"path": "looped", "free": long(1)}) == []


@pytest.mark.parametrize(
    ("given", "outside"), [({"name": SQUARE}, True), (MARKED, True), (LARGE, False)], ids=["small", "unknown", "large"]
)
def test_what_is_asked_goes_by_the_opening(given: dict[str, Any], *, outside: bool) -> None:
    asked = fill_box(box(box=given))["free_length"]
    assert asked["free"] == {"in": 6, "mm": 150}
    assert ("outside" in asked) is outside
    assert ("3 in" in asked["says"]) is outside
    assert asked["source"]["section"] == "300.14"


def test_where_no_wire_ends_no_free_length_is_asked() -> None:
    assert "free_length" not in fill_box(box({**TWELVE, "path": "through"}))
