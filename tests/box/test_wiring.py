"""Where wires, joints and devices can't all be true; and where they can, nothing is said."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright import fill_box
from tests.box.requests import SIX, TWELVE, box, joint


def pointers(*wires: dict[str, Any], **parts: Any) -> list[str]:
    return [problem["pointer"] for problem in fill_box(box(*wires, **parts))["problems"]]


def of(count: int, **more: Any) -> dict[str, Any]:
    return joint({**TWELVE, "count": count, **more})


THROUGH = joint({**TWELVE, "path": "through"}, TWELVE)


@pytest.mark.parametrize(
    ("wires", "joints", "told"),
    [
        ([SIX], [of(3), of(3)], False),
        ([SIX], [of(3), of(4)], True),
        # A jumper has an end in each of two joints; a pigtail in one, with the other on a device.
        ([SIX, {**TWELVE, "path": "stays"}], [of(4), of(4)], False),
        ([SIX, {**TWELVE, "path": "stays"}], [of(4), of(5)], True),
        # What passes through is not joined by its ends.
        ([{**SIX, "path": "through"}], [of(2)], True),
        ([{**SIX, "path": "looped"}], [of(2)], True),
        # Another size does not stand in for it.
        ([SIX, {"size": "14 AWG", "count": 6}], [of(7)], True),
        # A joint that could not be read says nothing of the wires.
        ([SIX], [{"joint": {"conductors": [{"size": 12, "count": 9}]}}], False),
    ],
)
def test_joints_that_take_more_ends_than_the_wires_have_are_a_problem(
    wires: list[dict[str, Any]], joints: list[Any], *, told: bool
) -> None:
    assert pointers(*wires, joints=joints) == (["/wires"] if told else [])


@pytest.mark.parametrize(("path", "told"), [("through", []), ("looped", []), ("stays", ["/joints/0/joint"])])
def test_a_tap_asks_for_a_wire_that_passes_through(path: str, told: list[str]) -> None:
    assert pointers(SIX, {**TWELVE, "path": path}, joints=[THROUGH]) == told


def test_the_sizes_that_are_short_are_told_one_by_one_with_both_numbers() -> None:
    given = box({"size": "14 AWG"}, joints=[joint({"size": "10 AWG", "count": 2}, {"size": "12 AWG"})])
    says = [problem["says"] for problem in fill_box(given)["problems"]]
    assert ["2 ends of 10 AWG" in says[0], "1 ends of 12 AWG" in says[1]] == [True, True]


@pytest.mark.parametrize("key", ["devices", "terminal_blocks"])
def test_a_device_or_block_with_a_conductor_of_no_wire_is_a_problem(key: str) -> None:
    assert pointers(SIX, **{key: [{"largest": "12 AWG"}, {"largest": "10 AWG"}]}) == [f"/{key}/1/largest"]


def test_devices_that_need_more_gangs_than_the_box_has_are_a_problem() -> None:
    parts = {"box": {"name": "FS multiple cover", "gangs": 2}, "devices": [{"count": 3}]}
    assert pointers(TWELVE, **parts) == ["/box/gangs"]


def test_a_wire_of_another_text_and_the_same_size_is_the_same_wire() -> None:
    assert pointers({"size": "2.50 mm2", "count": 2}, joints=[joint({"size": "2.5 mm2", "count": 2})]) == []
