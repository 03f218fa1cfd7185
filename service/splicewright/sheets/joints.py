"""The rows of a grid to joints: each a question as plain data, and where each part of it stands."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.refusals import Says, shown
from splicewright.sheets.cells import UnreadableCell, read_cell
from splicewright.sheets.columns import (
    PASSED,
    QUANTITY,
    Column,
    by_heading,
    is_called,
    nearest_column,
    normal,
    passed_over,
)
from splicewright.sheets.table import Grid, Row, Spot, blank

_LARGEST_QUANTITY = 1_000_000
_HINTS = 8  # headings that are mapped in a hint
_LEAST_KNOWN = 2  # headings, of a table of joints


@dataclass(frozen=True, slots=True)
class CellFault:
    """What is wrong with one cell."""

    spot: Spot
    says: str
    pointer: str = ""


@dataclass(frozen=True, slots=True)
class Headings:
    """Which column of the grid (from 0) holds which column of the layout, and what is wrong with the headings."""

    at: Mapping[int, Column]
    faults: tuple[CellFault, ...]
    known: int  # headings that are known or nearly so
    given: int  # headings that are not blank and not passed over
    others: Mapping[int, str]  # the other columns but those of an earlier answer: headings as they would be read again

    @property
    def of_joints(self) -> bool:
        """Whether this looks like a table of joints: at least half of its headings, and two of them, are ours."""
        return self.known >= _LEAST_KNOWN and 2 * self.known >= self.given


@dataclass(frozen=True)
class SheetJoint:
    """One joint of a table: a question as plain data (with `proposal`, `quantity` and `waive` where given)."""

    value: Mapping[str, Any]
    faults: tuple[CellFault, ...]  # of its cells; such a cell is left out of `value`
    grid: Grid
    rows: tuple[Row, ...]
    _at: Mapping[str, int]  # pointer of a layout's column -> column of the grid
    others: Mapping[int, str] = field(default_factory=dict)  # as in `Headings`

    def spot(self, pointer: str) -> Spot:
        """Give the cell of the part at a JSON Pointer into `value`, else the first of its row."""
        parts = pointer.split("/")
        row = self.rows[0]
        if parts[1:3] == ["joint", "conductors"] and len(parts) > 3 and parts[3].isdecimal():
            row = self.rows[min(int(parts[3]), len(self.rows) - 1)]
            parts[3] = "*"
        elif parts[1:2] == ["waive"]:
            del parts[2:3]  # all waivers of a row have one cell
        while len(parts) > 1:
            at = self._at.get("/".join(parts))
            if at is not None:
                return self.grid.spot(self._stating(row, at, "*" in parts).number, at)
            parts.pop()
        return self.grid.spot(row.number, self._at.get("/joint/conductors/*/size", min(self._at.values(), default=0)))

    @property
    def columns(self) -> Mapping[str, int]:
        """The columns of the grid (from 0) by the pointers of what is read from them."""
        return self._at

    def _stating(self, row: Row, at: int, of_conductor: bool) -> Row:
        """Give the first row that states a value which is the joint's."""
        if of_conductor:
            return row
        return next((one for one in self.rows if not blank(_value(one, at))), row)


def is_head(values: Sequence[Any], mapped: Mapping[str, str] | None = None) -> bool:
    """Tell whether a row holds the headings of a table of joints, by those that are written right.

    `mapped` is told at `read_headings`.
    """
    headings = [normal(str(value)) for value in values if not blank(value) and not passed_over(str(value))]
    own = {normal(heading) for heading in mapped or ()}
    right = sum(heading in by_heading() or heading in own for heading in headings)
    known = right + _called(right, sum(is_called(heading, telling=True) for heading in headings))
    return right >= _LEAST_KNOWN and 2 * known >= len(headings)


def _called(right: int, called: int) -> int:
    """Give how many headings count as known that are only called so: some, where enough others are right."""
    return called if right >= _LEAST_KNOWN else 0


