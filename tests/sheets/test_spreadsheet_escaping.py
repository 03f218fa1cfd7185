"""What begins like a formula is written as text."""

from __future__ import annotations

import io

import openpyxl
import pytest

from splicewright.sheets.spreadsheet_escaping import csv_text, saved, text_cell

HOSTILE = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "=cmd|' /C calc'!A0"]


@pytest.mark.parametrize("text", HOSTILE)
def test_csv_text_begins_with_an_apostrophe(text: str) -> None:
    assert csv_text(text) == f"'{text}"


@pytest.mark.parametrize("text", ["a=b", "12 AWG", "", "'=1"])
def test_other_text_stays_as_it_is(text: str) -> None:
    assert csv_text(text) == text


@pytest.mark.parametrize("text", [one for one in HOSTILE if "\t" not in one])
def test_cell_of_a_workbook_is_text_and_no_formula(text: str) -> None:
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("S")
    sheet.append([text_cell(sheet, text)])
    cell = openpyxl.load_workbook(io.BytesIO(saved(book)))["S"]["A1"]
    assert (cell.data_type, cell.value) == ("s", text)


def test_what_no_cell_may_hold_is_replaced() -> None:
    assert csv_text("a\x00b\x0bc") == "a\ufffdb\ufffdc"


def test_very_long_text_is_cut() -> None:
    assert len(csv_text("x" * 100_000)) == 32_000
