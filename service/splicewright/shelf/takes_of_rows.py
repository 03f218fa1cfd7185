"""Rows of fillings, ports and metal to the groups of a listing, each part with the cell that says it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.catalogue.fields import GROUPS
from splicewright.json_pointer import join
from splicewright.question.vocabulary import CONSTRUCTION, MAKE_UP_FIGURES
from splicewright.shelf.layout import FILLINGS, METAL, PORTS
from splicewright.shelf.tables import Cell, CellFault, TableRow

Plain = dict[str, Any]
Kinds = Mapping[str, Sequence[str]]  # materials, constructions, ends: those that are said
_KINDS = ("constructions", "materials", "ends")  # in the order in which a size names them
_SAID_WHERE = "say it here, or for all rows of the connector on the sheet connectors"


@dataclass
class Spotted:
    """What was made of rows: a value, where each part of it stands by pointers, and what is wrong with them."""

    value: Any
    spots: dict[str, Cell] = field(default_factory=dict)
    faults: list[CellFault] = field(default_factory=list)


def takes_of(rows: Mapping[str, Sequence[TableRow]], kinds: Kinds) -> Spotted:
    """Make the groups of one connector of its rows by sheet; `kinds` are what is said for all of them."""
    found = Spotted([])
    for sheet, make in ((FILLINGS, _fillings), (METAL, _metal), (PORTS, _ports)):
        needed = sheet.needed
        whole = [row for row in rows.get(sheet.name, ()) if not row.bad and row.values.keys() >= needed]
        for some in _by(whole, "group"):
            for group in make(some, kinds, found.faults):
                at = join("", len(found.value))
                found.value.append(group.value)
                found.spots |= {at + pointer: cell for pointer, cell in group.spots.items()}
    return found


def _by(rows: Iterable[TableRow], key: str) -> list[list[TableRow]]:
    """Part rows by what they have under a key, in the order of numbers and then of words."""
    found: dict[str, list[TableRow]] = {}
    for row in rows:
        found.setdefault(str(row.values.get(key, "")), []).append(row)
    return [found[label] for label in sorted(found, key=natural)]


def natural(label: str) -> tuple[int, int, str]:
    """Sort labels: numbers by what they count, before words."""
    return (0, int(label), "") if label.isdecimal() and label.isascii() else (1, 0, label)


def _group_kinds(
    rows: Sequence[TableRow], kinds: Kinds, names: Iterable[str], faults: list[CellFault]
) -> tuple[Plain, list[Plain]]:
    """Give what a group says of its kinds, and what each row says for itself.

    Rows keep to what is said for all of the connector's rows. Where that is not said and the rows agree, the group says
    it; where they differ the group takes all of it, and each row says its own.
    """
    group: Plain = {}
    own: list[Plain] = [{} for _ in rows]
    for name in names:
        said = [row.values.get(name) for row in rows]
        if kinds.get(name):
            group[name] = sorted(kinds[name])
        elif all(one is None for one in said) and name == "ends":
            continue
        else:
            silent = ["plain"] if name == "ends" else None
            faults += [
                CellFault(row.cell(name), f"is needed: {_SAID_WHERE}")
                for row, one in zip(rows, said, strict=True)
                if one is None and silent is None
            ]
            said = [one or silent for one in said]
            group[name] = sorted({word for one in said for word in one or ()})
            if all(one is None or set(one) == set(group[name]) for one in said):
                continue
        for mine, one in zip(own, said, strict=True):
            if one is not None:
                mine[name] = sorted(one)
    return {name: words for name, words in group.items() if words}, own


def count_of(row: TableRow, faults: list[CellFault]) -> int | str:
    """Give how many conductors a row says: a number or a span."""
    least, most = row.values["least"], row.values["most"]
    if least > most:
        faults.append(CellFault(row.cell("least"), f"is {least}, more than the most, {most}"))
    return int(least) if least == most else f"{least} to {most}"


def _count_cell(row: TableRow) -> Cell:
    """Give the cell that tells the largest number, for what is wrong with how many there are."""
    return row.cell("least" if row.values["least"] > row.values["most"] else "most")


# --- fillings ------------------------------------------------------------------------------------


def _fillings(rows: Sequence[TableRow], kinds: Kinds, faults: list[CellFault]) -> Iterator[Spotted]:
    group, own = _group_kinds(rows, kinds, _KINDS, faults)
    words_of = {id(row): mine for row, mine in zip(rows, own, strict=True)}
    lines: list[Plain] = []
    spots = {"": rows[0].cell()}
    for some in _by(rows, "filling"):
        line: Plain = {}
        at = join("/combinations", len(lines))
        spots[at] = some[0].cell()
        for row in some:
            words = [word for name in _KINDS for word in words_of[id(row)].get(name, ())]
            key = " ".join([row.values["size"], *words])
            spots[join(at, key)] = _count_cell(row)
            if key in line:
                says = f"{key} stands twice in filling {row.values['filling']}; put their numbers together"
                faults.append(CellFault(row.cell("size"), says))
            line[key] = count_of(row, faults)
        lines.append(line)
    yield Spotted({**_ordered(group), "combinations": lines}, {**spots, **_spots_of_kinds(rows[0])})


def _ordered(group: Plain) -> Plain:
    return {name: group[name] for name in GROUPS if name in group}


def _spots_of_kinds(row: TableRow) -> dict[str, Cell]:
    return {join("", name): row.cell(name) for name in _KINDS}


# --- metal ---------------------------------------------------------------------------------------


def _metal(rows: Sequence[TableRow], kinds: Kinds, faults: list[CellFault]) -> Iterator[Spotted]:
    """Give a group for each set of kinds: a total of metal has none of its own."""
    parted: dict[tuple[Any, ...], list[TableRow]] = {}
    for row in rows:
        said = [row.values.get(name) or kinds.get(name) for name in _KINDS]
        parted.setdefault(tuple(one and tuple(sorted(one)) for one in said), []).append(row)
    for key, some in parted.items():
        group, _ = _group_kinds(some, {name: one for name, one in zip(_KINDS, key, strict=True) if one}, _KINDS, faults)
        lines: list[Plain] = []
        spots = {"": some[0].cell(), **_spots_of_kinds(some[0])}
        for row in some:
            at = join("/metal", len(lines))
            spots |= {at: row.cell(), join(at, "count"): _count_cell(row)}
            spots |= {join(at, name): row.cell(name) for name in ("from", "to", "thinnest", "thickest")}
            values = row.values
            ends = {"from": values["from"], "to": values["to"], "count": count_of(row, faults)}
            lines.append({**ends, "thinnest": values["thinnest"], "thickest": values["thickest"]})
        yield Spotted({**_ordered(group), "metal": lines}, spots)


# --- ports ---------------------------------------------------------------------------------------


def _ports(rows: Sequence[TableRow], kinds: Kinds, faults: list[CellFault]) -> Iterator[Spotted]:
    if len(rows) > 1:
        says = "is needed where a connector has several rows: rows with the same number are the same ports"
        faults += [CellFault(row.cell("port"), says) for row in rows if "port" not in row.values]
    group, own = _group_kinds(rows, kinds, ("materials", "ends"), faults)
    words_of = {id(row): mine for row, mine in zip(rows, own, strict=True)}
    ports: list[Plain] = []
    spots = {"": rows[0].cell(), **_spots_of_kinds(rows[0])}
    for some in _by(rows, "port"):
        at = join("/ports", len(ports))
        spots[at] = some[0].cell()
        port: Plain = {}
        for key in ("count", "conductors", *MAKE_UP_FIGURES):
            spots[join(at, key)] = some[0].cell("count" if key == "count" else key)
            port |= _agreed(some, key, "of one port", faults)
        ranges: dict[str, list[Plain]] = {}
        for row in some:
            constructions = row.values.get("constructions") or kinds.get("constructions")
            if not constructions:
                faults.append(CellFault(row.cell("constructions"), f"is needed: {_SAID_WHERE}"))
            for construction in constructions or ():
                several = ranges.setdefault(construction, [])
                spots.setdefault(join(at, construction), row.cell("sizes"))
                spots[join(at, construction, len(several))] = row.cell("sizes")
                several.append({**row.values["sizes"], **words_of[id(row)]})
        port |= {one: _one_or_several(ranges[one]) for one in CONSTRUCTION if one in ranges}
        ports.append(port)
    least = _agreed(rows, "least", "of one group", faults)
    spots["/least"] = rows[0].cell("least")
    yield Spotted({**_ordered(group), "ports": ports, **least}, spots)


def _one_or_several(ranges: list[Plain]) -> Any:
    return ranges[0] if len(ranges) == 1 else ranges


def _agreed(rows: Iterable[TableRow], key: str, of: str, faults: list[CellFault]) -> Plain:
    """Give what rows say of a key, those that say it; where they differ, that is a fault."""
    found: Plain = {}
    for row in rows:
        if key in row.values:
            value = row.values[key]
            if found.setdefault(key, value) != value:
                faults.append(CellFault(row.cell(key), f"is {value}, but another row {of} says {found[key]}"))
    return found
