from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from splicewright.drawing import control_line, strip_bar
from tests.drawing.shapes import named, parsed


@pytest.mark.parametrize(
    ("length", "millimetres"),
    [({"value": 11, "unit": "mm"}, 11), ({"value": 0.4375, "unit": "in"}, 11.1125), ({"value": 4.1, "unit": "cm"}, 41)],
)
def test_bar_is_as_long_as_what_is_stripped(length: dict[str, object], millimetres: float) -> None:
    root = parsed(strip_bar(length, "so much"))
    assert float(named(root, "bare")[0].attrib["width"]) == pytest.approx(millimetres, abs=1e-3)


def test_unit_of_a_drawing_is_a_millimetre() -> None:
    root = parsed(strip_bar({"value": 11, "unit": "mm"}, "11 mm"))
    assert root.attrib["viewBox"].split() == [
        "0",
        "0",
        *(root.attrib[one].removesuffix("mm") for one in ("width", "height")),
    ]


def test_control_line_is_50_mm() -> None:
    (line,) = named(parsed(strip_bar({"value": 11, "unit": "mm"}, "11 mm")), "control")
    assert float(line.attrib["x2"]) - float(line.attrib["x1"]) == 50


def test_control_line_may_stand_once_for_all_bars() -> None:
    assert named(parsed(strip_bar({"value": 11, "unit": "mm"}, "11 mm", with_control=False)), "control") == []
    alone = control_line()
    (line,) = named(parsed(alone), "control")
    assert float(line.attrib["x2"]) - float(line.attrib["x1"]) == 50
    assert alone.text == "This line is 50 mm; where it is not, print at 100 % or measure by hand."


def test_all_that_is_drawn_lies_on_the_sheet() -> None:
    root = parsed(strip_bar({"value": 150, "unit": "mm"}, "5 29/32 in (150 mm)"))
    wide = float(root.attrib["width"].removesuffix("mm"))
    assert max(float(one.attrib["x"]) + float(one.attrib["width"]) for one in root if one.tag.endswith("rect")) < wide


def test_bar_is_told_in_words_too() -> None:
    drawing = strip_bar({"value": 11, "unit": "mm"}, "7/16 in (11 mm)")
    assert drawing.text == (
        "Strip 7/16 in (11 mm). The bar is 11 mm from the end of the insulation to the end of the wire."
    )
    assert ET.fromstring(drawing.svg).findtext("{*}desc") == drawing.text


def test_length_that_no_sheet_holds_is_told_and_not_drawn() -> None:
    drawing = strip_bar({"value": 8, "unit": "in"}, "8 in")
    assert drawing.svg == ""
    assert "measure it" in drawing.text


def test_what_is_no_length_is_refused() -> None:
    with pytest.raises(KeyError):
        strip_bar({"value": 8, "unit": "V"}, "8 V")
