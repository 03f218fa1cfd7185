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
from splicewright.catalogue.fields import GROUPS, WrittenEntry
from splicewright.catalogue.model import (
    Attribute,
    Catalogue,
    Combination,
    CombinationEntry,
    Connector,
    kinds_in,
    kinds_mask,
)
from splicewright.catalogue.schema import (
    FACTS,
    FIGURES,
    LISTED,
    TESTED_FIGURES,
    UNSTATED,
    CatalogueSchema,
)
from splicewright.catalogue.takes import Figure, Metal, Port, Range, Take
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.question.vocabulary import CONSTRUCTION, MAKE_UP_FIGURES
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.strict_schema import load
from splicewright.units import Measured, Size, whole
from splicewright.yaml_text import read_data_file


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
    return read_whole(shipped.read_data_file(path, str(path)), path.stem)


def parse_catalogue(text: str | bytes, file: str, name: str | None = None) -> Catalogue:
    """Read a catalogue from YAML text; `file` is what its faults are told under. Raises `Faults`.

    Where `name` is given, the catalogue must be called so.
    """
    return read_whole(read_data_file(text, file), name)


def read_whole(document: Document, name: str | None) -> Catalogue:
    """Make a catalogue of a file that was read as YAML; of that name, where one is given. Raises `Faults`."""
    try:
        found = catalogue_of(document.value)
    except Refused as error:
        raise document.faults(error.problems) from None
    if name not in (None, found.name):
        raise document.faults([Problem("/catalogue", f"{found.name} stands in {name}.yaml; give both one name")])
    return found


def _folder() -> Path:
    return shipped.folder("rulesets") / "catalogues"


def catalogue_of(value: Any) -> Catalogue:
    """Make a catalogue of plain maps and lists. Raises `Refused` with a pointer for each fault."""
    found = load(CatalogueSchema(), value)
    silent = found.get("unstated", UNSTATED[0]) == UNSTATED[0]
    minutes = found.get("minutes", {})
    connectors = sorted((_connector(one, silent, minutes) for one in found["connectors"]), key=lambda one: one.id)
    demo = found.get("demo", False)
    content = orjson.dumps(
        [found["catalogue"], *(["demo"] if demo else []), [connector.to_dict() for connector in connectors]],
        option=orjson.OPT_SORT_KEYS,
    )
    digest = "sha256:" + hashlib.sha256(content).hexdigest()
    return Catalogue(found["catalogue"], found["note"], tuple(connectors), digest, demo)


def _connector(given: Mapping[str, Any], silent: bool, minutes: Mapping[str, float]) -> Connector:
    takes = tuple(_take(one) for one in given["takes"])
    kinds = 0
    for take in takes:
        for combination in take.combinations:
            kinds |= combination.kinds
        for port in take.ports:
            for one in port.ranges:
                kinds |= one.kinds
        for total in take.metal:
            kinds |= total.kinds
    unknown = frozenset(name for name in LISTED if silent and name not in given and not ATTRIBUTES[name].rightly_silent)
    figures = {name: found for name in FIGURES if (found := _figures(name, given, takes))}
    facts = {name: given[name] for name in FACTS if name in given}
    if given["method"] in minutes:
        facts.setdefault("minutes", minutes[given["method"]])
    return Connector(
        id=given["id"],
        name=_name(given, takes),
        method=given["method"],
        takes=takes,
        kinds=kinds,
        attributes=MappingProxyType(_attributes(given, takes, kinds, unknown)),
        figures=MappingProxyType(figures),
        unknown=unknown,
        facts=MappingProxyType(facts),
        cells=MappingProxyType(given.get("from", {})),
        printed=MappingProxyType({**_printed(given, _name(given, takes), takes, unknown), **facts}),
    )


def _figures(name: str, given: Mapping[str, Any], takes: tuple[Take, ...]) -> tuple[Figure, ...]:
    """Give what a listing has of a figure, but for a rating that is one for all: that is an attribute."""
    if name in TESTED_FIGURES and _alone(name, given) is not None:
        return ()
    found = [
        Figure(one[name], one.get("from"), one.get("to"), tuple(one.get("materials", ())))
        for one in given.get(name, ())
    ]
    for written, take in zip(given["takes"], takes, strict=True):
        for one, port in zip(written.get("ports", ()), take.ports, strict=True):
            if name in one:
                ranges = ((of.least, of.most, tuple(_words(of.kinds, 0))) for of in port.ranges)
                found += [Figure(one[name], *ends, str(port)) for ends in ranges]
    return tuple(found)


def _alone(name: str, given: Mapping[str, Any]) -> Measured | None:
    """Give a figure that is one for all conductors."""
    rows = given.get(name, ())
    return rows[0][name] if len(rows) == 1 and len(rows[0]) == 1 else None


def _name(given: Mapping[str, Any], takes: tuple[Take, ...]) -> str:
    """Give the listing's name; where it has none, one made of its method and the sizes that it takes."""
    least, most = min(_least_sizes(takes)), max(_sizes(takes))
    sizes = str(most) if least == most else f"{least} to {most}"
    return str(given.get("name") or f"{given['method'].capitalize()}, {sizes}")


