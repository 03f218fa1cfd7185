"""The template has every column, reads back as it stands, and offers the allowed words."""

from __future__ import annotations

import io

import openpyxl
import pytest

from splicewright.answering import choose
from splicewright.sheets.columns import columns
from splicewright.sheets.joints import read_headings, read_joints
from splicewright.sheets.template import csv_template, xlsx_template
from splicewright.sheets.xlsx_file import read_xlsx
from tests.sheets.tables import grid_of


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_example_of_the_template_is_read_and_answered(kind: str) -> None:
    grid = grid_of(csv_template()) if kind == "csv" else read_xlsx(xlsx_template())[0]
    headings = read_headings(grid)
    assert headings.faults == ()
    assert len(headings.at) == len(columns())
    joints = list(read_joints(grid, headings))
    assert [joint.faults for joint in joints] == [(), ()]
    for joint in joints:
        question = {key: value for key, value in joint.value.items() if key != "quantity"}
        assert choose(question)["outcome"] == "options"


def test_workbook_offers_the_words_of_the_vocabulary() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(xlsx_template()))["Joints"]
    at = next(cell.column_letter for cell in sheet[1] if cell.value == "exposure")
    offered = [rule.formula1 for rule in sheet.data_validations.dataValidation if f"{at}2" in rule.sqref]
    assert offered == ['"dry,damp,wet,buried,submerged"']


def test_only_the_sheet_to_fill_in_is_a_table_of_joints() -> None:
    grids = read_xlsx(xlsx_template())
    assert [grid.sheet for grid in grids if read_headings(grid).of_joints] == ["Joints"]


def test_workbook_is_the_same_bytes_each_time() -> None:
    assert xlsx_template() == xlsx_template()
