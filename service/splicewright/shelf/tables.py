"""The tables of a shelf as they stand in a workbook or in a folder of CSV files: rows with their cells, and faults."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from splicewright.nearest_word import nearest
from splicewright.refusals import shown
from splicewright.sheets.cells import UnreadableCell
from splicewright.sheets.columns import normal
from splicewright.sheets.table import KINDS, Grid, NoTable, Row, blank, letters
from splicewright.sheets.tables import WORKBOOKS
from splicewright.sheets.text_table import read_text_table
from splicewright.shelf.cells import read_cell, read_figure
from splicewright.shelf.layout import BESIDE, FIGURE_ROWS, SHEETS, Column, Sheet, by_heading, sheet_called

_LEAST_KNOWN = 2  # headings of a sheet in the row that has them
#: What parts the cells of each kind of text: a tab, or what its headings show.
SIGNS: Mapping[str, str | None] = {"csv": None, "tsv": "\t"}
OWN = "#"  # begins the name of a sheet, file or column that is the user's own


class Cell(NamedTuple):
    """A place in a table, for people: `fillings!B7`, or row 7 of `fillings.csv` and the heading."""

    sheet: str
    row: int = 0  # 0: the table as a whole
    column: int = -1  # from 0; -1: the row as a whole
    heading: str = ""

    def __str__(self) -> str:
        """Give it as printed: `fillings!B7`, `fillings!7`, `fillings`."""
        at = letters(self.column) if self.column >= 0 else ""
        return f"{self.sheet}!{at}{self.row}" if self.row else self.sheet


class CellFault(NamedTuple):
    """What is wrong with a cell, a row or a table, and the connector that it is of, where that is known."""

    cell: Cell
    says: str
    connector: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        found: dict[str, Any] = {"cell": str(self.cell), "sheet": self.cell.sheet}
        if self.cell.row:
            found["row"] = self.cell.row
        if self.cell.heading:
            found["heading"] = self.cell.heading
        if self.connector:
            found["connector"] = self.connector
        return {**found, "says": str(self.says)}

    def __str__(self) -> str:
        """Give it as printed: `fillings!B7: size: twist-on: what is wrong`."""
        return ": ".join(filter(None, (str(self.cell), self.cell.heading, self.connector, str(self.says))))


@dataclass(frozen=True)
class TableRow:
    """One row that holds something: its values by the keys of their columns, and where each stands."""

    sheet: str
    number: int
    values: Mapping[str, Any]
    bad: frozenset[str]  # keys whose cells can't be read
    _at: Mapping[str, tuple[int, str]] = field(repr=False)  # key -> column (from 0; -1: it is not there), heading

    def cell(self, key: str = "") -> Cell:
        """Give the cell of a key; of one without a column the row, and the heading that is not there."""
        at, heading = self._at.get(key, (-1, ""))
        return Cell(self.sheet, self.number, at, heading)


@dataclass
class Tables:
    """The rows of each sheet, what is wrong with cells, headings and sheets, and what was passed over."""

    rows: dict[str, list[TableRow]] = field(default_factory=dict)
    faults: list[CellFault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def complete(self) -> bool:
        """Whether every sheet that is there was read, so that what is not in them is nowhere."""
        return all(fault.cell.row for fault in self.faults)


def kind_of(path: Path) -> str:
    """Give the kind of table that a file is, by its name; empty where it is none."""
    return KINDS.get(path.suffix.lower(), "")


def tables_in_workbook(data: bytes, kind: str) -> Tables:
    """Read the sheets of a workbook of a kind, `xlsx` or `ods`. Raises `NoTable`."""
    found = Tables()
    for grid in WORKBOOKS[kind](data, _is_any_head):
        name = str(grid.sheet)
        if normal(name) in BESIDE or name.startswith(OWN):
            continue
        sheet = sheet_called(name)
        if sheet is None:
            found.faults.append(CellFault(Cell(name), _unknown("sheet", name, _by_headings(grid))))
        elif grid.hidden:
            says = "is hidden, so nobody sees what it says; show it, or begin its name with # to have it passed over"
            found.faults.append(CellFault(Cell(name), says))
        else:
            _add(found, sheet, grid, csv=False)
    return _with_connectors(found, "sheet called connectors")


def tables_in_files(files: Mapping[str, bytes], told: Tables | None = None) -> Tables:
    """Read CSV and TSV files, by their names, into what was `told` of their folder. Raises `NoTable`."""
    found = told or Tables()
    for name, data in files.items():
        stem = Path(name).stem
        if stem in BESIDE:
            continue
        sheet = sheet_called(stem)
        if sheet is None:
            found.faults.append(CellFault(Cell(name), _unknown("file", stem)))
            continue
        try:
            grid = read_text_table(data, partial(_is_head, by_heading(sheet)), SIGNS[kind_of(Path(name))])
        except NoTable as error:
            says = f"line {error.row}: {error.says}" if error.row else error.says
            found.faults.append(CellFault(Cell(sheet.name), says))
            continue
        if grid is not None:
            _add(found, sheet, grid, csv=True)
    return _with_connectors(found, "file connectors.csv")


def _is_head(of_sheet: Mapping[str, Column], values: Sequence[Any]) -> bool:
    """Tell whether a row holds the headings of a sheet, given by them: what stands above it is a title."""
    headings = [normal(str(value)) for value in values if not blank(value) and not str(value).strip().startswith(OWN)]
    known = len(of_sheet.keys() & set(headings))
    return known >= _LEAST_KNOWN and 2 * known >= len(headings)


def _is_any_head(values: Sequence[Any]) -> bool:
    return any(_is_head(by_heading(sheet), values) for sheet in SHEETS)


def _add(found: Tables, sheet: Sheet, grid: Grid, *, csv: bool) -> None:
    if sheet.name in found.rows:
        found.faults.append(CellFault(Cell(sheet.name), "stands twice"))
    else:
        found.rows[sheet.name] = list(_rows(sheet, grid, found, csv=csv))


def _with_connectors(found: Tables, what: str) -> Tables:
    if "connectors" not in found.rows:
        says = f"there is no {what}; `splicewright catalogue new` writes one"
        if not found.faults:
            raise NoTable(says)
        found.faults.append(CellFault(Cell("connectors"), says))
    return found


def _by_headings(grid: Grid) -> str | None:
    """Give the name of the sheet that has most of a table's headings; None where none has those."""
    given = {normal(str(value)) for value in grid.head.values if not blank(value)}
    known = {len(by_heading(sheet).keys() & given): sheet.name for sheet in reversed(SHEETS)}
    return known[max(known)] if _is_any_head(grid.head.values) else None


