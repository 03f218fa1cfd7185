"""What is refused, what is assumed, and how a box is read."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.box.read import read_box
from splicewright.refusals import Refused
from tests.box.requests import SQUARE, TWELVE, box


def problems(given: Any) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        read_box(given)
    return {problem.pointer: problem.says for problem in refused.value.problems}


GROUND = {**TWELVE, "role": "equipment-grounding"}


@pytest.mark.parametrize(
    ("given", "pointer", "part"),
    [
        (3, "", "is an object"),
        ({}, "/wires", "is required"),
        (box(wires=[]), "/wires", "1 to 200"),
        (box(wire=[]), "/wire", "did you mean 'wires'?"),
        (box({"size": 12}), "/wires/0/size", "has no unit"),
        (box({**TWELVE, "count": 0}), "/wires/0/count", "out of range"),
        (box({**TWELVE, "count": 1.5}), "/wires/0/count", "not a whole number"),
        (box({**TWELVE, "path": "loop"}), "/wires/0/path", "did you mean 'looped'?"),
        (box({**TWELVE, "isolated": True}), "/wires/0/isolated", "role is ungrounded"),
        (box({**TWELVE, "role": "isolated-grounding", "isolated": False}), "/wires/0/isolated", "is false"),
        (box({**TWELVE, "canopy": True, "path": "through"}), "/wires/0/canopy", "path is through"),
        (box({**TWELVE, "path": "stays", "free": {"value": 6, "unit": "in"}}), "/wires/0/free", "path is stays"),
        (box({**TWELVE, "path": "looped", "outside": {"value": 6, "unit": "in"}}), "/wires/0/outside", "looped"),
        (box(box={}), "/box", "neither name nor volume"),
        (box(box={"name": "4 x 1-1/2 squar"}), "/box/name", f"did you mean '{SQUARE}'?"),
        (box(box={"volume": {"value": 21}}), "/box/volume/unit", "is required"),
        (box(box={"volume": {"value": 0, "unit": "in3"}}), "/box/volume/value", "out of range"),
        (box(box={"volume": {"value": 21, "unit": "in"}}), "/box/volume/unit", "not known"),
        (box(box={"name": SQUARE, "volume": {"value": 20.9, "unit": "in3"}}), "/box/volume", "less than the 21 in3"),
        (box(box={"name": SQUARE, "gangs": 2}), "/box/gangs", "as extensions"),
        (box(box={"volume": {"value": 21, "unit": "in3"}, "gangs": 2}), "/box/gangs", "whole box"),
        (box(extensions=[{}]), "/extensions/0", "neither name nor volume"),
        (
            box(extensions=[{"name": SQUARE, "volume": {"value": 1, "unit": "in3"}}]),
            "/extensions/0",
            "gives name and volume",
        ),
        (box(place={"enclosure": "handhole"}), "/place/enclosure", "box, conduit-body"),
        (box(box={"name": SQUARE}, place={"enclosure": "conduit-body"}), "/place/enclosure", "standard box"),
        (box(box={"name": SQUARE}, place={"box_material": "nonmetallic"}), "/place/box_material", "is of metal"),
        (box(code="nfpa70-2014"), "/code", "did you mean"),
        (box(fittings=True), "/fittings", "not a number"),
        (box(clamps="yes"), "/clamps", "use one of: internal, none"),
        (box(joints={}), "/joints", "must be a list"),
    ],
)
def test_what_is_no_valid_request_is_refused_with_its_pointer(given: Any, pointer: str, part: str) -> None:
    assert part in problems(given)[pointer]


def test_a_code_for_which_no_box_fill_was_entered_is_refused_with_those_that_have_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("splicewright.box.read.boxes_hold_for", lambda code: code != "nfpa70-2023")
    assert problems(box())["/code"] == ("no box fill is entered for nfpa70-2023; use one of: nfpa70-2017, nfpa70-2020")


def test_every_problem_is_told_at_once() -> None:
    given = box({**TWELVE, "isolated": True}, {**TWELVE, "canopy": True, "path": "stays"}, box={}, extensions=[{}])
    assert set(problems(given)) == {"/wires/0/isolated", "/wires/1/canopy", "/box", "/extensions/0"}


def test_every_default_is_noted_under_its_pointer() -> None:
    given = {"wires": [TWELVE], "devices": [{}], "terminal_blocks": [{}], "box": {"name": "FS single cover"}}
    assert dict(read_box(given).assumed) == {
        "/code": "nfpa70-2023",
        "/catalogue": "shop",
        "/explain": "brief",
        "/clamps": "none",
        "/fittings": 0,
        "/box/gangs": 1,
        "/wires/0/count": 1,
        "/wires/0/path": "ends",
        "/wires/0/role": "ungrounded",
        "/wires/0/isolated": False,
        "/wires/0/canopy": False,
        "/devices/0/largest": "12 AWG",
        "/devices/0/count": 1,
        "/devices/0/gangs": 1,
        "/terminal_blocks/0/largest": "12 AWG",
        "/terminal_blocks/0/count": 1,
    }


def test_a_device_that_does_not_say_has_the_largest_wire_of_the_box_on_it() -> None:
    read = read_box(box(TWELVE, {"size": "8 AWG", "path": "stays"}, devices=[{}]))
    assert str(read.contents.devices[0].size) == "8 AWG"


def test_an_isolated_grounding_role_is_a_set_apart() -> None:
    assert read_box(box({**TWELVE, "role": "isolated-grounding"})).contents.wires[0].isolated


@pytest.mark.parametrize(
    ("given", "opening"),
    [
        ({"name": SQUARE}, "small"),
        ({"volume": {"value": 21, "unit": "in3"}}, "unknown"),
        ({"volume": {"value": 21, "unit": "in3"}, "opening": {"value": 7.9, "unit": "in"}}, "small"),
        ({"volume": {"value": 21, "unit": "in3"}, "opening": {"value": 8, "unit": "in"}}, "large"),
        ({"volume": {"value": 21, "unit": "in3"}, "opening": {"value": 199.9, "unit": "mm"}}, "small"),
        ({"volume": {"value": 21, "unit": "in3"}, "opening": {"value": 200, "unit": "mm"}}, "large"),
    ],
)
def test_an_opening_is_small_below_the_limit_in_its_own_unit(given: dict[str, Any], opening: str) -> None:
    assert read_box(box(box=given)).opening == opening


@pytest.mark.parametrize("in3", [21, 22.5])
def test_a_standard_box_may_be_marked_with_its_volume_or_more(in3: float) -> None:
    read = read_box(box(box={"name": SQUARE, "volume": {"value": in3, "unit": "in3"}}))
    assert (str(read.volume), read.box and read.box.part) == (f"{in3} in3", "marked")


def test_a_box_made_by_gangs_has_the_volume_of_each() -> None:
    assert str(read_box(box(box={"name": "FS multiple cover", "gangs": 3})).volume) == "54 in3"
