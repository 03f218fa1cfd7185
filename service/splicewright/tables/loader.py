"""Reads the tables of `rulesets/tables`, strictly. The only reader of that folder.

A table is a map with `table`, `about`, `source` and its rows; `source` is what every figure of it rests on:
`common-practice`, or a document with its `sections`, each by the edition that it is new in, and `through`, the newest
edition that the figures were read for. Rows that are new in an edition say `since`; figures that changed stand under
`editions`, each by the edition that it is new in. A fault in a shipped table is a programming error and names file and
line.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from splicewright import shipped
from splicewright.answer_forms import source_plain
from splicewright.codes import FILE as CODES
from splicewright.codes import Code, codes, edition_of
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.refusals import Problem, not_allowed

if TYPE_CHECKING:
    from pathlib import Path

Figure = TypeVar("Figure")


@dataclass(frozen=True)
class Table:
    """One file of figures with the source they rest on."""

    name: str
    source: dict[str, Any] | str  # `common-practice`, or document, sections by edition, through, obtained
    rows: dict[str, Any]

    def holds_for(self, code_edition: str) -> bool:
        """Say whether the figures were read for a code edition. They are never stretched to another."""
        return self.code is None or code_edition in self._code_editions

    @functools.cached_property
    def code(self) -> Code | None:
        """The code that the figures are of; None for common practice."""
        return None if isinstance(self.source, str) else codes().titled(self.source["document"])

    def read_for(self, edition: str) -> bool:
        """Say whether the figures, which are of a code, were read for an edition of it."""
        return edition in self._editions

    @functools.cached_property
    def _code_editions(self) -> frozenset[str]:
        return frozenset(f"{self.code.name}-{edition}" for edition in self._editions) if self.code else frozenset()

    @functools.cached_property
    def _editions(self) -> tuple[str, ...]:
        assert self.code is not None
        assert isinstance(self.source, dict)
        first = next(iter(self.source["sections"]))
        return self.code.claim(f"{first}-", str(self.source["through"])).editions

    def cited(self, code_edition: str, section: str | None = None, obtained: str | None = None) -> dict[str, Any]:
        """Give what the figures rest on in a code edition, as an answer cites it.

        `section` and `obtained` where a row has its own. Raises KeyError for an edition that was not read.
        """
        if self.code is None:
            return source_plain(None)
        if not self.holds_for(code_edition):
            raise KeyError(f"the table {self.name} was not read for {code_edition}")
        assert isinstance(self.source, dict)
        edition = edition_of(code_edition)
        return source_plain(
            self.source["document"],
            edition=edition,
            section=section or self.code.figure(edition, self.source["sections"]),
            obtained=obtained or self.source["obtained"],
        )

    def has(self, row: Mapping[str, Any], edition: str) -> bool:
        """Say whether a row stands in an edition: from its `since` on, if it has one."""
        return "since" not in row or (self.code is not None and self.code.reached(edition, row["since"]))

    def figure(self, since: Mapping[str, Figure], edition: str) -> Figure:
        """Give what holds in an edition, of figures by the edition that each is new in. Raises KeyError before all."""
        assert self.code is not None
        return self.code.figure(edition, since)


@functools.cache
def table(name: str) -> Table:
    """Load a table by its name, once a process."""
    folder = shipped.folder("rulesets") / "tables"
    try:
        return read_table(folder / f"{name}.yaml", claims=not shipped.is_installed())
    except Faults:
        tables_of(folder)  # which tells the faults of the others too
        raise


@functools.cache
def holds_for(name: str, code_edition: str) -> bool:
    """Say whether a table's figures were read for a code edition, looked up once."""
    return table(name).holds_for(code_edition)


@functools.cache
def tables_in_use() -> dict[str, Any]:
    """Give the content of every shipped table as it was when first asked for: what digests are made of."""
    return tables_of(shipped.folder("rulesets") / "tables", claims=not shipped.is_installed())


def tables_of(folder: Path, *, claims: bool = True) -> dict[str, Any]:
    """Give the content of every table of a folder by its name. Raises `Faults`, those of all tables at once.

    `claims` is whether to look what editions each claims; a package was looked through before it was built.
    """
    found: dict[str, Any] = {}
    faults: list[Fault] = []
    for path in sorted(folder.glob("*.yaml")):
        try:
            read = read_table(path, claims=claims)
            found[read.name] = {"source": read.source, "rows": read.rows}
        except Faults as error:
            faults += error.faults
    if faults:
        raise Faults(faults)
    return found