def read_headings(grid: Grid, mapped: Mapping[str, str] | None = None) -> Headings:
    """Tell which columns a grid has.

    `mapped` gives for headings of the user's own the columns that they are, or `#` for one that is passed over.
    """
    meant = {normal(heading): column for heading, column in (mapped or {}).items()}
    at: dict[int, Column] = {}
    others: dict[int, str] = {}
    faults: list[CellFault] = []
    guesses = set[str | None]()
    known = right = called = given = 0
    for number, value in enumerate(grid.head.values):
        if blank(value) or (isinstance(value, str) and passed_over(value)):
            if blank(value) and any(not blank(_value(row, number)) for row in grid.rows):
                faults.append(CellFault(grid.spot(grid.head.number, number), "the column has no heading"))
            elif not blank(value) and str(value).strip().startswith(PASSED):
                others[number] = str(value)
            continue
        heading = str(value)
        own = meant.get(normal(heading))
        if own == PASSED:
            others[number] = f"{PASSED} {heading}"
            continue
        given += 1
        wanted = own or heading
        column = by_heading().get(normal(wanted))
        guess = nearest_column(wanted) if column is None else None
        guesses.add(guess)
        if column is None and is_called(wanted):
            called += is_called(wanted, telling=True)
        else:
            right += column is not None
            known += column is not None or guess is not None
        if column is None:
            others[number] = heading
            says = Says(f"unknown column {shown(wanted)}; {_instead(guess)}", "unknown-key", guess)
            faults.append(CellFault(grid.spot(grid.head.number, number), says))
        elif column in at.values():
            others[number] = heading
            faults.append(CellFault(grid.spot(grid.head.number, number), f"the column {column.name!r} stands twice"))
        else:
            at[number] = column
    if known and "size" not in guesses | {column.name for column in at.values()}:
        faults.append(CellFault(grid.spot(grid.head.number, 0), "there is no column 'size'"))
    return Headings(at, tuple(faults), known + _called(right, called), given, others)


def mapping_hint(grids: Iterable[Grid], mapped: Mapping[str, str] | None = None) -> str:
    """Word how the headings of tables may be mapped, with a column for each that is perhaps meant."""
    found: dict[str, str] = {}
    others: list[str] = []
    for grid in grids:
        for fault in read_headings(grid, mapped).faults:
            if not isinstance(fault.says, Says) or not fault.spot.heading:
                continue
            if fault.says.nearest:
                found.setdefault(fault.says.nearest, fault.spot.heading)
            else:
                others.append(fault.spot.heading)
    told = ",".join(f"{heading}={column}" for column, heading in list(found.items())[:_HINTS])
    passed = f", and pass over what is none of these by {others[0]}={PASSED}" if others else ""
    return f'map your own, such as --columns "{told or "Wire=size,Qty=count"}"{passed}'


def _instead(guess: str | None) -> str:
    if guess:
        return f"did you mean {guess!r}?"
    return "begin it with # to have it passed over"


def read_joints(grid: Grid, headings: Headings) -> Iterator[SheetJoint]:
    """Give each joint of a grid in turn. Rows that follow each other with one `id` are conductors of one joint."""
    id_at = next((at for at, column in headings.at.items() if column.pointer == "/id"), None)
    pointers = {column.pointer: at for at, column in headings.at.items()}
    complaints: dict[int, list[tuple[int, str]]] = {}
    for row, at, says in grid.complaints:
        complaints.setdefault(row, []).append((at, says))
    seen: dict[str, int] = {}
    for rows in _together(grid.rows, id_at):
        faults = [
            CellFault(grid.spot(row.number, at), says) for row in rows for at, says in complaints.get(row.number, ())
        ]
        if id_at is not None:
            faults += _faults_of_id(grid, rows[0], id_at, seen)
        value, more = _value_of(grid, rows, headings.at)
        yield SheetJoint(value, tuple(faults + more), grid, rows, pointers, headings.others)


