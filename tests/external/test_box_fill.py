"""Box fill against published worked examples and the printed table of standard metal boxes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from splicewright import fill_box
from splicewright.question.vocabulary import CODES
from splicewright.tables.boxes import allowance_rules, boxes_hold_for
from tests.external.published import cited, published
from tests.external.test_sections import was_read

DATA, TABLE = published("box_fill"), published("boxes")["boxes"]
WORKED, MOST, WRONG, GROUNDING = DATA["worked"], DATA["most"], DATA["printed_wrong"], DATA["grounding"]
CODES_70 = [code for code in CODES if boxes_hold_for(code)]
COUNTS = [
    pytest.param(name, size, most, id=cited(TABLE["source"], name, size))
    for name, row in TABLE["rows"].items()
    for size, most in zip(TABLE["sizes"], row["most"], strict=True)
]
BY_EDITION = [
    pytest.param(code, int(count), allowances, id=cited(GROUNDING["source"], code, count))
    for code, row in GROUNDING["by_edition"].items()
    for count, allowances in row.items()
]


def exact(figure):
    return Fraction(str(figure))


def named(one):
    return cited(one["source"], one["id"])


def filled(box, size, count, code="nfpa70-2023"):
    wires = [{"size": size, "count": count}]
    return fill_box({"code": code, "box": {"name": box}, "clamps": "none", "wires": wires})


@pytest.mark.parametrize("one", WORKED, ids=named)
def test_a_worked_example_comes_out_as_printed(one):
    answer = fill_box(one["given"])
    assert exact(answer["required"]["in3"]) == exact(one["in3"])


@pytest.mark.parametrize("one", [one for one in WORKED if "fits" in one], ids=named)
def test_a_worked_example_fits_or_not_as_printed(one):
    assert fill_box(one["given"])["fits"] is one["fits"]


@pytest.mark.parametrize("one", [one for one in WORKED if "left_in3" in one], ids=named)
def test_a_worked_example_leaves_the_volume_printed(one):
    assert exact(fill_box(one["given"])["left"]["in3"]) == exact(one["left_in3"])


@pytest.mark.parametrize("one", [one for one in WORKED if "box" in one], ids=named)
def test_a_worked_example_gives_the_smallest_of_the_boxes_it_names(one):
    would_do = [box["name"] for box in fill_box(one["given"])["smallest"] if box["name"] in one["smallest_of"]]
    assert would_do[0] == one["box"]


@pytest.mark.parametrize("one", [one for one in WORKED if "allowances" in one], ids=named)
def test_a_worked_example_has_the_number_of_allowances_printed(one):
    assert sum(exact(each["count"]) for each in fill_box(one["given"])["allowances"]) == one["allowances"]


@pytest.mark.parametrize("one", MOST, ids=named)
def test_a_worked_example_gives_the_most_conductors(one):
    assert [filled(one["box"], one["size"], one["count"] + more)["fits"] for more in (0, 1)] == [True, False]


@pytest.mark.parametrize(("name", "size", "most"), COUNTS)
def test_a_standard_box_holds_the_printed_count_and_no_more(name, size, most):
    for code in CODES_70:
        assert [filled(name, size, most + more, code)["fits"] for more in (0, 1)] == [True, False], code


def test_the_printed_table_has_24_boxes_and_7_sizes():
    """Source: NFPA 70 2023, Table 314.16(A) (page)."""
    assert len(COUNTS) == 24 * 7


@pytest.mark.parametrize("one", WRONG, ids=named)
def test_a_wrong_answer_of_a_public_page_comes_out_corrected(one):
    answer = fill_box(one["given"])
    assert exact(answer["required"]["in3"]) == exact(one["in3"])
    assert exact(answer["volume"]["in3"]) == exact(one["right"]["box_in3"]) != exact(one["printed"]["box_in3"])
    assert answer["fits"] is one["right"]["fits"] is not one["printed"]["fits"]


@pytest.mark.parametrize(("code", "count", "allowances"), BY_EDITION)
def test_grounding_conductors_take_the_allowances_of_the_edition(code, count, allowances):
    wires = [{"size": GROUNDING["size"], "count": count, "role": "equipment-grounding"}]
    answer = fill_box({"code": code, "clamps": "none", "wires": wires})
    assert [exact(allowance["count"]) for allowance in answer["allowances"]] == [exact(allowances)]


def test_the_wrong_rule_of_a_public_page_on_grounding_conductors_is_not_reproduced():
    """Source: ER03, a public page on grounding conductors in box fill, 2024; NFPA 70 2023, 314.16(B)(5) (page)."""
    wires = [{"size": "14 AWG", "count": 5, "role": "equipment-grounding"}]
    (one,) = fill_box({"clamps": "none", "wires": wires})["allowances"]
    assert one["count"] != GROUNDING["printed"]


def test_ten_grounding_conductors_of_two_sizes_come_out_as_published():
    """Source: an electricians' forum on the rule of 2020 (page)."""
    one = DATA["ten_grounding"]
    answer = fill_box(one["given"])
    assert exact(answer["required"]["in3"]) == exact(one["in3"])
    assert exact(answer["allowances"][0]["count"]) == exact(one["allowances"])


@pytest.mark.parametrize("size", DATA["metric"]["cm3"], ids=lambda size: cited(DATA["metric"]["source"], size))
def test_an_allowance_in_cm3_is_the_printed_one_but_for_its_rounding(size):
    (one,) = fill_box({"clamps": "none", "wires": [{"size": size}]})["allowances"]
    assert one["each"]["cm3"] == pytest.approx(DATA["metric"]["cm3"][size], rel=1 / 500)


@pytest.mark.parametrize("code", CODES_70)
def test_an_allowance_that_rests_on_a_page_cites_a_section_that_was_read(code):
    """Source: those of tests/external/data/sections.yaml."""
    rules = allowance_rules(code)
    told = [
        *(one for _, one in rules.paths.values()),
        *(one for _, one in (rules.clamps, rules.fittings, rules.devices, rules.terminal_blocks)),
        rules.canopy,
        rules.grounding.told,
        rules.grounding.isolated_told,
        rules.handed_over,
        rules.blocks_not_counted,
    ]
    sections = {one.source["section"] for one in told if one.source["obtained"] == "page"}
    assert sections
    assert {section for section in sections if not was_read("NFPA 70", None, section)} == set()
