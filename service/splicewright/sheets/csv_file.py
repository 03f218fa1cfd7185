"""Reads a CSV file (RFC 4180, commas, UTF-8) into a grid."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from splicewright.sheets.table import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Grid, NoTable, Row, blank

LARGEST = 50_000_000  # bytes
_ONE = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}


def read_csv(data: bytes) -> Grid | None:
    """Read the one table of a CSV file; None where the file is empty. Raises `NoTable`."""
    rows = list(csv_rows(_text(data), ","))
    return grid_of_rows(rows, ",") if rows else None


def grid_of_rows(rows: Sequence[Row], sign: str) -> Grid:
    """Make a table of rows, the first of which has the headings; what stands beyond those is complained of."""
    head, *found = rows
    complaints = []
    for row in found:
        beyond = [at for at in range(len(head.values), len(row.values)) if not blank(row.values[at])]
        if beyond:
            quote = f"quote a cell with a {_ONE.get(sign, sign)}"
            says = f"the row has {len(row.values)} cells, the headings are {len(head.values)}; {quote}"
            complaints.append((row.number, len(head.values) - 1, says))
    return Grid(None, head, found, complaints)


def _text(data: bytes) -> str:
    if len(data) > LARGEST:
        raise NoTable(f"is larger than {LARGEST:,} bytes")
    if data.count(b",") + max(data.count(b"\n"), data.count(b"\r")) > MOST_CELLS:
        raise NoTable(f"has more than {MOST_CELLS:,} cells, empty ones counted")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise NoTable("is not UTF-8 text; save it as CSV UTF-8", line) from None
    if "\0" in text:
        raise NoTable(
            "is not text: it holds a zero byte; save it as CSV UTF-8", text.count("\n", 0, text.index("\0")) + 1
        )
    return text


def csv_rows(text: str, sign: str) -> Iterator[Row]:
    """Give the rows that are not blank, each with the line on which it begins. Raises `NoTable`."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
    begins, count = 1, 0
    try:
        for values in reader:
            if len(values) > MOST_COLUMNS:
                raise NoTable(f"the row has {len(values):,} cells; {MOST_COLUMNS} are read", begins)
            if not all(blank(value) for value in values):
                count += 1
                if count > MOST_ROWS:
                    raise NoTable(f"goes beyond {MOST_ROWS:,} rows", begins)
                yield Row(begins, values)
            begins = reader.line_num + 1
    except csv.Error as error:
        raise NoTable(f"is no CSV: {error}", begins) from None
