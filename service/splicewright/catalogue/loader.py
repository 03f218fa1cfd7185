"""Reads catalogue files. The only part of `catalogue/` that touches a file; a fault names file and line."""

from __future__ import annotations

import functools
from pathlib import Path

from splicewright import shipped
from splicewright.catalogue.build import catalogue_of
from splicewright.catalogue.model import Catalogue
from splicewright.faults import Fault, Faults
from splicewright.reading import Document, Problem, Refused, not_allowed, read_data_file


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
