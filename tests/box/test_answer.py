"""The answer about a box as a whole."""

from __future__ import annotations

from typing import Any

import pytest

import splicewright
from splicewright import fill_box
from splicewright.answering import Chooser
from tests.box.requests import SIX, SQUARE, TWELVE, box, joint

PARTS = [
    "code", "fits", "required", "volume", "left", "sections", "allowances", "smallest", "free_length", "problems",
    "referrals", "judged", "joints", "bodies", "cautions", "assumed", "rulesets",
]  # fmt: skip


def says(answer: dict[str, Any]) -> str:
    return " ".join(caution["says"] for caution in answer["cautions"])


def test_its_parts_are_there_in_their_order() -> None:
    assert list(fill_box(box())) == [part for part in PARTS if part != "bodies"]
    assert list(fill_box(box(id="a", box={"name": SQUARE}, joints=[joint()]))) == ["id", *PARTS]


def test_the_package_exports_it() -> None:
    assert splicewright.fill_box is fill_box


def test_without_a_box_only_what_is_needed_and_would_do_is_told() -> None:
    answer = fill_box(box())
    assert (answer["fits"], answer["volume"], answer["left"]) == (None, None, None)
    assert answer["required"] == {"in3": 13.5, "cm3": 221.2}
    assert answer["smallest"][0]["name"] == "FS single cover"


def test_room_is_judged_by_the_table_of_boxes_or_by_the_mark() -> None:
    (by_table,) = fill_box(box(box={"name": SQUARE}))["judged"]
    assert by_table == {"concern": "box-room", "article": "Table 314.16(A)"}
    (by_mark,) = fill_box(box(box={"volume": {"value": 21, "unit": "in3"}}))["judged"]
    assert by_mark == {"concern": "box-room", "article": "314.16(A)"}


def test_room_of_a_box_that_is_not_known_asks_for_it() -> None:
    (room,) = fill_box(box())["judged"]
    assert (room["why"], room["asks"]) == ("not-stated", "/box")


def test_room_is_not_judged_by_any_rule_where_a_size_has_no_volume() -> None:
    for known in ({}, {"box": {"name": SQUARE}}):
        (room,) = fill_box(box({"size": "4 AWG"}, **known))["judged"]
        assert room == {"concern": "box-room", "why": "no-rule", "article": "314.28(A)"}


def test_room_is_judged_where_what_has_a_volume_is_too_much_already() -> None:
    (room,) = fill_box(box({"size": "4 AWG"}, {**SIX, "count": 12}, box={"name": SQUARE}))["judged"]
    assert room == {"concern": "box-room", "article": "Table 314.16(A)"}


def test_extensions_count_in_the_volume_and_in_the_boxes_that_would_do() -> None:
    answer = fill_box(
        box(box={"name": SQUARE}, extensions=[{"name": SQUARE}, {"volume": {"value": 3.5, "unit": "in3"}}])
    )
    assert answer["volume"]["in3"] == 45.5
    assert [section["for"] for section in answer["sections"]] == [SQUARE, SQUARE, "marked 3.5 in3"]
    assert answer["smallest"][0] == {
        "name": "3 x 2 x 1-1/2 device",
        "volume": {"in3": 32, "cm3": 524.4},
        "left": {"in3": 18.5, "cm3": 303.2},
    }


def test_extensions_count_where_the_box_is_not_known() -> None:
    answer = fill_box(box(extensions=[{"volume": {"value": 6, "unit": "in3"}}]))
    assert answer["volume"] is None
    assert answer["smallest"][0]["name"] == "3 x 2 x 1-1/2 device"


def test_boxes_made_by_gangs_are_offered_with_those_that_the_devices_need() -> None:
    answer = fill_box(box(TWELVE, devices=[{"gangs": 2}, {}]))
    assert {one["gangs"] for one in answer["smallest"] if "gangs" in one} == {3}


def test_exactly_full_fits_and_a_hundredth_less_does_not() -> None:
    def at(in3: float) -> Any:
        return fill_box(box(box={"volume": {"value": in3, "unit": "in3"}}))["fits"]

    assert (at(13.5), at(13.49)) == (True, False)


@pytest.mark.parametrize(("cm3", "told"), [(221, True), (220, False), (222, False)])
def test_a_box_short_by_the_rounding_of_its_metric_mark_is_cautioned(cm3: int, *, told: bool) -> None:
    answer = fill_box(box(box={"volume": {"value": cm3, "unit": "cm3"}}))
    assert answer["fits"] is (cm3 == 222)
    assert ("rounding of a mark" in says(answer)) is told


def test_a_box_short_by_little_in_cubic_inches_is_no_rounding() -> None:
    assert "rounding" not in says(fill_box(box(box={"volume": {"value": 13.49, "unit": "in3"}})))


def test_clamps_that_were_not_stated_are_cautioned_with_what_they_would_take() -> None:
    assert "2.25 in3 more" in says(fill_box({"wires": [SIX]}))
    assert "Clamps" not in says(fill_box(box()))


def test_what_governs_is_said_once() -> None:
    assert "licensed electrician" in says(fill_box(box()))
    with_joint = fill_box(box(joints=[joint()]))
    assert "licensed electrician" not in says(with_joint)
    assert "licensed electrician" in says(with_joint["joints"][0])


class Counting(Chooser):
    """A chooser that counts what it is asked."""

    asked = 0

    def answer(self, asked: Any, budget: Any = None) -> Any:
        self.asked += 1
        return super().answer(asked, budget)


def test_the_joints_are_asked_of_the_chooser_given() -> None:
    chooser = Counting()
    fill_box(box(joints=[joint(), {}, joint()]), chooser)
    assert chooser.asked == 2


def test_a_block_before_2023_cites_no_section_of_a_later_edition() -> None:
    answer = fill_box(box(code="nfpa70-2020", terminal_blocks=[{}]))
    (source,) = (allowance["source"] for allowance in answer["allowances"] if allowance["kind"] == "terminal-blocks")
    assert (source["section"], source["obtained"]) == ("314.16(B)", "memory")


def test_every_source_names_its_edition() -> None:
    answer = fill_box(box(code="nfpa70-2017", box={"name": SQUARE}, clamps="internal", devices=[{}]))
    sources = [one["source"] for part in ("sections", "allowances") for one in answer[part]]
    assert {one["edition"] for one in [*sources, answer["free_length"]["source"]]} == {"2017"}
