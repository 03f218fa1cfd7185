"""The rows of a shelf's tables to listings as a catalogue file writes them, each part with the cell that says it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.catalogue.fields import GROUPS
from splicewright.catalogue.schema import FACTS
from splicewright.json_pointer import join
from splicewright.nearest_word import nearest
from splicewright.question.vocabulary import MAKE_UP_FIGURES, METHODS
from splicewright.refusals import not_allowed, shown
from splicewright.shelf.cells import read_cell
from splicewright.shelf.layout import CATALOGUE, CONNECTORS, EXAMPLE_SAYS, EXAMPLES, OF_ALL, SHEETS, TAKES
from splicewright.shelf.tables import Cell, CellFault, TableRow, Tables
from splicewright.shelf.takes_of_rows import Spotted, takes_of

Plain = dict[str, Any]
_MINUTES = next(column for column in CONNECTORS.columns if column.key == "minutes")
NOTE = "Entered from cartons."
_MOST_GUESSED = 100  # unknown connectors that the nearest known one is told of: each is held against all there are
_OF_CONNECTOR = tuple(sheet.name for sheet in SHEETS if sheet not in (CONNECTORS, CATALOGUE))
_COLUMN_AT = {join("", *column.key.split(".")): column for column in CONNECTORS.columns if column.key not in GROUPS}
#: The fields of a connector in the order in which a file has them.
_ORDER = (
    "id", "name", "about", "method", "takes", "places", "resists", "volts", "luminaire_volts", "degrees", "amps",
)  # fmt: skip
_LAST = ("grounding", "tool", *MAKE_UP_FIGURES, "outside", *FACTS)


@dataclass
class Listing:
    """One connector as read: what a file writes of it, where each part stands, and whether cells are missing in it."""

    id: str
    value: Plain
    spots: dict[str, Cell]
    row: TableRow  # on the sheet connectors
    whole: bool = True

    def cell(self, pointer: str) -> Cell:
        """Give the cell of the part at a pointer into it; of what it does not say the blank one, or the nearest."""
        blank = None if pointer in self.spots else _COLUMN_AT.get(pointer)
        if blank and (cell := self.row.cell(blank.key)).column >= 0:
            return cell
        while pointer and pointer not in self.spots:
            pointer = pointer.rpartition("/")[0]
        return self.spots[pointer]._replace(heading=blank.heading) if blank else self.spots[pointer]

    @property
    def rows(self) -> dict[str, str]:
        """The row of each part that stands in another one than what is around it, as a file tells it."""
        found: dict[str, str] = {}
        for pointer in sorted(self.spots, key=lambda one: (one.count("/"), one)):
            row = str(self.spots[pointer]._replace(column=-1))
            around = pointer
            while around and (around == pointer or around not in found):
                around = around.rpartition("/")[0]
            if not pointer or row != found[around]:
                found[pointer] = row
        return found


@dataclass
class Listings:
    """What the tables say: of all connectors, and of each; what is wrong, and what was passed over."""

    head: Plain
    each: list[Listing]
    faults: list[CellFault]
    notes: list[str] = field(default_factory=list)
    spots: dict[str, Cell] = field(default_factory=dict)  # of what is said of all connectors


def listings_of(tables: Tables) -> Listings:
    """Put the rows of each connector together. What can't be put together is told by cell."""
    found = Listings({}, [], list(tables.faults), list(tables.notes))
    found.head = _head(tables, found)
    passed_over = _examples(tables)
    known = _known(tables, passed_over, found.faults)
    rows: dict[str, dict[str, list[TableRow]]] = {one: {} for one in known}
    guessed = itertools.count()
    for sheet in _OF_CONNECTOR:
        for row in tables.rows.get(sheet, ()):
            if (of := row.values.get("id")) in passed_over or of is None:
                continue
            if of not in known and tables.complete:
                among = list(known) if next(guessed) < _MOST_GUESSED else []
                found.faults.append(CellFault(row.cell("id"), _no_such(of, among)))
            elif of in known:
                rows[of].setdefault(sheet, []).append(row)
    complete = tables.complete
    found.each = [_listing(row, rows[of], found.faults, complete=complete) for of, row in sorted(known.items())]
    if passed_over:
        found.notes.append(f"passed over, as examples: {', '.join(sorted(passed_over))}")
    return found


def _no_such(given: str, known: Sequence[str]) -> str:
    guess = nearest(given, known)
    meant = f"did you mean {guess!r}?" if guess else "give it a row there"
    return f"{shown(given)} is not on the sheet connectors; {meant}"


def _examples(tables: Tables) -> set[str]:
    """Give the examples that nobody has written over: those that say so, or of which no connector is left."""
    stand = {row.values.get("id"): row.values.get("about") for row in tables.rows.get(CONNECTORS.name, ())}
    return {one for one in EXAMPLES if str(stand.get(one, EXAMPLE_SAYS)).startswith(EXAMPLE_SAYS)} & {
        row.values.get("id") for rows in tables.rows.values() for row in rows
    }


