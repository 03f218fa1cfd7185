"""A catalogue file looked through: what can't be read, what contradicts itself, what was perhaps misread.

Each thing is told with its line or, where an import noted it, its cell; with the connector, what is wrong, and what to
look for on the carton.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from splicewright.catalogue import fill_slips  # noqa: F401 - it enters its checks
from splicewright.catalogue.carton import carton_keys, look_for
from splicewright.catalogue.loader import catalogue_of, read_whole
from splicewright.catalogue.model import Catalogue
from splicewright.catalogue.slips import GRAVE, SLIPS, Level, Listed, Slip, error, warning
from splicewright.document import Document
from splicewright.json_pointer import join, pointer_parts
from splicewright.refusals import Problem, Refused
from splicewright.yaml_text import read_data_file


class ListingFault(NamedTuple):
    """One thing told of a listing.

    `cell` is where an import read it (`shelf.xlsx connectors!F5`), empty where it noted none; `connector` its id, or
    empty for the file; `part` what it is about, `look_for` what to look for on the carton, empty where nothing is.
    """

    file: str
    line: int
    cell: str
    connector: str
    part: str
    level: Level
    says: str
    look_for: str = ""

    def __str__(self) -> str:
        """Give it as printed: `shelf.yaml:12: error: cap: volts: is 599 V …; look for …`."""
        where = self.cell or (f"{self.file}:{self.line}" if self.line else self.file)
        look = f"; look for {self.look_for}" if self.look_for else ""
        parts = [where, self.level, self.connector, self.part, f"{self.says}{look}"]
        return ": ".join(part for part in parts if part)

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it; what is empty is left out."""
        return {key: value for key, value in self._asdict().items() if value not in ("", 0)}


def check_listing(document: Document, today: dt.date | None = None) -> list[ListingFault]:
    """Look through a catalogue file that was read as YAML; in the order of its lines, errors before warnings.

    What can't be read in one listing keeps no other from being looked through. `today` is the day that listings are
    told to be old by.
    """
    day = today or dt.datetime.now(tz=dt.UTC).date()
    value = document.value
    found = [*_unread(document), *_slips(document, day)] if isinstance(value, Mapping) else [*_unread(document)]
    unlike = dict.fromkeys(found)
    return sorted(unlike, key=lambda one: (one.line, one.cell, one.connector, one.level, one.part, one.says))


def sound_catalogue(text: str | bytes, file: str, name: str | None = None) -> Catalogue:
    """Read a catalogue as `parse_catalogue` does, to be taken into use. Raises `Faults` where it contradicts itself."""
    document = read_data_file(text, file)
    catalogue = read_whole(document, name)
    if wrong := contradictions(document.value, catalogue):
        raise document.faults(wrong)
    return catalogue


def contradictions(value: Mapping[str, Any], catalogue: Catalogue) -> list[Problem]:
    """Give every error that a look through a catalogue finds, but by the day; `value` is what it was read of."""
    read = {connector.id: connector for connector in catalogue.connectors}
    listed = [(at, Listed(given, read[given["id"]])) for at, given in enumerate(value["connectors"])]
    found = [(at, slip) for at, one in listed for check in GRAVE for slip in check(one)]
    found += _part_numbers(listed)
    wrong = [(at, slip) for at, slip in found if slip.level == "error"]
    return [Problem(join("/connectors", at) + slip.pointer, slip.says) for at, slip in sorted(wrong, key=_place)]


def _place(found: tuple[int, Slip]) -> int:
    return found[0]


def _unread(document: Document) -> Iterator[ListingFault]:
    """Tell what keeps the file from being read."""
    try:
        catalogue_of(document.value)
    except Refused as error:
        for problem in error.problems:
            yield _fault(document, problem.pointer, Slip("error", "", problem.says, _key(problem.pointer)))


def _slips(document: Document, day: dt.date) -> Iterator[ListingFault]:
    value = document.value
    connectors = value.get("connectors")
    listings = list(enumerate(connectors)) if isinstance(connectors, list) else []
    readable: list[tuple[int, Listed]] = []
    for at, given in listings:
        if isinstance(given, Mapping):
            try:
                alone = catalogue_of({**value, "connectors": [given]})
            except Refused:
                continue
            readable.append((at, Listed(given, alone.connectors[0], day)))
    for at, one in readable:
        for check in SLIPS:
            for slip in check(one):
                yield _fault(document, join("/connectors", at) + slip.pointer, slip)
    for at, slip in _alike(readable):
        yield _fault(document, join("/connectors", at) + slip.pointer, slip)


def _alike(readable: Iterable[tuple[int, Listed]]) -> Iterator[tuple[int, Slip]]:
    """Tell two listings that are told apart by less than two connectors are."""
    readable = list(readable)
    yield from _part_numbers(readable)
    seen: dict[tuple[str, object], str] = {}
    for at, one in readable:
        printed = {key: value for key, value in one.connector.printed.items() if key not in ("id", "name", "about")}
        told = [
            ("name", one.given.get("name"), "is that of {} too"),
            ("id", repr(sorted(printed.items())), "is listed for all that {} is, and nothing else"),
        ]
        for key, value, says in told:
            other = seen.setdefault((key, value), one.connector.id)
            if value is not None and other != one.connector.id:
                yield at, warning(f"/{key}", says.format(other))


def _part_numbers(readable: Iterable[tuple[int, Listed]]) -> Iterator[tuple[int, Slip]]:
    """Tell two connectors that are ordered by one number."""
    seen: dict[str, str] = {}
    for at, one in readable:
        if (number := one.given.get("part_number")) is not None:
            other = seen.setdefault(number, one.connector.id)
            if other != one.connector.id:
                yield at, error("/part_number", f"is that of {other} too")


def _fault(document: Document, pointer: str, slip: Slip) -> ListingFault:
    located = document.locate(Problem(pointer, slip.says))
    part = "/".join(pointer_parts(pointer)[2:] if located.part else pointer_parts(pointer))
    look = look_for(slip.look_for) if slip.look_for else ""
    cell = _cell(document.value, pointer)
    return ListingFault(document.file, located.line, cell, located.part, part, slip.level, slip.says, look)


def _cell(value: Any, pointer: str) -> str:
    """Give the cell that a part was imported from: its own, or of what it stands in."""
    parts = pointer_parts(pointer)
    if len(parts) < 2 or parts[0] != "connectors" or not parts[1].isdecimal() or not isinstance(value, Mapping):
        return ""
    listed = value.get("connectors")
    one = listed[int(parts[1])] if isinstance(listed, list) and int(parts[1]) < len(listed) else None
    cells = one.get("from") if isinstance(one, Mapping) else None
    if not isinstance(cells, Mapping):
        return ""
    for end in range(len(parts), 1, -1):
        cell = cells.get(join("", *parts[2:end]))
        if isinstance(cell, str):
            file = value.get("from")
            return f"{file} {cell}" if isinstance(file, str) else cell
    return ""


def _key(pointer: str) -> str:
    """Give the key of `words/carton.yaml` for a part that can't be read; empty where no carton tells it."""
    return next((part for part in reversed(pointer_parts(pointer)) if part in carton_keys()), "")