def unread_tables(code: Code, edition: str) -> tuple[str, ...]:
    """Give the names of the shipped tables of a code that were not read for an edition of it."""
    of_code = (found for found in map(table, tables_in_use()) if found.code and found.code.name == code.name)
    return tuple(found.name for found in of_code if not found.read_for(edition))


def read_table(path: Path, *, claims: bool = True) -> Table:
    """Read one table file; `claims` as in `tables_of`. Raises `Faults` with file and line."""
    document = shipped.read_data_file(path, str(path))
    problems = list(_problems(path.stem, document, claims=claims))
    if problems:
        raise document.faults(problems)
    value = dict(document.value)
    value.pop("about")
    return Table(value.pop("table"), value.pop("source"), value)


def _problems(name: str, document: Document, *, claims: bool) -> Iterator[Problem]:
    value = document.value
    for key in ("table", "about", "source"):
        if not isinstance(value, dict) or key not in value:
            yield Problem("", f"a table needs {key!r}")
            return
    if value["table"] != name:
        yield Problem("/table", f"the table is called {name!r} like its file")
    source = value["source"]
    if source == "common-practice":
        return
    keys = {"document", "sections", "through", "obtained"}
    if not (isinstance(source, dict) and keys <= source.keys() and isinstance(source["sections"], dict)):
        yield Problem("/source", "is common-practice, or has document, sections (by edition), through and obtained")
        return
    if not all(isinstance(section, str) for section in source["sections"].values()):
        yield Problem("/source", 'a section that looks like a number is written in quotes, or "340.10" becomes 340.1')
    code = codes().titled(source["document"])
    if code is None:
        titles = [one.title for one in codes().by_name.values()]
        yield Problem("/source/document", not_allowed(str(source["document"]), titles))
        return
    if claims:
        yield from _misclaimed(value, code)


def _misclaimed(value: Mapping[str, Any], code: Code) -> Iterator[Problem]:
    """Tell editions that the code does not have, and figures that are not there for an edition that is claimed."""
    source = value["source"]
    through, sections = str(source["through"]), list(source["sections"])
    wrong = [*_unknown(value, code)]
    yield from wrong
    if wrong or not sections:
        return
    if not code.reached(through, code.through):
        says = f"is {through}, and {code.title} is asked through {code.through}; read the table for it"
        yield Problem("/source/through", f"{says}, or let {CODES} say through: {through}")
    for pointer, figures in _by_edition(value):
        if not code.reached(sections[0], next(iter(figures))):
            says = f"has nothing for {sections[0]}, from which on {value['table']} has figures"
            yield Problem(pointer, says)
        if sorted(figures, key=code.editions.index) != list(figures):
            yield Problem(pointer, f"names editions out of order; write them as {code.title} has them")


def _unknown(value: Mapping[str, Any], code: Code) -> Iterator[Problem]:
    source = value["source"]
    named = [(join("/source/sections", section), section) for section in source["sections"]]
    named += [("/source/through", str(source["through"]))]
    named += [(where, str(since)) for where, since in _since(value)]
    named += [(where, edition) for where, figures in _by_edition(value) for edition in figures]
    for where, edition in named:
        if edition not in code.editions:
            yield Problem(where, f"{code.title} has no such edition: {not_allowed(edition, code.editions)}")


def _parts(value: Any, pointer: str) -> Iterator[tuple[str, str, Any]]:
    """Give every part inside a value: its pointer, its key, itself."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in inside:
        at = join(pointer, key)
        yield at, str(key), part
        yield from _parts(part, at)


def _since(value: Any) -> Iterator[tuple[str, Any]]:
    return ((at, part) for at, key, part in _parts(value, "") if key == "since")


def _by_edition(value: Any) -> Iterator[tuple[str, Mapping[str, Any]]]:
    return (
        (at, part)
        for at, key, part in _parts(value, "")
        if at == "/source/sections" or (key == "editions" and isinstance(part, dict))
    )
