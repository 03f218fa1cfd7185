"""Parts the text of a CSV file (RFC 4180, whatever sign parts its cells) into rows, and makes a grid of them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from splicewright.sheets.table import MOST_COLUMNS, MOST_ROWS, Grid, NoTable, Row, blank

_ONE = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}


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
