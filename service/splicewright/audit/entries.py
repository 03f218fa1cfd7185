"""Reads a file of any kind into its entries, each with the place of every part of it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO, Protocol

from splicewright.audit.files import CheckedFile, unread
from splicewright.audit.finding import Judgement
from splicewright.audit.kinds import Kind, kind_of, misspelled, unrecognized, written_in
from splicewright.document import Document
from splicewright.json_pointer import join
from splicewright.json_text import read_json, read_json_document
from splicewright.refusals import NotText, Says
from splicewright.sheets.joints import SheetJoint, faults_beside, mapping_hint, read_headings, read_joints
from splicewright.sheets.table import Grid, NoTable, Spot
from splicewright.sheets.tables import LARGEST as LARGEST_TABLE
from splicewright.sheets.tables import head_in_text, read_tables
from splicewright.yaml_text import read_yaml_documents

LARGEST_DOCUMENT = 10_000_000  # bytes
LARGEST_LINE = 1_000_000
_HINTS = 3


class NotOurs(Exception):
    """The file was found in a folder, and nothing in it is meant for us."""


class NotRead(NotOurs):
    """The file was found in a folder, and may hold tables of a kind that is not read; it says what to do."""


class OfCatalogue(NotOurs):
    """The file has tables of a catalogue; `at` is what `splicewright catalogue check` takes."""

    def __init__(self, at: Path) -> None:
        super().__init__(at)
        self.at = at


class OtherTables(Protocol):
    """Tables of a file that are none of joints, and what they are found by."""

    @property
    def at(self) -> Path:
        """Give the workbook or folder."""

    @property
    def grids(self) -> Sequence[Grid]:
        """Give the tables."""


#: Tells tables of a catalogue among those of a file, with the headings that are mapped; None: there are none.
Recognize = Callable[[Path, Sequence[Grid], Mapping[str, str]], OtherTables | None]


@dataclass(frozen=True)
class AuditEntry:
    """One check, question, box or job of a file; `kind` None: it can't be read as one, and `faults` say why."""

    kind: Kind | None
    value: Any
    number: int  # in its file, from 1
    spot: Callable[[str], Spot]
    faults: tuple[tuple[Judgement, Spot], ...] = ()
    only_read: bool = False  # it may be misread (its table has a wrong heading), so it is not decided
    sheet_joint: SheetJoint | None = field(default=None, repr=False)


def read_entries(
    source: CheckedFile, mapped: Mapping[str, str] | None = None, recognize: Recognize | None = None
) -> Iterator[AuditEntry]:
    """Read a file entry by entry. Raises `NotOurs` before the first where it was not named and is nothing of ours.

    `mapped` gives for headings of the user's own the columns that they are. Where all tables of a file are those of a
    catalogue, as `recognize` tells, raises `OfCatalogue`, named or not.
    """
    kind = source.kind
    if kind is None:
        says = unread(source.path)
        if not source.named:
            raise NotRead(says) if source.holds_unread_table else NotOurs
        return iter([_fault("input/unrecognized", says, Spot(1))])
    try:
        if kind == "ndjson":
            return _lines(source)
        most = LARGEST_TABLE.get(kind, LARGEST_DOCUMENT)
        with source.path.open("rb") as stream:
            data = stream.read(most + 1)
    except OSError as error:
        return iter([_fault("input/unreadable", f"can't be read: {error.strerror or error}", Spot(1))])
    if len(data) > most:
        return iter([_fault("input/unreadable", f"is larger than {most:,} bytes", Spot(1))])
    if kind in LARGEST_TABLE:
        return _tables(source, data, kind, mapped or {}, recognize)
    return _documents(source, data, kind)


def _fault(rule: str, says: str, spot: Spot, number: int = 1) -> AuditEntry:
    return AuditEntry(
        None, None, number, lambda _pointer: spot, ((Judgement("error", rule, says, waivable=False), spot),)
    )


def _documents(source: CheckedFile, data: bytes, kind: str) -> Iterator[AuditEntry]:
    try:
        documents = [read_json_document(data)] if kind == "json" else read_yaml_documents(data)
    except NotText as error:
        if not source.named and not written_in(data):
            raise NotOurs from None
        return iter([_fault("input/unreadable", error.problems[0].says, Spot(error.line or 1, error.column))])
    parts = [part for document in documents for part in _parts(document)]
    if not source.named and not any(kind_of(value) or misspelled(value) for value, _ in parts):
        raise NotOurs
    if not parts:
        return iter([_fault("input/unrecognized", "holds no entry", Spot(1))])
    return (_entry(value, number, spot) for number, (value, spot) in enumerate(parts, start=1))


