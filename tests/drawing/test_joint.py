from __future__ import annotations

from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.drawing import WIDE_MM, joint_drawing
from tests.drawing.shapes import named, parsed

TWELVE = {"size": "12 AWG", "count": 3, "material": "copper", "construction": "solid"}
EIGHTEEN = {"size": {"value": "18", "unit": "AWG"}, "material": "copper", "construction": "fine-stranded"}


@pytest.fixture(scope="module")
def shop() -> Any:
    return Chooser().catalogue("shop")


def radii(drawing: Any) -> list[float]:
    return [float(one.attrib["r"]) for one in parsed(drawing) if one.tag.endswith("circle")]


def test_connector_is_as_large_as_it_is_outside_with_its_ports(shop: Any) -> None:
    root = parsed(joint_drawing([TWELVE], shop.connector("lever-3-port").to_dict()))
    (body,) = named(root, "body")
    assert (float(body.attrib["width"]), float(body.attrib["height"])) == (38, 37)  # 19 x 18.5 mm at 2:1
    assert len(named(root, "port")) == 3


def test_ports_side_by_side_in_a_listing_are_all_drawn(shop: Any) -> None:
    assert len(named(parsed(joint_drawing([TWELVE], shop.connector("split-bolt-medium").to_dict())), "port")) == 2


def test_combinations_go_in_together(shop: Any) -> None:
    drawing = joint_drawing([TWELVE], shop.connector("twist-on-medium").to_dict())
    assert named(parsed(drawing), "port") == []
    assert "go in together" in drawing.text


def test_conductors_are_to_the_scale_of_the_connector(shop: Any) -> None:
    found = radii(joint_drawing([TWELVE], shop.connector("lever-3-port").to_dict()))
    assert found == [pytest.approx(2.0525, abs=1e-3)] * 3  # 0.0808 in across, at 2:1


def test_stranding_is_drawn_and_told() -> None:
    drawing = joint_drawing([EIGHTEEN], None)
    assert len(radii(drawing)) == 1 + 19
    assert "1 x 18 AWG copper, fine-stranded: 1.02 mm." in drawing.text


def test_copper_and_aluminum_differ_in_their_hatching() -> None:
    def hatching(material: str) -> int:
        lines = [one for one in parsed(joint_drawing([{**TWELVE, "material": material}], None)) if "line" in one.tag]
        return len(lines)

    assert hatching("aluminum") == 2 * hatching("copper")


def test_skin_of_copper_is_a_ring() -> None:
    assert len(radii(joint_drawing([{**TWELVE, "count": 1, "material": "copper-clad-aluminum"}], None))) == 2


def test_outside_that_is_not_stated_is_told_so_and_not_drawn(shop: Any) -> None:
    drawing = joint_drawing([TWELVE], shop.connector("solder-joint-small").to_dict())
    assert named(parsed(drawing), "body") == []
    assert "is not stated" in drawing.text


def test_many_conductors_stand_in_rows() -> None:
    root = parsed(joint_drawing([{**TWELVE, "count": 24}], None))
    assert len({one.attrib["cy"] for one in root if one.tag.endswith("circle")}) == 2
    assert float(root.attrib["width"].removesuffix("mm")) < 100


def test_thick_conductors_are_drawn_smaller() -> None:
    assert "Scale 1:1" in joint_drawing([{"size": "500 kcmil"}], None).svg
    assert "Scale 1:2" in joint_drawing([{"size": "1000 kcmil"}], None).svg


def test_name_from_outside_is_text() -> None:
    listing = {"name": '<script>alert("1")</script>\x00', "takes": []}
    drawing = joint_drawing([TWELVE], listing)
    assert "<script" not in drawing.svg
    assert parsed(drawing).tag.endswith("svg")


def test_size_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="has no unit"):
        joint_drawing([{"size": "12"}], None)


def test_connector_is_drawn_no_larger_than_it_is_where_that_is_asked(shop: Any) -> None:
    (body,) = named(parsed(joint_drawing([TWELVE], shop.connector("lever-3-port").to_dict(), most=1)), "body")
    assert (float(body.attrib["width"]), float(body.attrib["height"])) == (19, 18.5)


def test_drawing_of_any_connector_is_no_wider_than_half_a_sheet(shop: Any) -> None:
    kinds = ({**TWELVE, "count": 9}, {**EIGHTEEN, "material": "copper-clad-aluminum"}, {"size": "4/0 AWG", "count": 4})
    widest = max(joint_drawing(kinds, one.to_dict()).width for one in shop.connectors)
    assert 60 < widest <= WIDE_MM
