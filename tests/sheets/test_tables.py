"""Tables of joints in files of each kind: what no number is sure to mean is marked, whatever kind the file is of."""

from __future__ import annotations

import pytest

from splicewright.sheets.table import NoTable, Unusable
from splicewright.sheets.tables import WORKBOOKS, read_tables
from tests.sheets.tables import ods, workbook

ROWS = (["id", "size", "count"], ["a", "1.500 mm2", 2])
FILES = {"xlsx": workbook(*ROWS), "ods": ods(*ROWS)}


@pytest.mark.parametrize("kind", list(WORKBOOKS))
def test_number_that_may_mean_two_is_marked_in_a_table_of_joints(kind: str) -> None:
    (found,) = read_tables(FILES[kind], kind)
    (row,) = found.rows
    assert isinstance(row.values[1], Unusable)
    assert "may mean 1500 or 1.500" in row.values[1].says
    assert [row.values[0], row.values[2]] == ["a", 2]


@pytest.mark.parametrize(("kind", "other"), [("xlsx", "ods"), ("ods", "xlsx")])
def test_workbook_under_the_ending_of_the_other_kind_is_told(kind: str, other: str) -> None:
    with pytest.raises(NoTable, match=rf"is no {kind.upper()} workbook but .*; let its name end with \.{other}"):
        read_tables(FILES[other], kind)


@pytest.mark.parametrize("kind", list(WORKBOOKS))
def test_workbook_alone_gives_each_cell_as_it_stands(kind: str) -> None:
    (found,) = WORKBOOKS[kind](FILES[kind], lambda _: False)
    assert list(found.rows[0].values) == ["a", "1.500 mm2", 2]