def _parts(document: Document) -> list[tuple[Any, Callable[[str], Spot]]]:
    """Give what a document holds: itself, or each entry of a list."""
    if isinstance(document.value, list):
        return [(value, _spots(document, join("", at))) for at, value in enumerate(document.value)]
    return [(document.value, _spots(document, ""))]


def _spots(document: Document, base: str) -> Callable[[str], Spot]:
    return lambda pointer: Spot(document.line(base + pointer), document.column(base + pointer))


def _entry(value: Any, number: int, spot: Callable[[str], Spot]) -> AuditEntry:
    kind = kind_of(value)
    if kind is None:
        return _fault("input/unrecognized", unrecognized(value), spot(""), number)
    return AuditEntry(kind, value, number, spot)


def _lines(source: CheckedFile) -> Iterator[AuditEntry]:
    """Read NDJSON line by line; whether it is ours is told by the first line that holds anything."""
    stream = source.path.open("rb")
    numbered = _numbered(stream)
    first = next(numbered, None)
    if first is None:
        if source.named:
            return iter([_fault("input/unrecognized", "holds no entry", Spot(1))])
        raise NotOurs
    if not source.named and not _meant(first[1]):
        numbered.close()
        raise NotOurs
    return (_line(number, text) for number, text in itertools.chain([first], numbered))


def _meant(line: bytes) -> bool:
    try:
        value = read_json(line)
    except NotText:
        return written_in(line)
    return kind_of(value) is not None or misspelled(value) is not None


def _numbered(stream: BinaryIO) -> Generator[tuple[int, bytes]]:
    """Give the lines that are not blank, each with its number. Of a line that is too long the rest is dropped."""
    with stream:
        for number in itertools.count(1):
            line = rest = stream.readline(LARGEST_LINE + 1)
            while len(rest) > LARGEST_LINE and not rest.endswith(b"\n"):
                rest = stream.readline(LARGEST_LINE + 1)
            if not line:
                return
            if not line.isspace():
                yield number, line


def _line(number: int, text: bytes) -> AuditEntry:
    if len(text) > LARGEST_LINE:
        return _fault("input/unreadable", f"the line is longer than {LARGEST_LINE:,} bytes", Spot(number), number)
    try:
        document = read_json_document(text.rstrip(b"\r\n"))
    except NotText as error:
        return _fault("input/unreadable", error.problems[0].says, Spot(number, error.column), number)
    return _entry(document.value, number, lambda pointer: Spot(number, document.column(pointer)))


def _tables(
    source: CheckedFile, data: bytes, kind: str, mapped: Mapping[str, str], recognize: Recognize | None
) -> Iterator[AuditEntry]:
    try:
        grids = read_tables(data, kind, mapped)
    except NoTable as error:
        # Of a text that is none it is not known whose it is: only one whose cells are ours, or can't be told, is told.
        if not source.named and kind == "csv" and error.row is not None and not head_in_text(data, mapped):
            raise NotOurs from None
        return iter([_fault("input/unreadable", error.says, Spot(error.row or 1))])
    other = recognize(source.path, grids, mapped) if recognize else None
    theirs = other.grids if other else ()
    ours = [grid for grid in grids if not any(grid is one for one in theirs) and read_headings(grid, mapped).of_joints]
    if other and not ours:
        raise OfCatalogue(other.at)
    if not ours:
        if not source.named:
            raise NotOurs
        what = "is no table of joints" if kind in ("csv", "tsv") else "no sheet of it is a table of joints"
        faults = [fault.says for grid in grids for fault in read_headings(grid, mapped).faults]
        near = [says for says in faults if isinstance(says, Says) and says.nearest]
        hint = "; ".join(near[:_HINTS]) or "`splicewright template` writes them"
        says = f"{what}: fewer than half of its headings are known; {hint}; {mapping_hint(grids, mapped)}"
        return iter([_fault("input/unrecognized", says, Spot(1))])
    return (entry for grid in ours for entry in _rows(grid, mapped))


def _rows(grid: Grid, mapped: Mapping[str, str]) -> Iterator[AuditEntry]:
    headings = read_headings(grid, mapped)
    number = 0
    for fault in [*headings.faults, *faults_beside(grid)]:
        yield _fault("input/invalid", fault.says, fault.spot, number)
    for number, joint in enumerate(read_joints(grid, headings), start=1):
        faults = tuple(
            (Judgement("error", "input/invalid", fault.says, fault.pointer, waivable=False), fault.spot)
            for fault in joint.faults
        )
        kind: Kind = "check" if "proposal" in joint.value else "question"
        yield AuditEntry(kind, joint.value, number, joint.spot, faults, bool(headings.faults), joint)
