"""Tells the tables of a catalogue from tables of joints, so that neither is read as the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from splicewright.sheets.columns import by_heading as of_joints
from splicewright.sheets.columns import is_called, nearest_column, normal, passed_over
from splicewright.sheets.joints import is_head
from splicewright.sheets.table import KINDS, Grid, NoTable, blank
from splicewright.sheets.text_table import MOST_TITLES, read_text_table
from splicewright.shelf.layout import BESIDE, CONNECTORS, Sheet, by_heading, sheet_called

_SIZE = "size"
_BEGIN = 100_000  # bytes of a file of connectors that are looked at
_LEAST_KNOWN = 2


class CatalogueTables(NamedTuple):
    """What `splicewright catalogue check` takes, a workbook or a folder, and which tables are of it."""

    at: Path
    grids: Sequence[Grid]


def catalogue_tables(path: Path, grids: Sequence[Grid], mapped: Mapping[str, str]) -> CatalogueTables | None:
    """Tell which of a file's tables are those of a catalogue; None where it has none.

    They are called like a catalogue's sheets, stand beside one of connectors, and have more of the headings of theirs
    than of a table of joints. `mapped` gives for headings of the user's own the columns of joints that they are.
    """
    if KINDS.get(path.suffix.lower()) in ("csv", "tsv"):
        beside = _connectors_beside(path, mapped)
        found = [grid for grid in grids if _is_of_catalogue(path.stem, grid, mapped)]
        return CatalogueTables(path.parent, found) if beside and found else None
    found = [grid for grid in grids if _is_of_catalogue(str(grid.sheet), grid, mapped)]
    has_connectors = any(normal(str(grid.sheet)) == CONNECTORS.name for grid in found)
    return CatalogueTables(path, found) if has_connectors else None


def _connectors_beside(path: Path, mapped: Mapping[str, str]) -> bool:
    """Tell whether a catalogue's table of connectors stands in the folder of a file."""
    try:
        with path.with_name(f"{CONNECTORS.name}{path.suffix}").open("rb") as stream:
            data = stream.read(_BEGIN)
        begin = data[: data.rfind(b"\n") + 1] if len(data) == _BEGIN else data
        grid = read_text_table(begin, lambda values: is_head(values) or _known(CONNECTORS, values) >= _LEAST_KNOWN)
    except (OSError, NoTable):
        return False
    return grid is not None and _is_of_catalogue(CONNECTORS.name, grid, mapped)


def _is_of_catalogue(name: str, grid: Grid, mapped: Mapping[str, str]) -> bool:
    """Tell whether a table of this name is a catalogue's, by the row of it that has most headings of that sheet."""
    sheet = sheet_called(name)
    rows = [row.values for row in (grid.head, *grid.rows[:MOST_TITLES])]
    if sheet is None:
        return normal(name) in BESIDE and not any(is_head(row, mapped) for row in rows)
    head = max(rows, key=lambda row: _known(sheet, row))
    known, joints = _known(sheet, head), _known_of_joints(head, mapped)
    more = known > joints or (known == joints and not _says_size(head, mapped))
    return known >= _LEAST_KNOWN and 2 * known >= len(_headings(head)) and more


def _headings(values: Sequence[Any]) -> list[str]:
    return [normal(str(one)) for one in values if not blank(one) and not passed_over(str(one))]


def _known(sheet: Sheet, values: Sequence[Any]) -> int:
    return len(by_heading(sheet).keys() & set(_headings(values)))


def _known_of_joints(values: Sequence[Any], mapped: Mapping[str, str]) -> int:
    own = {normal(heading) for heading in mapped}
    return sum(one in of_joints() or one in own or is_called(one) for one in _headings(values))


def _says_size(values: Sequence[Any], mapped: Mapping[str, str]) -> bool:
    meant = {normal(heading): column for heading, column in mapped.items()}
    return any(nearest_column(meant.get(one, one)) == _SIZE for one in _headings(values))
