"""What each thing in a box asks for, at the edges; tests/external holds the published figures."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright import fill_box
from splicewright.units import size as read_size
from tests.box.requests import SIX, TWELVE, box

GROUND = {**TWELVE, "role": "equipment-grounding"}
EIGHTEEN = {"size": "18 AWG", "canopy": True}


def required(*wires: dict[str, Any], **parts: Any) -> float:
    found: float = fill_box(box(*wires, **parts))["required"]["in3"]
    return found


def counts(*wires: dict[str, Any], **parts: Any) -> dict[str, float]:
    return {allowance["for"]: allowance["count"] for allowance in fill_box(box(*wires, **parts))["allowances"]}


@pytest.mark.parametrize(("path", "in3"), [("ends", 2.25), ("through", 2.25), ("looped", 4.5), ("stays", 0)])
def test_a_wire_counts_by_its_path(path: str, in3: float) -> None:
    assert required({**TWELVE, "path": path}) == in3


@pytest.mark.parametrize(
    ("value", "unit", "in3"), [(12, "in", 4.5), (11.9, "in", 2.25), (300, "mm", 4.5), (299.9, "mm", 2.25)]
)
def test_a_loop_counts_twice_from_twice_the_free_length_on(value: float, unit: str, in3: float) -> None:
    assert required({**TWELVE, "path": "looped", "free": {"value": value, "unit": unit}}) == in3


def test_what_never_leaves_the_box_is_told_though_it_takes_no_allowance() -> None:
    assert counts({**TWELVE, "path": "stays", "count": 3}) == {
        "3 x 12 AWG that never leaves the box (pigtail, jumper)": 0
    }


@pytest.mark.parametrize("path", ["ends", "through", "looped"])
def test_a_grounding_conductor_counts_once_whatever_its_path(path: str) -> None:
    assert required({**GROUND, "path": path}) == 2.25


def test_a_grounding_pigtail_does_not_count() -> None:
    assert required({**GROUND, "path": "stays"}) == 0


def test_grounding_conductors_count_at_the_largest_of_them() -> None:
    assert required(GROUND, {"size": "10 AWG", "role": "equipment-grounding"}) == 2.5


@pytest.mark.parametrize(("code", "in3"), [("nfpa70-2017", 4.75), ("nfpa70-2020", 2.5), ("nfpa70-2023", 2.5)])
def test_an_isolated_set_counts_apart_before_2020(code: str, in3: float) -> None:
    isolated = {**TWELVE, "role": "isolated-grounding"}
    assert required({"size": "10 AWG", "role": "equipment-grounding"}, isolated, code=code) == in3


def test_an_isolated_set_counted_with_the_others_is_cautioned() -> None:
    answer = fill_box(box(GROUND, {**GROUND, "isolated": True}))
    assert any("isolated set" in caution["says"] for caution in answer["cautions"])


@pytest.mark.parametrize(("code", "in3"), [("nfpa70-2017", 13.5), ("nfpa70-2020", 13.5), ("nfpa70-2023", 15.75)])
def test_a_terminal_block_takes_an_allowance_from_2023_on(code: str, in3: float) -> None:
    assert required(code=code, terminal_blocks=[{"largest": "12 AWG"}]) == in3


def test_a_terminal_block_before_2023_is_cautioned() -> None:
    answer = fill_box(box(code="nfpa70-2020", terminal_blocks=[{"largest": "12 AWG"}]))
    assert any("no allowance for terminal blocks" in caution["says"] for caution in answer["cautions"])


@pytest.mark.parametrize(
    ("parts", "in3"),
    [
        ({"clamps": "internal"}, 18.5),
        ({"fittings": 1}, 18.5),
        ({"fittings": 2}, 21),
        ({"devices": [{"largest": "12 AWG"}]}, 20.5),
        ({"devices": [{"largest": "12 AWG", "gangs": 2}]}, 25),
        ({"devices": [{"largest": "12 AWG", "count": 2}]}, 25),
    ],
)
def test_clamps_and_fittings_count_at_the_largest_in_the_box_and_devices_at_the_largest_on_them(
    parts: dict[str, Any], in3: float
) -> None:
    assert required(SIX, {"size": "10 AWG", "role": "equipment-grounding"}, **parts) == in3


@pytest.mark.parametrize(("count", "in3"), [(1, 13.5), (4, 13.5), (5, 15), (6, 16.5)])
def test_up_to_four_small_fixture_wires_from_a_canopy_may_be_left_out(count: int, in3: float) -> None:
    assert required(SIX, {**EIGHTEEN, "count": count}) == in3


def test_fixture_wires_of_14_awg_from_a_canopy_count() -> None:
    assert required(SIX, {"size": "14 AWG", "canopy": True}) == 15.5


def test_a_grounding_conductor_from_a_canopy_may_be_left_out() -> None:
    assert required(SIX, {**GROUND, "canopy": True}) == 13.5


def test_of_more_than_four_fixture_wires_the_largest_are_left_out() -> None:
    assert required(SIX, {**EIGHTEEN, "count": 3}, {"size": "16 AWG", "canopy": True, "count": 3}) == 13.5 + 2 * 1.5


# --- sizes that the table does not have -------------------------------------------------


@pytest.mark.parametrize(
    ("size", "row"), [("13 AWG", "12 AWG"), ("2.5 mm2", "12 AWG"), ("4 mm2", "10 AWG"), ("22 AWG", "18 AWG")]
)
def test_a_size_between_two_rows_takes_the_larger_and_says_so(size: str, row: str) -> None:
    answer = fill_box(box({"size": size}))
    assert answer["allowances"][0]["row"] == read_size(row).to_dict()
    assert any(f"{size} is not in the table" in caution["says"] for caution in answer["cautions"])


@pytest.mark.parametrize("size", ["4 AWG", "5 AWG", "250 kcmil", "16 mm2"])
def test_a_size_above_the_table_is_handed_over_with_no_volume_made_up(size: str) -> None:
    answer = fill_box(box(SIX, {"size": size}, box={"name": "4-11/16 x 2-1/8 square"}))
    assert answer["fits"] is None
    assert answer["left"] is None
    assert answer["smallest"] == []
    assert answer["required"]["in3"] == 13.5
    assert [referral["source"]["section"] for referral in answer["referrals"]] == ["314.28(A)"]
    (large,) = (one for one in answer["allowances"] if one["size"] == read_size(size).to_dict())
    assert (large["row"], large["each"], large["total"]) == (None, None, None)


def test_a_box_filled_by_what_has_a_volume_is_not_judged_where_more_is_in_it() -> None:
    answer = fill_box(box(SIX, {"size": "4 AWG"}, box={"volume": {"value": 13.5, "unit": "in3"}}))
    assert answer["fits"] is None


def test_a_box_too_small_for_what_has_a_volume_falls_short_whatever_else_is_in_it() -> None:
    answer = fill_box(box(SIX, {"size": "4 AWG"}, box={"volume": {"value": 13.4, "unit": "in3"}}))
    assert answer["fits"] is False


def test_clamps_in_a_box_with_a_large_conductor_have_no_volume_here() -> None:
    answer = fill_box(box(SIX, {"size": "4 AWG"}, clamps="internal"))
    assert [allowance["total"] for allowance in answer["allowances"] if allowance["kind"] == "clamps"] == [None]


def test_a_large_jumper_hands_the_box_over_though_it_takes_no_allowance() -> None:
    answer = fill_box(box(SIX, {"size": "4 AWG", "path": "stays"}, box={"name": "4 x 2-1/8 square"}))
    assert answer["fits"] is None
    assert len(answer["referrals"]) == 1
