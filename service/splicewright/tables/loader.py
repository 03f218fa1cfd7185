"""Reads the tables of `rulesets/tables`, strictly. The only reader of that folder.

A table is a map with `table`, `about`, `source` and its rows; `source` is what every figure of it rests on:
`common-practice`, or a document with the section of each edition that the figures were entered for. A fault in a
shipped table is a programming error and names file and line.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from splicewright import shipped
from splicewright.reading import Document, NotText, read_yaml

if TYPE_CHECKING:
    from pathlib import Path


class TableFault(ValueError):
    """A table file is not as it must be."""


@dataclass(frozen=True, slots=True)
class Table:
    """One file of figures with the source they rest on."""

    name: str
    source: dict[str, Any] | str  # `common-practice`, or document, sections by edition, obtained
    rows: dict[str, Any]

    def holds_for(self, code: str) -> bool:
        """Say whether the figures were entered for a code edition. They are never stretched to another."""
        if isinstance(self.source, str):
            return True
        family, _, edition = code.partition("-")
        document = str(self.source["document"]).lower().replace(" ", "")
        return document == family and edition in self.source["sections"]


@functools.cache
def table(name: str) -> Table:
    """Load a table by its name, once a process."""
    path = shipped.folder("rulesets") / "tables" / f"{name}.yaml"
    return read_table(path)


@functools.cache
def tables_in_use() -> dict[str, Any]:
    """Give the content of every shipped table as it was when first asked for: what digests are made of."""
    return tables_of(shipped.folder("rulesets") / "tables")


def tables_of(folder: Path) -> dict[str, Any]:
    """Give the content of every table of a folder by its name. Raises `TableFault`."""
    found = (read_table(path) for path in sorted(folder.glob("*.yaml")))
    return {one.name: {"source": one.source, "rows": one.rows} for one in found}


def read_table(path: Path) -> Table:
    """Read one table file. Raises `TableFault` with file and line."""
    try:
        document = read_yaml(path.read_bytes())
    except NotText as error:
        raise TableFault(f"{path}:{error.line or 1}: {error.problems[0].says}") from None
    _check(path, document)
    value = dict(document.value)
    value.pop("about")
    return Table(value.pop("table"), value.pop("source"), value)


def _check(path: Path, document: Document) -> None:
    value = document.value
    for key in ("table", "about", "source"):
        if not isinstance(value, dict) or key not in value:
            raise TableFault(f"{path}:1: a table needs {key!r}")
    if value["table"] != path.stem:
        raise TableFault(f"{path}:{document.line('/table')}: the table is called {path.stem!r} like its file")
    source = value["source"]
    good = isinstance(source, dict) and {"document", "sections", "obtained"} <= source.keys()
    if source != "common-practice" and not (good and isinstance(source["sections"], dict)):
        says = "a source is common-practice, or has document, sections (by edition) and obtained"
        raise TableFault(f"{path}:{document.line('/source')}: {says}")
    if source != "common-practice" and not all(isinstance(one, str) for one in source["sections"].values()):
        says = 'a section that looks like a number is written in quotes, or "340.10" becomes 340.1'
        raise TableFault(f"{path}:{document.line('/source')}: {says}")
