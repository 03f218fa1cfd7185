"""How a box and a conductor are found in the tables; tests/external checks the figures against the published ones."""

from __future__ import annotations

from fractions import Fraction

import pytest

from splicewright.question.vocabulary import BOX_MATERIAL, CODES, ROLE
from splicewright.tables.boxes import (
    allowance_rules,
    bodies_share,
    box_source,
    boxes_hold_for,
    conductor_volume,
    free_length,
    free_length_says,
    free_length_source,
    practice_says,
    standard_boxes,
    standard_material,
)
from splicewright.tables.loader import table
from splicewright.units import size

EDITIONS = [code for code in CODES if code.startswith("nfpa70-")]


@pytest.mark.parametrize("name", ["12 AWG", "18 AWG", "6 AWG"])
def test_a_size_of_the_table_has_its_own_row(name: str) -> None:
    found = conductor_volume(size(name))
    assert found
    assert (str(found.row), found.exact) == (name, True)


@pytest.mark.parametrize(("name", "row"), [("7 AWG", "6 AWG"), ("30 AWG", "18 AWG"), ("1.5 mm2", "14 AWG")])
def test_another_size_takes_the_next_larger_row_and_is_marked(name: str, row: str) -> None:
    found = conductor_volume(size(name))
    assert found
    assert (str(found.row), found.exact) == (row, False)


@pytest.mark.parametrize("name", ["5 AWG", "4 AWG", "16 mm2", "250 kcmil"])
def test_no_size_above_the_table_has_a_volume(name: str) -> None:
    assert conductor_volume(size(name)) is None


def test_only_a_box_made_by_gangs_grows_with_them() -> None:
    boxes = standard_boxes()
    assert boxes["4 x 1-1/2 square"].volume(3) == 21
    assert boxes["FS single cover"].volume(3) == Fraction("40.5")


def test_every_box_that_is_made_by_gangs_stands_in_the_table() -> None:
    assert set(table("boxes").rows["per_gang"]) <= set(standard_boxes())


def test_the_material_of_the_boxes_is_a_word_of_a_question() -> None:
    assert standard_material() in BOX_MATERIAL


@pytest.mark.parametrize("code", EDITIONS)
def test_every_edition_has_its_figures_and_sections(code: str) -> None:
    assert boxes_hold_for(code)
    assert allowance_rules(code).paths["ends"][0] == 1
    assert box_source(code, "boxes")["edition"] == free_length_source(code)["edition"] == code[-4:]


@pytest.mark.parametrize("code", ["nfpa70-2014", "iec60364"])
def test_an_edition_that_was_not_entered_has_none(code: str) -> None:
    assert not boxes_hold_for(code)
    with pytest.raises(KeyError):
        allowance_rules(code)


@pytest.mark.parametrize(("code", "apart"), [("nfpa70-2017", True), ("nfpa70-2020", False), ("nfpa70-2023", False)])
def test_an_isolated_set_stands_apart_by_edition_and_rests_on_memory(code: str, *, apart: bool) -> None:
    grounding = allowance_rules(code).grounding
    assert grounding.isolated_apart is apart
    assert grounding.isolated_told.source["obtained"] == "memory"


@pytest.mark.parametrize("count", range(12))
def test_before_2020_any_number_of_grounding_conductors_takes_one_allowance(count: int) -> None:
    assert allowance_rules("nfpa70-2017").grounding.allowances(count) == min(count, 1)


def test_the_roles_of_grounding_conductors_are_words_of_a_question() -> None:
    assert {"equipment-grounding", "isolated-grounding"} <= set(ROLE)


@pytest.mark.parametrize(("unit", "loop"), [("in", 12), ("mm", 300)])
def test_a_loop_that_counts_twice_is_twice_the_free_length(unit: str, loop: int) -> None:
    assert free_length(unit).loop == loop


@pytest.mark.parametrize("opening", ["small", "large", "unknown"])
def test_what_an_opening_asks_is_told_with_its_figures(opening: str) -> None:
    assert "150 mm" in free_length_says(opening, "mm")
    assert "{" not in free_length_says(opening, "mm")


def test_practice_rests_on_no_document() -> None:
    assert table("box-practice").source == "common-practice"
    assert bodies_share() > 0


def test_a_sentence_of_practice_has_its_places_filled_in() -> None:
    assert "{" not in practice_says("next_larger", size="2.5 mm2", row="12 AWG")
