"""A catalogue as a file writes it to the rows of a shelf's tables: what `listings.py` reads them to again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.catalogue.fields import GROUP_OF, GROUPS
from splicewright.catalogue.schema import FIGURES
from splicewright.question.vocabulary import CONSTRUCTION, MAKE_UP_FIGURES
from splicewright.shelf.layout import CONNECTORS, OF_ALL, SHEETS
from splicewright.shelf.number_signs import sharp

Plain = dict[str, Any]
Rows = dict[str, list[Plain]]  # by sheet, each row by the keys of its columns


def rows_of(catalogue: Mapping[str, Any]) -> Rows:
    """Give the rows of a valid catalogue given as plain data, by sheet; values are those of cells."""
    rows: Rows = {sheet.name: [] for sheet in SHEETS}
    rows["catalogue"] = [{"what": what, "value": value} for what, value in _head(catalogue)]
    for connector in catalogue["connectors"]:
        _add(rows, connector)
    return rows


def _head(catalogue: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for what in OF_ALL:
        if what in catalogue:
            yield what, catalogue[what]
    for method, minutes in catalogue.get("minutes", {}).items():
        yield f"minutes {method}", str(minutes)


def _add(rows: Rows, connector: Mapping[str, Any]) -> None:
    of = {"id": connector["id"]}
    takes = [_with_ends(take) for take in connector["takes"]]
    shared = _shared(takes)
    row = {**of, **shared}
    for column in CONNECTORS.columns:
        part, _, inner = column.key.partition(".")
        value = connector.get(part)
        if value is None or column.key in GROUPS or (column.key in FIGURES and isinstance(value, Mapping | list)):
            continue
        if not inner:
            row[column.key] = value
        elif inner in value:
            row[column.key] = value[inner]
    rows["connectors"].append(row)
    for number, take in enumerate(takes, start=1):
        group = {"group": str(number)} if len(takes) > 1 else {}
        for sheet, make in (("fillings", _fillings), ("metal", _metal), ("ports", _ports)):
            rows[sheet] += [{**of, **one, **group} for one in make(take, shared)]
    for name in FIGURES:
        value = connector.get(name)
        for one in [value] if isinstance(value, Mapping) else value if isinstance(value, list) else ():
            rows["figures"].append({**of, "figure": name, **_kinds(one, {}), **_sizes(one), "value": one[name]})


def _with_ends(take: Plain) -> Plain:
    """Let a group say that its ends are plain where rows of it say others: a row that says none means the group's."""
    said = any("ends" in one for port in take.get("ports", ()) for _, one in _ranges(port)) or any(
        "ends" in _parted(key)[1] for line in take.get("combinations", ()) for key in line
    )
    return {"ends": ["plain"], **take} if said else take


def _shared(takes: list[Plain]) -> Plain:
    """Give what all groups of a connector say of their kinds: it stands once on the sheet connectors."""
    if len(takes) == 1:
        return {name: takes[0][name] for name in GROUPS if name in takes[0]}
    return {}


def _kinds(said: Mapping[str, Any], shared: Plain) -> Plain:
    """Give the kinds that a row has to say."""
    return {name: said[name] for name in GROUPS if name in said and name not in shared}


def _sizes(one: Mapping[str, Any]) -> Plain:
    if "from" not in one:
        return {}
    return {"sizes": one["from"] if one["from"] == one["to"] else f"{one['from']} to {one['to']}"}


def _count(value: Any) -> Plain:
    least, _, most = str(value).partition(" to ")
    return {"least": int(least), "most": int(most or least)}


def _fillings(take: Plain, shared: Plain) -> Iterator[Plain]:
    for number, line in enumerate(take.get("combinations", ()), start=1):
        for key, count in line.items():
            size, words = _parted(key)
            said = {**_kinds(take, shared), **words}
            yield {"filling": str(number), "size": size, **said, **_count(count)}


def _parted(key: str) -> tuple[str, Plain]:
    """Part `18 AWG fine-stranded` into the size and the words that it says for itself, each under its group."""
    number, unit, *words = key.split(" ")
    found: Plain = {}
    for word in words:
        found.setdefault(GROUP_OF[word], []).append(word)
    return f"{number} {unit}", found


def _metal(take: Plain, shared: Plain) -> Iterator[Plain]:
    for one in take.get("metal", ()):
        ends = {"from": sharp(one["from"]), "to": sharp(one["to"])}
        sizes = {key: one[key] for key in ("thinnest", "thickest")}
        yield {**_kinds(take, shared), **ends, **sizes, **_count(one["count"])}


def _ports(take: Plain, shared: Plain) -> Iterator[Plain]:
    ports = take.get("ports", ())
    several = len(ports) > 1 or sum(len(_ranges(port)) for port in ports) > 1
    for number, port in enumerate(ports, start=1):
        same = {key: port[key] for key in ("count", "conductors", *MAKE_UP_FIGURES) if key in port}
        label = {"port": str(number)} if several else {}
        least = {"least": take["least"]} if "least" in take else {}
        for construction, one in _ranges(port):
            own: Plain = {name: one[name] for name in ("materials", "ends") if name in one}
            said: Plain = {**_kinds(take, shared), **own, "constructions": [construction], **_sizes(one)}
            yield {**same, **label, **least, **said}


def _ranges(port: Plain) -> list[tuple[str, Plain]]:
    return [
        (construction, one)
        for construction in CONSTRUCTION
        if construction in port
        for one in ([port[construction]] if isinstance(port[construction], Mapping) else port[construction])
    ]
