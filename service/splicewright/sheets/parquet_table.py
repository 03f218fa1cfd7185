"""Reads a Parquet file whose columns are those of a table of joints."""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from splicewright.sheets.parquet_extent import row_groups
from splicewright.sheets.table import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Grid, NoTable, Row, Unusable

MOST_BYTES = 100_000_000  # unpacked, of a column in one row group
_VALUES = (str, int, float, bool, dt.date, dt.time)


def read_parquet_table(path: Path) -> list[Grid]:
    """Read the table of a file, as one without a sheet: rows are numbered from 1, the headings'. Raises `NoTable`."""
    try:
        table = _read(path)
        values = [column.to_pylist() for column in table.columns]
    except (pa.ArrowException, UnicodeDecodeError) as error:
        raise NoTable(f"is no Parquet file: {str(error)[:200]}") from None
    found = [Row(number, [_value(one) for one in row]) for number, row in enumerate(zip(*values, strict=True), start=2)]
    return [Grid(None, Row(1, table.column_names), found)]


def _read(path: Path) -> pa.Table:
    try:
        groups = row_groups(path)
    except ValueError as error:
        raise NoTable(f"is no Parquet file: {error}") from None
    rows, columns = sum(group.rows for group in groups), len(pq.read_schema(path).names)
    if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        raise NoTable(f"goes beyond {MOST_ROWS:,} rows, {MOST_COLUMNS} columns or {MOST_CELLS:,} cells")
    if any(group.bytes > MOST_BYTES for group in groups):
        raise NoTable(f"has a column of more than {MOST_BYTES:,} bytes")
    return pq.read_table(path)


def _value(value: Any) -> Any:
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, float) and not math.isfinite(value):
        return None if math.isnan(value) else Unusable("holds no finite number")  # some programs write none so
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return ", ".join(value)
    return value if value is None or isinstance(value, _VALUES) else Unusable("holds no text, number or day")
