"""CSV is read strictly, and every row is found again by its line."""

from __future__ import annotations

import pytest

from splicewright.sheets.table import NoTable
from tests.sheets.tables import grid_of


def test_rows_are_numbered_by_the_line_on_which_they_begin() -> None:
    grid = grid_of('\nid,size\n\n"a\nb",12 AWG\nc,14 AWG\n')
    assert (grid.head.number, [row.number for row in grid.rows]) == (2, [4, 6])


def test_byte_order_mark_and_carriage_returns_are_taken() -> None:
    grid = grid_of(b"\xef\xbb\xbfid,size\r\na,12 AWG\r\n")
    assert (list(grid.head.values), list(grid.rows[0].values)) == (["id", "size"], ["a", "12 AWG"])


@pytest.mark.parametrize(
    ("data", "says", "row"),
    [
        (b"id,size\nfu\x81,12 AWG\n", "is not UTF-8 text", 2),
        (b"id,size\na\0,12 AWG\n", "zero byte", 2),
        (b'id,size\n"a"b,12 AWG\n', "is no CSV", 2),
        (b'id,size\na,"12 AWG\n', "is no CSV", 2),
        (b"id\n" + b"x" * 200_000, "is no CSV: field larger", 2),
    ],
)
def test_what_is_no_csv_is_told_with_its_line(data: bytes, says: str, row: int) -> None:
    with pytest.raises(NoTable) as refused:
        grid_of(data)
    assert says in refused.value.says
    assert refused.value.row == row


def test_cell_beyond_the_headings_is_told() -> None:
    grid = grid_of("id,size\na,12 AWG,\nb,12 AWG,2\n")
    assert [(row, says[:22]) for row, _, says in grid.complaints] == [(3, "the row has 3 cells, t")]
