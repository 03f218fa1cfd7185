"""ODS workbooks are read cell by cell; what holds no value to read is told, and nothing is laid out beyond bounds."""

from __future__ import annotations

import datetime as dt
import zipfile
from io import BytesIO
from typing import Any

import pytest

from splicewright.sheets.joints import is_head, read_headings, read_joints
from splicewright.sheets.ods_file import read_ods
from splicewright.sheets.table import Grid, NoTable, Unusable
from tests.sheets.tables import ods, ods_of

NOTE = "<office:annotation><text:p>n</text:p></office:annotation>"
HEAD = ["id", "size", "count"]
WORDS = 'office:value-type="string"'
LONG = "x" * 30_000
ONE = 'office:value-type="float" office:value="1"'


def repeated(many: int, cell: str) -> str:
    """Give a row that stands so often."""
    return f'<table:table-row table:number-rows-repeated="{many}">{cell}</table:table-row>'


def grid(*rows: Any, **more: Any) -> Grid:
    (found,) = read_ods(ods(*rows, **more), is_head)
    return found


def cell(attributes: str, text: str = "") -> str:
    return f"<table:table-cell {attributes}>{text}</table:table-cell>"


def test_texts_numbers_and_repeated_cells_are_read_with_their_places() -> None:
    empty = cell('table:number-columns-repeated="2"')
    found = grid(
        ["Boathouse"],
        [empty],
        HEAD,
        ["a", "12 AWG", 2],
        [],
        [empty, 3.5],
        beside=repeated(1_048_570, cell('table:number-columns-repeated="16384"')),
    )
    assert (found.sheet, found.head.number, list(found.head.values)) == ("Joints", 3, HEAD)
    assert [(row.number, list(row.values)) for row in found.rows] == [(4, ["a", "12 AWG", 2]), (6, [None, None, 3.5])]
    assert found.spot(4, 1).cell == "B4"


def test_repeated_rows_and_cells_with_values_stand_as_often() -> None:
    alike = cell('office:value-type="string" table:number-columns-repeated="2"', "<text:p>12 AWG</text:p>")
    found = grid(HEAD, beside=repeated(2, alike))
    assert [(row.number, list(row.values)) for row in found.rows] == [(2, ["12 AWG"] * 2), (3, ["12 AWG"] * 2)]


@pytest.mark.parametrize(
    ("attributes", "text", "value"),
    [
        ('office:value-type="string"', "<text:p>a<text:s text:c='2'/>b<text:span>c</text:span></text:p>", "a  bc"),
        ('office:value-type="string"', "<text:p>a</text:p>\n<text:p>b</text:p>", "a\nb"),
        ('office:value-type="string"', NOTE + "<text:p>a</text:p>", "a"),
        ('office:value-type="percentage" office:value="0.5"', "<text:p>50%</text:p>", 0.5),
        ('office:value-type="boolean" office:boolean-value="true"', "<text:p>TRUE</text:p>", True),
        ('office:value-type="date" office:date-value="2026-03-01"', "<text:p>3/1</text:p>", dt.datetime(2026, 3, 1)),  # noqa: DTZ001
        ('table:formula="of:=1+1" office:value-type="float" office:value="2"', "<text:p>2</text:p>", 2),
    ],
)  # fmt: skip
def test_cell_has_its_value(attributes: str, text: str, value: Any) -> None:
    (row,) = grid(HEAD, [cell(attributes, text)]).rows
    assert list(row.values) == [value]


@pytest.mark.parametrize(
    ("attributes", "text", "says"),
    [
        ('table:formula="of:=A0" office:value-type="string" calcext:value-type="error"', "", "an error"),
        ('table:formula="of:=A0" office:value-type="float" office:value="0"', "<text:p>Err:502</text:p>", "an error"),
        ('table:formula="of:=1+1"', "", "never calculated"),
        ('office:value-type="time" office:time-value="PT1H"', "<text:p>1:00</text:p>", "holds a time"),
    ],
)
def test_cell_that_holds_no_value_to_read_tells_why(attributes: str, text: str, says: str) -> None:
    (row,) = grid(HEAD, [cell(attributes, text)]).rows
    (value,) = row.values
    assert isinstance(value, Unusable)
    assert says in value.says


def test_merged_cells_are_told_in_their_row() -> None:
    merged = cell('office:value-type="string" table:number-rows-spanned="2"', "<text:p>a</text:p>")
    found = grid(HEAD, [merged, "12 AWG", 2])
    joints = list(read_joints(found, read_headings(found)))
    assert "is merged with others to A3" in joints[0].faults[0].says


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"PK", "is no ODS workbook"),
        (ods(HEAD).replace(b"opendocument.spreadsheet", b"opendocument.text-document"), "is no ODS workbook"),
        (ods_of("<table:table>"), "is no ODS workbook, or is damaged"),
        (ods_of("<!DOCTYPE a>"), "is no ODS workbook, or is damaged"),
        (ods(HEAD, [cell('office:value-type="float" office:value="x"')]), "is damaged"),
        (ods(HEAD, [cell('office:value-type="float" office:value="nan"')]), "is damaged"),
        (ods(HEAD, [cell(f'{ONE} table:number-columns-repeated="300"')]), "beyond"),
        (ods(HEAD, [cell(f'{ONE} table:number-columns-repeated="99999999999"')]), "beyond"),
        (ods(HEAD, beside=repeated(900_000, cell(ONE))), "beyond"),
        (ods(HEAD, beside=repeated(10_002, cell(ONE))), "more than 10,000 rows say what the row above them says"),
        (ods(HEAD, beside=repeated(9_000, cell(WORDS, f"<text:p>{LONG}</text:p>"))), "texts longer than"),
    ],
)  # fmt: skip
def test_what_is_no_workbook_or_goes_too_far_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(NoTable, match=says):
        read_ods(data, is_head)


def test_archive_of_another_kind_is_refused() -> None:
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", "application/epub+zip")
    with pytest.raises(NoTable, match="is no ODS workbook"):
        read_ods(out.getvalue(), is_head)
