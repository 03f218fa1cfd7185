"""From catalogue files to connectors and their coded attributes. A fault names file and line."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

import orjson

from splicewright import shipped
from splicewright.catalogue.fields import WrittenEntry
from splicewright.catalogue.model import (
    Attribute,
    Catalogue,
    Combination,
    CombinationEntry,
    Connector,
    Port,
    Range,
    Take,
    Torque,
    kinds_in,
    kinds_mask,
)
from splicewright.catalogue.schema import LISTED, CatalogueSchema
from splicewright.faults import Fault, Faults
from splicewright.question.vocabulary import CONSTRUCTION
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.strict_schema import load
from splicewright.units import Measured, Size, whole
from splicewright.yaml_text import Document, read_data_file


def catalogue_names() -> tuple[str, ...]:
    """Give the names of the shipped catalogues, in alphabetical order."""
    return tuple(sorted(path.stem for path in _folder().glob("*.yaml")))


@functools.lru_cache(maxsize=32)
def load_catalogue(name: str) -> Catalogue:
    """Load a shipped catalogue by its name, once a process. Raises `Faults`, also where there is none."""
    if name not in catalogue_names():
        raise Faults([Fault("", 0, "no catalogue", not_allowed(name, catalogue_names()))])
    return read_catalogue(_folder() / f"{name}.yaml")


def read_catalogue(path: Path) -> Catalogue:
    """Read one catalogue file, named like the catalogue in it. Raises `Faults` with every fault, OSError."""
    return _catalogue(shipped.read_data_file(path, str(path)), path.stem)


def parse_catalogue(text: str | bytes, file: str, name: str | None = None) -> Catalogue:
    """Read a catalogue from YAML text; `file` is what its faults are told under. Raises `Faults`.

    Where `name` is given, the catalogue must be called so.
    """
    return _catalogue(read_data_file(text, file), name)


def _catalogue(document: Document, name: str | None) -> Catalogue:
    try:
        found = catalogue_of(document.value)
    except Refused as error:
        raise document.faults(error.problems) from None
    if name not in (None, found.name):
        raise document.faults([Problem("/catalogue", f"{found.name} stands in {name}.yaml; give both one name")])
    return found


def _folder() -> Path:
    return shipped.folder("rulesets") / "catalogues"


_GROUPS = ("materials", "constructions", "ends")


def catalogue_of(value: Any) -> Catalogue:
    """Make a catalogue of plain maps and lists. Raises `Refused` with a pointer for each fault."""
    found = load(CatalogueSchema(), value)
    connectors = sorted((_connector(connector) for connector in found["connectors"]), key=lambda one: one.id)
    content = orjson.dumps(
        [found["catalogue"], [connector.to_dict() for connector in connectors]], option=orjson.OPT_SORT_KEYS
    )
    digest = "sha256:" + hashlib.sha256(content).hexdigest()
    return Catalogue(found["catalogue"], found["note"], tuple(connectors), digest)


def _connector(given: Mapping[str, Any]) -> Connector:
    takes = tuple(_take(one) for one in given["takes"])
    kinds = 0
    for take in takes:
        for combination in take.combinations:
            kinds |= combination.kinds
        for port in take.ports:
            for one in port.ranges:
                kinds |= one.kinds
    torques = tuple(Torque(one["torque"], one.get("from"), one.get("to")) for one in given.get("torque", ()))
    return Connector(
        id=given["id"],
        name=_name(given, takes),
        method=given["method"],
        takes=takes,
        kinds=kinds,
        attributes=MappingProxyType(_attributes(given, takes, kinds)),
        strip=given.get("strip"),
        torques=torques,
        printed=MappingProxyType(_printed(given, _name(given, takes), takes, torques)),
    )


def _name(given: Mapping[str, Any], takes: tuple[Take, ...]) -> str:
    """Give the listing's name; where it has none, one made of its method and the sizes that it takes."""
    least, most = min(_least_sizes(takes)), max(_sizes(takes))
    sizes = str(most) if least == most else f"{least} to {most}"
    return str(given.get("name") or f"{given['method'].capitalize()}, {sizes}")


def _take(given: Mapping[str, Any]) -> Take:
    if "ports" in given:
        return Take(ports=tuple(_port(port, given) for port in given["ports"]), least=int(given.get("least", 1)))
    written = [combination for one in given["combinations"] for combination in one]
    return Take(combinations=tuple(_combination(one, given) for one in written))


