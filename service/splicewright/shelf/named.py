"""A catalogue by its name or by its file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from splicewright.catalogue import Catalogue, parse_catalogue
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.document import is_file
from splicewright.faults import Fault, Faults
from splicewright.refusals import Refused
from splicewright.yaml_text import read_data_file

LARGEST = 20_000_000  # bytes


def catalogue_named(given: str | None, holding: LoadedRules) -> Catalogue:
    """Read the catalogue of that name or in that file; where none is given, that which stands for questions.

    Raises `Faults`.
    """
    name = holding.unsaid.values.get("catalogue") if given is None else given
    if name is None:
        known = ", ".join(holding.catalogue_names())
        raise Faults([Fault("", 0, "--catalogue", f"no catalogue stands for it here; name one of: {known}")])
    if is_file(name):
        return catalogue_in_file(Path(name))
    try:
        return holding.index(name).catalogue
    except Refused as error:
        says = f"{error.problems[0].says}; of a file write its path, such as ./{name}.yaml"
        raise Faults([Fault("", 0, "no catalogue", says)]) from None


def plain_catalogue(given: str, holding: LoadedRules) -> dict[str, Any]:
    """Give a catalogue as its file writes it, as plain data. Raises `Faults` where it is not valid."""
    catalogue_named(given, holding)
    path = file_named(given, holding)
    value: dict[str, Any] = read_data_file(file_bytes(path), str(path)).value
    return value


def file_named(given: str, holding: LoadedRules) -> Path:
    """Give the file of a catalogue, known by its name or by that file."""
    return Path(given) if is_file(given) else holding.catalogue_file(given)


def catalogue_in_file(path: Path) -> Catalogue:
    """Read a catalogue file, whatever it is called. Raises `Faults`."""
    return parse_catalogue(file_bytes(path), str(path))


def file_bytes(path: Path) -> bytes:
    """Read a catalogue's file whole. Raises `Faults` where that can't be done, or where it is too large."""
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as error:
        raise Faults([Fault(str(path), 0, "", f"can't be read: {error.strerror}")]) from None
    if len(data) > LARGEST:
        raise Faults([Fault(str(path), 0, "", f"is larger than {LARGEST:,} bytes")])
    return data
