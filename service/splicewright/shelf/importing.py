"""A workbook or a folder of CSV files to a catalogue: all of it, or every fault by its cell and nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from splicewright.catalogue import catalogue_of
from splicewright.catalogue.schema import ConnectorSchema
from splicewright.refusals import Problem, Refused
from splicewright.shelf.listings import Listing, Listings, listings_of
from splicewright.shelf.tables import Cell, CellFault, read_tables
from splicewright.strict_schema import load, made_once

Plain = dict[str, Any]
_MISSING = "is required"


@dataclass(frozen=True, slots=True)
class Imported:
    """What was read: the catalogue as plain data, or what is wrong, by cell; and notes."""

    catalogue: Plain | None
    faults: tuple[CellFault, ...]
    notes: tuple[str, ...]
    connectors: int


def import_shelf(path: Path, name: str) -> Imported:
    """Read the tables at a path into a catalogue of that name. Raises `NoTable`, `OSError`."""
    return imported(listings_of(read_tables(path)), name, path.name)


def imported(listings: Listings, name: str, origin: str) -> Imported:
    """Make a catalogue of what was read; `origin` is what it was read from."""
    faults = [*listings.faults, *(fault for one in listings.each for fault in _faults(one))]
    plain = {
        "catalogue": name,
        **listings.head,
        "from": origin,
        "connectors": [{**one.value, "from": one.rows} for one in listings.each],
    }
    if not listings.each and not faults:
        faults.append(CellFault(Cell("connectors"), "has no connector; give each a row"))
    if not faults:
        faults += _of_whole(plain, listings)
    found = tuple(sorted(dict.fromkeys(faults), key=_in_order))
    return Imported(None if found else plain, found, tuple(listings.notes), len(listings.each))


def _in_order(fault: CellFault) -> tuple[str, int, int]:
    return fault.cell.sheet, fault.cell.row, fault.cell.column


def _faults(listing: Listing) -> Iterator[CellFault]:
    """Hold one listing against what a catalogue may hold. Of one with cells missing nothing is asked for."""
    try:
        load(made_once(ConnectorSchema), listing.value)
    except Refused as error:
        for problem in error.problems:
            if listing.whole or not str(problem.says).startswith(_MISSING):
                yield CellFault(listing.cell(problem.pointer), problem.says, listing.id)


def _of_whole(plain: Plain, listings: Listings) -> Iterator[CellFault]:
    """Tell what is wrong with the catalogue as a whole."""
    try:
        catalogue_of(plain)
    except Refused as error:
        yield from (_placed(problem, listings) for problem in error.problems)


def _placed(problem: Problem, listings: Listings) -> CellFault:
    first, _, rest = problem.pointer.removeprefix("/connectors/").partition("/")
    if problem.pointer.startswith("/connectors/") and first.isdecimal():
        listing = listings.each[int(first)]
        return CellFault(listing.cell(f"/{rest}" if rest else ""), problem.says, listing.id)
    sheet = "connectors" if problem.pointer.startswith("/connectors") else "catalogue"
    return CellFault(Cell(sheet), f"{problem.pointer}: {problem.says}")
