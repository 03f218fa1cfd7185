"""Reads catalogue files. The only part of `catalogue/` that touches a file; a fault names file and line."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from splicewright import shipped
from splicewright.catalogue.build import catalogue_of
from splicewright.catalogue.model import Catalogue
from splicewright.reading import Document, NotText, Problem, Refused, join, not_allowed, read_yaml


class CatalogueFault(ValueError):
    """A catalogue file is not as it must be. `faults` has a line `file:line: what is wrong; what to write` for each."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


def catalogue_names() -> tuple[str, ...]:
    """Give the names of the shipped catalogues, in alphabetical order."""
    return tuple(sorted(path.stem for path in _folder().glob("*.yaml")))


@functools.lru_cache(maxsize=32)
def load_catalogue(name: str) -> Catalogue:
    """Load a shipped catalogue by its name, once a process. Raises `CatalogueFault`, also where there is none."""
    if name not in catalogue_names():
        raise CatalogueFault([f"no catalogue: {not_allowed(name, catalogue_names())}"])
    return read_catalogue(_folder() / f"{name}.yaml")


def read_catalogue(path: Path) -> Catalogue:
    """Read one catalogue file, named like the catalogue in it. Raises `CatalogueFault` with every fault, OSError."""
    return parse_catalogue(path.read_bytes(), str(path), name=path.stem)


def parse_catalogue(text: str | bytes, file: str, name: str | None = None) -> Catalogue:
    """Read a catalogue from YAML text; `file` is what its faults are told under. Raises `CatalogueFault`.

    Where `name` is given, the catalogue must be called so.
    """
    try:
        document = read_yaml(text)
    except NotText as error:
        raise CatalogueFault([f"{file}:{error.line or 1}: {error.problems[0].says}"]) from None
    try:
        found = catalogue_of(document.value)
    except Refused as error:
        raise CatalogueFault(_faults(file, document, error.problems)) from None
    if name not in (None, found.name):
        line = document.line("/catalogue")
        raise CatalogueFault([f"{file}:{line}: catalogue: {found.name} stands in {name}.yaml; give both one name"])
    return found


def _folder() -> Path:
    return shipped.folder("rulesets") / "catalogues"


def _faults(file: str, document: Document, problems: Iterable[Problem]) -> list[str]:
    told = [(document.line(one.pointer), f"{_where(document.value, one.pointer)}{one.says}") for one in problems]
    return [f"{file}:{line}: {says}" for line, says in sorted(told)]


def _where(value: Any, pointer: str) -> str:
    """Say where a fault stands in the words of the file: `twist-on-medium, places: `."""
    parts = pointer.split("/")[1:]
    if parts[:1] == ["connectors"] and len(parts) > 1:
        named = _at(value, join("", *parts[:2], "id"))
        parts = [str(named) if isinstance(named, str) else f"connector {int(parts[1]) + 1}", *parts[2:]]
    words = [part.replace("~1", "/").replace("~0", "~") for part in parts if not part.isdigit()]
    return f"{', '.join(words)}: " if words else ""


def _at(value: Any, pointer: str) -> Any:
    for part in pointer.split("/")[1:]:
        try:
            value = value[int(part)] if isinstance(value, list) else value[part]
        except (LookupError, TypeError, ValueError):
            return None
    return value
