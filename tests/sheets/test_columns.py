"""Every word of a question and a proposal is a column, and no heading means two things."""

from __future__ import annotations

import pytest

from splicewright.question.leaf import schema_of
from splicewright.question.model import Conductor
from splicewright.question.proposal import ProposalSchema
from splicewright.question.schema import CircuitSchema, PlaceSchema, WorkSchema
from splicewright.sheets.columns import by_heading, columns, nearest_column, normal, passed_over


@pytest.mark.parametrize(
    ("schema", "pointer"),
    [
        (schema_of(Conductor), "/joint/conductors/*/"),
        (PlaceSchema, "/place/"),
        (CircuitSchema, "/circuit/"),
        (WorkSchema, "/work/"),
        (ProposalSchema, "/proposal/"),
    ],
)
def test_every_word_of_a_part_is_a_column(schema: type, pointer: str) -> None:
    pointers = {column.pointer for column in columns()}
    assert {pointer + name for name in schema().fields} <= pointers


def test_no_two_columns_share_a_heading() -> None:
    names = [normal(column.name) for column in columns()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    "heading", ["Box Material", "box_material", " BOX-MATERIAL ", "place.box_material", "place box material"]
)
def test_case_space_and_hyphens_do_not_matter_in_a_heading(heading: str) -> None:
    assert by_heading()[normal(heading)].pointer == "/place/box_material"


def test_columns_of_words_carry_the_words_of_the_vocabulary() -> None:
    assert by_heading()["exposure"].words == ("dry", "damp", "wet", "buried", "submerged")


@pytest.mark.parametrize("heading", ["answer", "Answer reasons", "# drawing", "#"])
def test_answers_and_columns_for_people_are_passed_over(heading: str) -> None:
    assert passed_over(heading)


def test_every_column_is_described() -> None:
    assert [column.name for column in columns() if not column.about] == []


@pytest.mark.parametrize(
    ("heading", "column"), [("Wire", "size"), ("Qty.", "quantity"), ("exposur", "exposure"), ("drawing number", None)]
)
def test_column_that_was_perhaps_meant_is_named(heading: str, column: str | None) -> None:
    assert nearest_column(heading) == column
