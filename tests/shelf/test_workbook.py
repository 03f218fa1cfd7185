"""The workbook that is written: headings with notes, allowed words, examples, where on a carton each thing stands."""

from __future__ import annotations

import csv
import io
from typing import Any

import openpyxl
import pytest

from splicewright.catalogue.carton import look_for_column
from splicewright.question.vocabulary import METHODS
from splicewright.shelf.examples import EXAMPLE_ROWS
from splicewright.shelf.layout import EXAMPLE_SAYS, EXAMPLES, SHEETS
from splicewright.shelf.workbook import csv_files, workbook


@pytest.fixture(scope="module")
def book() -> Any:
    return openpyxl.load_workbook(io.BytesIO(workbook(EXAMPLE_ROWS)))


def test_sheets_have_the_headings_of_the_layout(book: Any) -> None:
    assert book.sheetnames == ["connectors", "fillings", "metal", "ports", "figures", "carton", "words"]
    for sheet in SHEETS[:5]:
        assert [cell.value for cell in book[sheet.name][1]] == [column.heading for column in sheet.columns]


def test_each_heading_has_a_note_and_units_stand_in_it(book: Any) -> None:
    notes = {cell.value: cell.comment.text for cell in book["connectors"][1]}
    assert all(notes.values())
    assert "1/2 in" in notes["strip"]
    assert "600 V" in notes["volts"]


def test_allowed_words_are_offered(book: Any) -> None:
    rules = {str(rule.sqref).partition("2:")[0]: rule for rule in book["connectors"].data_validations.dataValidation}
    at = {cell.value: cell.column_letter for cell in book["connectors"][1]}
    assert rules[at["insulated"]].formula1 == '"yes,no"'
    place = rules[at["method"]].formula1.removeprefix("words!").replace("$", "")
    assert [cell.value for (cell,) in book["words"][place]] == list(METHODS)
    assert rules[at["method"]].showErrorMessage
    assert not rules[at["places"]].showErrorMessage  # several may be written


def test_cells_are_text_so_that_no_size_becomes_a_day(book: Any) -> None:
    assert {cell.number_format for cell in book["fillings"]["C"]} == {"@", "General"}
    assert book["fillings"]["C2"].number_format == "@"
    assert book["fillings"].column_dimensions["C"].number_format == "@"


def test_days_are_days_so_that_one_typed_in_any_way_is_kept_as_one(book: Any) -> None:
    at = {cell.value: cell for cell in book["connectors"][1]}["read on"].column_letter
    assert book["connectors"].column_dimensions[at].number_format == "yyyy-mm-dd"
    assert book["connectors"][f"{at}2"].number_format == "yyyy-mm-dd"


def test_three_examples_are_marked(book: Any) -> None:
    rows = list(book["connectors"].iter_rows(min_row=2, values_only=True))
    assert [row[0] for row in rows] == list(EXAMPLES)
    assert {row[2] for row in rows} == {EXAMPLE_SAYS}
    assert book["connectors"]["A2"].fill.fgColor.rgb == "00FFF2CC"


def test_every_column_tells_where_on_a_carton_it_stands() -> None:
    silent = [
        (sheet.name, column.key)
        for sheet in SHEETS[:5]
        for column in sheet.columns
        if not look_for_column(sheet.name, column.heading, column.key)
    ]
    assert {key for _, key in silent} == {"group", "port"}  # a number that the user gives


def test_csv_files_say_the_same() -> None:
    files = csv_files(EXAMPLE_ROWS)
    assert list(files) == ["connectors.csv", "fillings.csv", "metal.csv", "ports.csv", "figures.csv", "carton.csv"]
    rows = list(csv.DictReader(io.StringIO(files["fillings.csv"].decode())))
    assert rows[0]["size"] == "14 AWG"
    assert rows[0]["construction"] == "solid, stranded"


def test_text_that_would_be_a_formula_is_kept_from_being_one() -> None:
    files = csv_files({"connectors": [{"id": "mine", "about": "=1+1"}]})
    assert b"'=1+1" in files["connectors.csv"]
    page = openpyxl.load_workbook(io.BytesIO(workbook({"connectors": [{"id": "mine", "about": "=1+1"}]})))["connectors"]
    assert (page["C2"].value, page["C2"].data_type) == ("=1+1", "s")