def _unknown(what: str, name: str, guess: str | None = None) -> str:
    guess = nearest(normal(name), [sheet.name for sheet in SHEETS]) or guess
    meant = f"did you mean {guess!r}?" if guess else f"known are {', '.join(sheet.name for sheet in SHEETS)}."
    return f"unknown {what}; {meant} Begin its name with # to have it passed over"


# --- rows ----------------------------------------------------------------------------------------


def _rows(sheet: Sheet, grid: Grid, into: Tables, *, csv: bool) -> Iterator[TableRow]:
    faults = into.faults
    columns, own = _headings(sheet, grid, faults)
    for number, at, says in grid.complaints:
        if at not in own:
            faults.append(CellFault(_cell(sheet, grid, number, at), says))
    at_of = {column.key: (-1, column.heading) for column in sheet.columns}
    at_of |= {column.key: (at, column.heading) for at, column in columns.items()}
    known = by_heading(sheet)
    for row in grid.rows:
        first = next((value for value in row.values if not blank(value)), None)
        if normal(str(first)) in known and _is_head(known, row.values):
            _head_again(sheet, grid, row, into)
            continue
        found, wrong = _row(sheet, columns, row, at_of, csv=csv)
        if not found.values and not found.bad:
            continue
        faults += wrong
        given = {*found.values, *found.bad, *(["value"] if "figure" in found.bad else [])}
        faults += [
            CellFault(found.cell(column.key), f"is needed: {column.told}")
            for at, column in columns.items()
            if column.required and column.key not in given and not grid.is_merged(row.number, at)
        ]
        yield found