def _known(tables: Tables, passed_over: set[str], faults: list[CellFault]) -> dict[str, TableRow]:
    known: dict[str, TableRow] = {}
    for row in tables.rows.get(CONNECTORS.name, ()):
        of = row.values.get("id")
        if of is None or of in passed_over:
            continue
        if of in EXAMPLES:
            says = "is the name of an example; give the connector a name of its own, on every sheet"
            faults.append(CellFault(row.cell("id"), says, of))
        if of in known:
            says = f"{of} already stands in row {known[of].number}; give each connector a name of its own"
            faults.append(CellFault(row.cell("id"), says))
        else:
            known[of] = row
    return known


# --- one connector -------------------------------------------------------------------------------


def _listing(row: TableRow, rows: dict[str, list[TableRow]], faults: list[CellFault], *, complete: bool) -> Listing:
    of = row.values["id"]
    own: Plain = {}
    spots = {"": row.cell()}
    for key, value in row.values.items():
        part, _, inner = key.partition(".")
        if key in GROUPS:
            continue
        if inner:
            own.setdefault(part, {})[inner] = value
            spots[join("", part, inner)] = row.cell(key)
            spots.setdefault(join("", part), row.cell(key))
        else:
            own[key] = value
            spots[join("", key)] = row.cell(key)
    kinds = {name: row.values[name] for name in GROUPS if row.values.get(name)}
    takes = takes_of(rows, kinds)
    figures = _figures(rows.get("figures", ()), row)
    own |= figures.value
    if takes.value:
        own["takes"] = takes.value
    elif complete and not any(rows.get(sheet.name) for sheet in TAKES):
        says = f"has no row on the sheets {', '.join(sheet.name for sheet in TAKES)}; write there what it takes"
        faults.append(CellFault(row.cell("id"), says, of))
    for made in (takes, figures):
        faults += [one._replace(connector=of) for one in made.faults]
    spots |= {"/takes" + pointer: cell for pointer, cell in takes.spots.items()} | figures.spots
    spots.setdefault("/takes", row.cell("id"))
    bad = any(one.bad for some in rows.values() for one in some) or bool(row.bad) or not takes.value
    return Listing(of, _ordered(own), spots, row, not (bad or takes.faults or figures.faults))


def _ordered(own: Plain) -> Plain:
    first = [name for name in _ORDER if name in own]
    last = [name for name in _LAST if name in own]
    return {name: own[name] for name in (*first, *(one for one in own if one not in (*first, *last)), *last)}


def _figures(rows: Sequence[TableRow], connector: TableRow) -> Spotted:
    found = Spotted({})
    by_name: dict[str, list[TableRow]] = {}
    for row in rows:
        if not row.bad and "figure" in row.values and "value" in row.values:
            by_name.setdefault(row.values["figure"], []).append(row)
    for name, some in by_name.items():
        if name in connector.values:
            says = f"the {name} stands on the sheet connectors too; leave it out there"
            found.faults.append(CellFault(some[0].cell("figure"), says))
        if len(some) == 1 and not {"sizes", "materials"} & set(some[0].values):
            found.value[name] = some[0].values["value"]
            found.spots[join("", name)] = some[0].cell("value")
            continue
        found.value[name] = []
        found.spots[join("", name)] = some[0].cell()
        for at, row in enumerate(some):
            materials = {"materials": sorted(row.values["materials"])} if "materials" in row.values else {}
            found.value[name].append({**row.values.get("sizes", {}), **materials, name: row.values["value"]})
            pointer = join("", name, at)
            found.spots |= {pointer: row.cell(), join(pointer, name): row.cell("value")}
            found.spots |= {join(pointer, end): row.cell("sizes") for end in ("from", "to")}
    return found


# --- of all connectors ---------------------------------------------------------------------------


def _head(tables: Tables, into: Listings) -> Plain:
    head: Plain = {"note": NOTE}
    for row in tables.rows.get(CATALOGUE.name, ()):
        if "what" not in row.values or "value" not in row.values:
            continue
        try:
            _say(head, row.values["what"], row.values["value"])
            into.spots[join("", *row.values["what"].split(" ", 1))] = row.cell("value")
        except ValueError as error:
            into.faults.append(CellFault(row.cell("value"), str(error)))
    return head


def _say(head: Plain, what: str, value: str) -> None:
    first, _, method = what.partition(" ")
    if what in ("note", "unstated"):
        head[what] = value
    elif what == "demo":
        if value.casefold() not in ("yes", "no"):
            raise ValueError(f"{shown(value)} is neither yes nor no")
        head[what] = value.casefold() == "yes"
    elif first == "minutes" and method:
        if method not in METHODS:
            raise ValueError(not_allowed(method, METHODS))
        head.setdefault("minutes", {})[method] = read_cell(_MINUTES, value)
    else:
        raise ValueError(not_allowed(what, [*OF_ALL, *(f"minutes {one}" for one in METHODS)]))