def _combination(lines: Iterable[WrittenEntry], take: Mapping[str, Any]) -> Combination:
    entries: list[CombinationEntry] = []
    for line in lines:
        materials, constructions, ends = (line.words.get(group) or take[group] for group in _GROUPS)
        words = " ".join(word for group in ("constructions", "materials", "ends") for word in line.words.get(group, ()))
        entries.append(CombinationEntry(line.size, line.count, kinds_mask(materials, constructions, ends), words))
    return Combination(tuple(sorted(entries, key=lambda entry: (-entry.size.area, entry.size.text, entry.words))))


def _port(given: Mapping[str, Any], take: Mapping[str, Any]) -> Port:
    ranges = [_range(construction, one, take) for construction in CONSTRUCTION for one in given.get(construction, ())]
    return Port(int(given["count"]), int(given["conductors"]), tuple(ranges))


def _range(construction: str, given: Mapping[str, Any], take: Mapping[str, Any]) -> Range:
    ends = given.get("ends", take["ends"])
    materials = given.get("materials", take["materials"])
    words = construction
    if "materials" in given:
        words += f" {' or '.join(materials)}"
    if ends != ["plain"]:
        words += f" with {' or '.join(ends)} ends"
    return Range(given["from"], given["to"], kinds_mask(materials, [construction], ends), words)


def _attributes(given: Mapping[str, Any], takes: tuple[Take, ...], kinds: int) -> dict[str, Attribute]:
    found: dict[str, Attribute] = {}
    for name in LISTED:
        value = given.get(name, False if ATTRIBUTES[name].kind == "flag" else None)
        if value is not None:
            found[name] = _coded(value)
    found["largest"] = max(_sizes(takes)).area
    for at, name in enumerate(_GROUPS):
        found[name] = frozenset(_words(kinds, at))
    if "outside" in given:
        found["height"] = max(whole(one.value, one.unit) for one in given["outside"])
    return found


def _sizes(takes: Iterable[Take]) -> Iterator[Size]:
    """Give the largest size of each combination and of each range of the ports."""
    for take in takes:
        yield from (combination.entries[0].size for combination in take.combinations)
        yield from (one.most for port in take.ports for one in port.ranges)


def _least_sizes(takes: Iterable[Take]) -> Iterator[Size]:
    """Give the least size of each combination and of each range of the ports."""
    for take in takes:
        yield from (combination.entries[-1].size for combination in take.combinations)
        yield from (one.least for port in take.ports for one in port.ranges)


def _words(kinds: int, at: int) -> list[str]:
    """Give the materials (0), constructions (1) or ends (2) of some kinds, in alphabetical order."""
    return sorted({kind[at] for kind in kinds_in(kinds)})


def _coded(value: Any) -> Attribute:
    if isinstance(value, Measured):
        return whole(value.value, value.unit)
    if isinstance(value, list):
        return frozenset(value)
    coded: Attribute = value
    return coded


def _printed(
    given: Mapping[str, Any], name: str, takes: tuple[Take, ...], torques: tuple[Torque, ...]
) -> dict[str, Any]:
    """Write a listing in one canonical way: what the digest is made of."""
    found: dict[str, Any] = {"id": given["id"], "name": name, "method": given["method"]}
    if "about" in given:
        found["about"] = given["about"]
    found["takes"] = [_take_printed(one, take) for one, take in zip(given["takes"], takes, strict=True)]
    for attribute in LISTED:
        if attribute in given:
            value = given[attribute]
            found[attribute] = value.to_dict() if isinstance(value, Measured) else value
        elif ATTRIBUTES[attribute].kind == "flag":
            found[attribute] = False
    if "strip" in given:
        found["strip"] = given["strip"].to_dict()
    if torques:
        found["torque"] = [_torque_printed(torque) for torque in torques]
    if "outside" in given:
        found["outside"] = [one.to_dict() for one in given["outside"]]
    return found


def _take_printed(given: Mapping[str, Any], take: Take) -> dict[str, Any]:
    found = {name: given[name] for name in _GROUPS if name in given}
    if take.ports:
        return {**found, "ports": [str(port) for port in take.ports], "least": take.least}
    return {**found, "combinations": sorted(str(combination) for combination in take.combinations)}


def _torque_printed(torque: Torque) -> dict[str, Any]:
    ends = {"from": torque.least, "to": torque.most}
    return {"torque": torque.value.to_dict(), **{name: size.to_dict() for name, size in ends.items() if size}}
