"""A workbook or a folder of CSV files to a catalogue: all of it, or every fault by its cell and nothing.

What can be read is looked through too (`catalogue/checking.py`): what contradicts itself, and what was perhaps misread.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, NamedTuple

from splicewright.catalogue import catalogue_of
from splicewright.catalogue.checking import check_listing
from splicewright.catalogue.schema import ConnectorSchema
from splicewright.document import Document
from splicewright.refusals import Problem, Refused
from splicewright.shelf.listings import Listing, Listings, listings_of
from splicewright.shelf.table_files import read_tables
from splicewright.shelf.tables import Cell, CellFault
from splicewright.strict_schema import load, made_once

Plain = dict[str, Any]


class Doubt(NamedTuple):
    """What a look through a listing that can be read found: how grave, where, and what to look for on the carton."""

    level: Literal["error", "warning"]
    fault: CellFault
    look_for: str

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        look = {"look_for": self.look_for} if self.look_for else {}
        return {"level": self.level, **self.fault.to_dict(), **look}

    def __str__(self) -> str:
        """Give it as printed: `fillings!B7: error: twist-on: what is wrong; look for …`."""
        cell, says, connector = self.fault
        look = f"; look for {self.look_for}" if self.look_for else ""
        return ": ".join(filter(None, (str(cell), self.level, cell.heading, connector, f"{says}{look}")))


@dataclass(frozen=True, slots=True)
class Imported:
    """What was read: the catalogue as plain data, or what is wrong, by cell; doubts about what was read; and notes."""

    catalogue: Plain | None
    faults: tuple[CellFault, ...]
    doubts: tuple[Doubt, ...]
    notes: tuple[str, ...]
    connectors: int

    @property
    def doubtful(self) -> bool:
        """Whether it says something that can't be so."""
        return any(doubt.level == "error" for doubt in self.doubts)


def import_shelf(path: Path, name: str) -> Imported:
    """Read the tables at a path into a catalogue of that name, and look it through. Raises `NoTable`, `OSError`."""
    return imported(listings_of(read_tables(path)), name, path.name, look=True)


def imported(listings: Listings, name: str, origin: str, *, look: bool = False) -> Imported:
    """Make a catalogue of what was read; `origin` is what it was read from. With `look` it is looked through too."""
    told = {fault.cell for fault in listings.faults}
    faults = [*listings.faults, *(one for each in listings.each for one in _faults(each) if one.cell not in told)]
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
    doubts = _doubts(plain, listings, {fault.connector for fault in found}) if look else ()
    return Imported(
        catalogue=None if found else plain,
        faults=found,
        doubts=tuple(sorted(doubts, key=_in_order_of_cells)),
        notes=tuple(listings.notes),
        connectors=len(listings.each),
    )


def _doubts(plain: Plain, listings: Listings, faulty: set[str]) -> Iterator[Doubt]:
    """Look through the listings of which all was read."""
    whole = {one.id: one for one in listings.each if one.whole and one.id not in faulty}
    if not whole:
        return
    connectors = [one for one in plain["connectors"] if one["id"] in whole]
    for told in check_listing(Document({**plain, "connectors": connectors})):
        listing = whole.get(told.connector)
        cell = listing.cell(f"/{told.part}") if listing else Cell("catalogue")
        yield Doubt(told.level, CellFault(cell, told.says, told.connector), told.look_for)


def _in_order_of_cells(doubt: Doubt) -> tuple[str, int, int]:
    return _in_order(doubt.fault)


def _in_order(fault: CellFault) -> tuple[str, int, int]:
    return fault.cell.sheet, fault.cell.row, fault.cell.column


def _faults(listing: Listing) -> Iterator[CellFault]:
    """Hold one listing against what a catalogue may hold. Of one with cells missing nothing is asked for."""
    try:
        load(made_once(ConnectorSchema), listing.value)
    except Refused as error:
        for problem in error.problems:
            if listing.whole or problem.code != "missing":
                yield CellFault(listing.cell(problem.pointer), problem.says, listing.id)


def _of_whole(plain: Plain, listings: Listings) -> Iterator[CellFault]:
    """Tell what is wrong with the catalogue as a whole."""
    try:
        catalogue_of(plain)
    except Refused as error:
        yield from (_placed(problem, listings) for problem in error.problems)


def _placed(problem: Problem, listings: Listings) -> CellFault:
    if problem.pointer in listings.spots:
        return CellFault(listings.spots[problem.pointer], problem.says)
    first, _, rest = problem.pointer.removeprefix("/connectors/").partition("/")
    if problem.pointer.startswith("/connectors/") and first.isdecimal():
        listing = listings.each[int(first)]
        return CellFault(listing.cell(f"/{rest}" if rest else ""), problem.says, listing.id)
    sheet = "connectors" if problem.pointer.startswith("/connectors") else "catalogue"
    return CellFault(Cell(sheet), f"{problem.pointer}: {problem.says}")
