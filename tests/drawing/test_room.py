from __future__ import annotations

from typing import Any

import pytest

from splicewright.box import fill_box
from splicewright.drawing import WIDE_MM, room_bar
from tests.drawing.shapes import named, parsed

WIRES = [{"size": "12 AWG", "count": 6}, {"size": "12 AWG", "count": 3, "role": "equipment-grounding"}]


def box(**more: Any) -> dict[str, Any]:
    return fill_box({"wires": WIRES, "clamps": "internal", **more})


def widths(drawing: Any, name: str) -> list[float]:
    return [float(one.attrib["width"]) for one in named(parsed(drawing), name)]


def test_allowances_are_as_wide_as_they_ask_for() -> None:
    found = widths(room_bar(box(box={"name": "4 x 1-1/2 square"})), "allowance")
    assert found == [pytest.approx(found[1] * many, abs=1e-3) for many in (6, 1, 1)]


def test_room_that_is_left_shows() -> None:
    drawing = room_bar(box(box={"volume": {"value": 36, "unit": "in3"}}))
    (line,) = named(parsed(drawing), "volume")
    assert float(line.attrib["x2"]) - float(line.attrib["x1"]) == pytest.approx(2 * sum(widths(drawing, "allowance")))
    assert drawing.text.startswith("It fits: 18 of 36 cubic inches are taken.")


def test_box_that_is_too_small_is_shorter_than_what_is_in_it() -> None:
    drawing = room_bar(box(box={"volume": {"value": 9, "unit": "in3"}}))
    (line,) = named(parsed(drawing), "volume")
    assert float(line.attrib["x2"]) - float(line.attrib["x1"]) == pytest.approx(sum(widths(drawing, "allowance")) / 2)
    assert drawing.text.startswith("TOO SMALL: 18 cubic inches are needed, and there are 9.")


def test_without_a_box_nothing_is_said_to_fit() -> None:
    drawing = room_bar(box())
    assert named(parsed(drawing), "volume") == []
    assert drawing.text.startswith("18 cubic inches are needed; the box is not stated. 1. conductors: 6 x 12 AWG, 13.5")


def test_what_has_no_volume_is_told() -> None:
    drawing = room_bar(
        fill_box({"wires": [*WIRES, {"size": "4 AWG"}], "box": {"volume": {"value": 99, "unit": "in3"}}})
    )
    assert drawing.text.startswith("Not judged: 15.75 of 99 cubic inches are counted.")
    assert drawing.text.endswith("Some of it has no volume here, and is not in the bar.")


def test_words_are_those_of_the_reader() -> None:
    said: list[str] = []

    def say(label: str, /, **slots: object) -> str:
        said.append(label)
        return f"[{label.format(**slots)}]"

    assert room_bar(box(), say).text.startswith("[18 cubic inches are needed")
    assert "clamps" in said


def test_bar_and_its_words_are_no_wider_than_half_a_sheet() -> None:
    assert room_bar(box(box={"volume": {"value": 9, "unit": "in3"}})).width <= WIDE_MM