def faults_beside(grid: Grid) -> Iterator[CellFault]:
    """Give the complaints about rows that no joint has, such as the headings'."""
    numbers = {row.number for row in grid.rows}
    return (CellFault(grid.spot(row, at), says) for row, at, says in grid.complaints if row not in numbers)


def _together(rows: Sequence[Row], id_at: int | None) -> Iterator[tuple[Row, ...]]:
    if id_at is None:
        return ((row,) for row in rows)
    keyed = enumerate(rows)
    return (
        tuple(row for _, row in group)
        for _, group in itertools.groupby(
            keyed, lambda pair: str(_value(pair[1], id_at)).strip() if not blank(_value(pair[1], id_at)) else pair[0]
        )
    )


def _faults_of_id(grid: Grid, row: Row, id_at: int, seen: dict[str, int]) -> Iterator[CellFault]:
    value = _value(row, id_at)
    spot = grid.spot(row.number, id_at)
    if blank(value):
        yield CellFault(spot, "has no id; write the joint's id in each of its rows", "/id")
        return
    first = seen.setdefault(str(value).strip(), row.number)
    if first != row.number:
        yield CellFault(
            spot, f"{shown(value)} already stands in row {first}; put the rows of one joint together", "/id"
        )


def _value_of(grid: Grid, rows: tuple[Row, ...], at: Mapping[int, Column]) -> tuple[dict[str, Any], list[CellFault]]:
    found: dict[str, Any] = {"joint": {"conductors": [{} for _ in rows]}}
    faults: list[CellFault] = []
    for number, column in at.items():
        if column.of_conductor:
            for place, row in enumerate(rows):
                for value in _read(grid, row, number, column, faults, place):
                    found["joint"]["conductors"][place][column.keys[-1]] = value
        else:
            _set(found, column, _of_joint(grid, rows, number, column, faults))
    return _waivers(found), faults


def _of_joint(grid: Grid, rows: Iterable[Row], number: int, column: Column, faults: list[CellFault]) -> list[Any]:
    """Read what all rows of a joint have to agree on: a list of one value, or of none."""
    found: list[Any] = []
    for row in rows:
        for value in _read(grid, row, number, column, faults):
            if found and found[0] != value:
                says = (
                    f"{shown(_value(row, number))} differs from an earlier row of the same joint; one of them is wrong"
                )
                faults.append(CellFault(grid.spot(row.number, number), says, column.pointer))
            found = found or [value]
    return found


def _read(
    grid: Grid, row: Row, number: int, column: Column, faults: list[CellFault], place: int | None = None
) -> Iterator[Any]:
    value = _value(row, number)
    if blank(value):
        return
    pointer = column.pointer.replace("*", str(place))
    try:
        read = read_cell(column, value)
    except UnreadableCell as error:
        faults.append(CellFault(grid.spot(row.number, number), str(error), pointer))
        return
    if column is QUANTITY and not (isinstance(read, int) and 1 <= read <= _LARGEST_QUANTITY):
        says = f"{shown(read)} is no number of joints; write 1 to {_LARGEST_QUANTITY:,}"
        faults.append(CellFault(grid.spot(row.number, number), says, pointer))
        return
    yield read


def _set(found: dict[str, Any], column: Column, values: list[Any]) -> None:
    for value in values:
        *parts, last = column.keys
        into = found
        for part in parts:
            into = into.setdefault(part, {})
        into[last] = value


def _waivers(found: dict[str, Any]) -> dict[str, Any]:
    """Make one waiver for each rule named, all with the reason and day of the row."""
    given = found.pop("waive", None)
    if given:
        found["waive"] = [{**given, "rule": rule} for rule in given.get("rule", ())] or [given]
    return found


def _value(row: Row, at: int) -> Any:
    return row.values[at] if at < len(row.values) else None
