"""The cells of a user's table as they are written again beside an answer: numbers as numbers, all else as it was."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from splicewright.sheets.cells import UnreadableCell, read_cell
from splicewright.sheets.columns import Column, by_heading, normal
from splicewright.sheets.table import Grid, Row, Unusable, blank
from splicewright.units import counted

OWN = "answer"  # begins the headings of what is written beside


def kept_cell(grid: Grid, row: Row, at: int, column: Column | None = None) -> Any:
    """Give a cell as it was; a number that a text file wrote where numbers stand as that.

    `column` is what the cell's heading means; where it is not given the heading says it.
    """
    value = row.values[at] if at < len(row.values) else None
    if blank(value):
        return None
    if isinstance(value, Unusable):
        return str(value) or None
    if isinstance(value, float) and value.is_integer():
        return int(value)
    column = column or by_heading().get(normal(str(grid.head.values[at])))
    return as_number(value, column) if isinstance(value, str) and column is not None else value


def as_number(text: str, column: Column) -> Any:
    """Give text of a column of numbers as the number that it writes; any other text as it is."""
    if column.kind != "number":
        return text
    try:
        read = read_cell(column, text)
    except UnreadableCell:
        return text
    return read if str(read) == text.strip() else text


def kept_columns(grid: Grid) -> list[int]:
    """Give the columns (from 0) that are the user's: all but those of an earlier answer."""
    return [at for at, one in enumerate(grid.head.values) if not normal(str(one or "")).startswith(OWN)]


def lost_cells(grid: Grid, read: Collection[int]) -> Iterator[str]:
    """Word, for each column but those that are `read`, how many of its cells have no value to write again, and why."""
    for at in kept_columns(grid):
        lost: dict[str, list[Row]] = {}
        for row in grid.rows if at not in read else ():
            value = row.values[at] if at < len(row.values) else None
            if isinstance(value, Unusable) and not str(value):
                lost.setdefault(value.says, []).append(row)
        for says, rows in lost.items():
            spot = grid.spot(rows[0].number, at)
            where = f"{spot.sheet}!{spot.cell}" if spot.sheet else spot.line
            more = f", with {counted(len(rows) - 1, 'further cell')} below it" if len(rows) > 1 else ""
            yield f"{where}: {spot.heading}: left empty in the report{more}: {says}"