def _row(
    sheet: Sheet, columns: Mapping[int, Column], row: Row, at_of: Mapping[str, tuple[int, str]], *, csv: bool
) -> tuple[TableRow, list[CellFault]]:
    """Read the cells of a row, and tell those that can't be read."""
    values: dict[str, Any] = {}
    bad: set[str] = set()
    faults = []
    for at, column in columns.items():
        value = row.values[at] if at < len(row.values) else None
        if blank(value):
            continue
        try:
            read = _read(sheet, column, value, row, at_of, csv=csv)
        except UnreadableCell as error:
            faults.append(CellFault(Cell(sheet.name, row.number, at, column.heading), str(error)))
            bad.add(column.key)
            read = error.meant or None  # what else is wrong is told of what is meant
        if read is not None:
            values[column.key] = read
    return TableRow(sheet.name, row.number, values, frozenset(bad), at_of), faults


def _head_again(sheet: Sheet, grid: Grid, row: Row, into: Tables) -> None:
    """Pass over the headings where they are repeated; tell those of another table."""
    cell = Cell(sheet.name, row.number)
    if _as_compared(row) == _as_compared(grid.head):
        into.notes.append(f"{cell}: repeats the headings; passed over")
    else:
        says = f"has headings again, and others; put what follows under those of row {grid.head.number}"
        into.faults.append(CellFault(cell, says))


def _as_compared(row: Row) -> list[str]:
    return [normal(str(value)) for value in row.values if not blank(value)]


def _read(
    sheet: Sheet, column: Column, value: Any, row: Row, at_of: Mapping[str, tuple[int, str]], *, csv: bool
) -> Any:
    if sheet is FIGURE_ROWS and column.key == "value":
        at = at_of.get("figure", (-1, ""))[0]
        named = row.values[at] if 0 <= at < len(row.values) else None
        return read_figure(normal(str(named)), column, value, csv=csv)
    return read_cell(column, value, csv=csv)


def _headings(sheet: Sheet, grid: Grid, faults: list[CellFault]) -> tuple[dict[int, Column], set[int]]:
    """Tell which columns a grid has, and which of them are the user's own."""
    known = by_heading(sheet)
    columns: dict[int, Column] = {}
    own: set[int] = set()
    for at, value in enumerate(grid.head.values):
        cell = Cell(sheet.name, grid.head.number, at)
        if blank(value):
            if any(at < len(row.values) and not blank(row.values[at]) for row in grid.rows):
                faults.append(CellFault(cell, "the column has no heading; give it one, such as # notes"))
            continue
        if str(value).strip().startswith(OWN):
            own.add(at)
            continue
        column = known.get(normal(str(value)))
        if column is None:
            guess = nearest(normal(str(value)), known)
            meant = f"did you mean {guess!r}?" if guess else "it is none of this sheet's."
            faults.append(
                CellFault(cell, f"unknown column {shown(value)}; {meant} Begin it with # to keep it your own")
            )
        elif column in columns.values():
            faults.append(CellFault(cell, f"the column {column.heading!r} stands twice"))
        else:
            columns[at] = column
    faults += [
        CellFault(Cell(sheet.name, grid.head.number), f"there is no column {column.heading!r}")
        for column in sheet.columns
        if column.required and column not in columns.values()
    ]
    return columns, own


def _cell(sheet: Sheet, grid: Grid, number: int, at: int) -> Cell:
    heading = grid.head.values[at] if at < len(grid.head.values) else None
    return Cell(sheet.name, number, at, "" if blank(heading) else str(heading).strip())
