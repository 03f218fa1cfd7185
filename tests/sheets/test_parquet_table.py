"""Parquet files with the columns of a table of joints are read within bounds."""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from splicewright.sheets import parquet_table
from splicewright.sheets.parquet_table import read_parquet_table
from splicewright.sheets.table import NoTable, Unusable


def read(tmp_path: Path, **columns: list[Any]) -> list[Any]:
    pq.write_table(pa.table(columns), tmp_path / "a.parquet")
    (grid,) = read_parquet_table(tmp_path / "a.parquet")
    assert list(grid.head.values) == list(columns)
    return [value for row in grid.rows for value in row.values]


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ("a", "a"), (2, 2), (2.5, 2.5), (True, True), (None, None), (math.nan, None), (Decimal("1.50"), 1.5),
        (["THHN", "THWN-2"], "THHN, THWN-2"), (dt.date(2026, 3, 1), dt.date(2026, 3, 1)),
    ],
)  # fmt: skip
def test_cell_has_its_value(tmp_path: Path, value: Any, found: Any) -> None:
    assert read(tmp_path, size=[value]) == [found]


@pytest.mark.parametrize("value", [math.inf, {"value": 2}, b"\xff"])
def test_cell_that_is_no_value_to_read_is_told(tmp_path: Path, value: Any) -> None:
    (found,) = read(tmp_path, size=[value])
    assert isinstance(found, Unusable)


@pytest.mark.parametrize(
    ("bound", "most"), [("MOST_ROWS", 1), ("MOST_COLUMNS", 1), ("MOST_CELLS", 3), ("MOST_BYTES", 9)]
)
def test_file_that_holds_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bound: str, most: int
) -> None:
    monkeypatch.setattr(parquet_table, bound, most)
    with pytest.raises(NoTable, match=r"goes beyond|a column of more"):
        read(tmp_path, id=["a", "b"], size=["12 AWG", "14 AWG"])


def test_file_that_is_none_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.parquet").write_bytes(b"PAR1")
    with pytest.raises(NoTable, match="is no Parquet file"):
        read_parquet_table(tmp_path / "a.parquet")