def _take(given: Mapping[str, Any]) -> Take:
    if "ports" in given:
        return Take(ports=tuple(_port(port, given) for port in given["ports"]), least=int(given.get("least", 1)))
    if "metal" in given:
        kinds = kinds_mask(*(given[group] for group in GROUPS))
        return Take(metal=tuple(_metal(one, kinds) for one in given["metal"]))
    written = [combination for one in given["combinations"] for combination in one]
    return Take(combinations=tuple(_combination(one, given) for one in written))


def _metal(given: Mapping[str, Any], kinds: int) -> Metal:
    fewest, utmost = given["count"]
    return Metal(given["from"], given["to"], fewest, utmost, given["thinnest"], given["thickest"], kinds)


def _combination(lines: Iterable[WrittenEntry], take: Mapping[str, Any]) -> Combination:
    entries: list[CombinationEntry] = []
    for line in lines:
        materials, constructions, ends = (line.words.get(group) or take[group] for group in GROUPS)
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


def _attributes(
    given: Mapping[str, Any], takes: tuple[Take, ...], kinds: int, unknown: frozenset[str]
) -> dict[str, Attribute]:
    found: dict[str, Attribute] = {}
    for name in LISTED:
        if name in TESTED_FIGURES:
            value: Any = _alone(name, given)
        else:
            value = given.get(name, False if ATTRIBUTES[name].kind == "flag" and name not in unknown else None)
        if value is not None:
            found[name] = _coded(value)
    found["largest"] = max(_sizes(takes)).area
    for at, name in enumerate(GROUPS):
        found[name] = frozenset(_words(kinds, at))
    if "outside" in given:
        found["height"] = max(whole(one.value, one.unit) for one in given["outside"])
    return found


def _sizes(takes: Iterable[Take]) -> Iterator[Size]:
    """Give the largest size of each combination and of each range of the ports."""
    for take in takes:
        yield from (combination.entries[0].size for combination in take.combinations)
        yield from (one.most for port in take.ports for one in port.ranges)
        yield from (one.thickest for one in take.metal)


def _least_sizes(takes: Iterable[Take]) -> Iterator[Size]:
    """Give the least size of each combination and of each range of the ports."""
    for take in takes:
        yield from (combination.entries[-1].size for combination in take.combinations)
        yield from (one.least for port in take.ports for one in port.ranges)
        yield from (one.thinnest for one in take.metal)


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


def _printed(given: Mapping[str, Any], name: str, takes: tuple[Take, ...], unknown: frozenset[str]) -> dict[str, Any]:
    """Write a listing in one canonical way: what the digest is made of."""
    found: dict[str, Any] = {"id": given["id"], "name": name, "method": given["method"]}
    if "about" in given:
        found["about"] = given["about"]
    found["takes"] = [_take_printed(one, take) for one, take in zip(given["takes"], takes, strict=True)]
    for attribute in LISTED:
        value = _alone(attribute, given) if attribute in TESTED_FIGURES else given.get(attribute)
        if value is not None:
            found[attribute] = value.to_dict() if isinstance(value, Measured) else value
        elif ATTRIBUTES[attribute].kind == "flag":
            found[attribute] = False  # a client of old reads a flag of every listing; `not_stated` tells which are so
    if unknown:
        found["not_stated"] = sorted(unknown)
    if strip := _alone("strip", given):
        found["strip"] = strip.to_dict()
    if "torque" in given:
        found["torque"] = [_figure_printed("torque", one) for one in given["torque"]]
    figures = [
        {"figure": name, **_figure_printed("value", {**one, "value": one[name]})}
        for name in FIGURES
        if name != "torque" and name in given and _alone(name, given) is None
        for one in given[name]
    ]
    if figures:
        found["figures"] = figures
    if "outside" in given:
        found["outside"] = [one.to_dict() for one in given["outside"]]
    return found


def _take_printed(given: Mapping[str, Any], take: Take) -> dict[str, Any]:
    found = {name: given[name] for name in GROUPS if name in given}
    if take.metal:
        return {**found, "metal": [str(one) for one in take.metal]}
    if take.ports:
        written = {**found, "ports": [str(port) for port in take.ports], "least": take.least}
        figures = [
            {"ports": str(port), **{name: one[name].to_dict() for name in MAKE_UP_FIGURES if name in one}}
            for one, port in zip(given["ports"], take.ports, strict=True)
            if one.keys() & MAKE_UP_FIGURES
        ]
        return {**written, "figures": figures} if figures else written
    return {**found, "combinations": sorted(str(combination) for combination in take.combinations)}


def _figure_printed(name: str, given: Mapping[str, Any]) -> dict[str, Any]:
    written = {name: given[name].to_dict(), **{end: given[end].to_dict() for end in ("from", "to") if end in given}}
    return {**written, "materials": given["materials"]} if "materials" in given else written
