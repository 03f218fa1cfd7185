"""Tables in text are read where that is sure: their signs, letters and numbers are told by cell where it is not."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.sheets.joints import is_head
from splicewright.sheets.table import Grid, NoTable, Unusable
from splicewright.sheets.text_table import read_text_table


def read(text: str | bytes, sign: str | None = None) -> Grid:
    found = read_text_table(text if isinstance(text, bytes) else text.encode(), is_head, sign)
    assert found is not None
    return found


def cells(grid: Grid) -> list[Any]:
    return [value.says if isinstance(value, Unusable) else value for row in grid.rows for value in row.values]


@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
def test_what_parts_the_cells_is_told_by_the_headings(sign: str) -> None:
    found = read(f"Boathouse\nid{sign}size{sign}count\na{sign}12 AWG{sign}2\n")
    assert (found.head.number, cells(found)) == (2, ["a", "12 AWG", "2"])


def test_declared_sign_is_taken_and_lines_keep_their_numbers() -> None:
    found = read("sep=;\r\nid;size;count\r\na;12 AWG;2\r\n")
    assert (found.head.number, [row.number for row in found.rows]) == (2, [3])


def test_title_with_commas_is_no_heading() -> None:
    found = read("Boathouse, North, 2026\nsize of job: small, count of boxes: 3\n\nid,size,count\na,12 AWG,2\n")
    assert (found.head.number, cells(found)) == (4, ["a", "12 AWG", "2"])


@pytest.mark.parametrize("data", [b"\n", b"\n , \n"])
def test_empty_text_has_no_table(data: bytes) -> None:
    assert read_text_table(data, is_head) is None


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_text_that_says_how_it_is_written_is_read(encoding: str) -> None:
    assert cells(read("id;size;count\nK\xfcche;2.5 mm\xb2;2\n".encode(encoding))) == ["K\xfcche", "2.5 mm\xb2", "2"]


def test_letters_that_are_not_sure_are_told_by_cell() -> None:
    found = read("id,size,count\nK\xfcche,2.5 mm\xb2,2\n".encode("cp1252"))
    name, size, count = (value for row in found.rows for value in row.values)
    assert (str(name), count) == ("K\xfcche", "2")
    assert "letters that are not sure" in size.says


@pytest.mark.parametrize(
    ("cell", "says"),
    [
        ("1.234", "'1.234' may mean 1234 or 1.234; write 1234 or 1.2340"),
        ("1.500 mm2", "may mean 1500 or 1.500"),
        ("-1.234 V", "may mean -1234"),
    ],
)
def test_point_that_may_part_thousands_is_told(cell: str, says: str) -> None:
    assert says in cells(read(f"id;size;count\na;{cell};2\n"))[1]


@pytest.mark.parametrize("cell", ["1.25", "0.125", "12.3456", "1.125 in", "1234", "a1.234", "2.5 mm2"])
def test_number_that_means_one_thing_is_read(cell: str) -> None:
    assert cells(read(f"id;size;count\na;{cell};2\n"))[1] == cell


def test_where_commas_part_cells_a_point_parts_decimals() -> None:
    assert cells(read("id,size,count\na,1.234 mm2,2\n"))[1] == "1.234 mm2"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("id,size\n".encode("utf-16")[:-1], "no whole UTF-16"),
        (b"id,size\n\x81\n", "not UTF-8"),
        ("id,size\n".encode("utf-16-le"), "zero byte"),
        (b"id,size\n" + b"," * 5_000_001, "more than 5,000,000 cells"),
        (b'id;size;count\n"a"b;c;d\n', "is no CSV"),
    ],
)
def test_text_that_is_no_table_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(NoTable, match=says):
        read_text_table(data, is_head)
