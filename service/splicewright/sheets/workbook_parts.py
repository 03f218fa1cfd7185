"""The parts of an XLSX workbook that are read: taken out of the archive within bounds, and packed anew.

Archives and their lists of parts can be read in more ways than one. What was looked through is packed anew, with
nothing else, so that the fast reader can't find other sheets than those whose extent is known.
"""

from __future__ import annotations

import io
import posixpath
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from xml.parsers import expat

from splicewright.sheets.table import NoTable

MOST_BYTES = 100_000_000  # of the parts that are read, unpacked
MOST_TAGS = 12_000_000  # in them
PART_OF_XLSX, PART_OF_ODS = "xl/workbook.xml", "content.xml"
#: What the readers of archives and XML raise for what they can't make sense of.
DAMAGED = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, struct.error, expat.ExpatError, LookupError, ValueError,
    OverflowError, NotImplementedError, RuntimeError, EOFError, OSError,
)  # fmt: skip
_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


@dataclass(frozen=True, slots=True)
class WorkbookParts:
    """What is read of a workbook: the XML of its sheets by name, its texts and styles, and how it counts days."""

    sheets: Mapping[str, bytes]
    texts: bytes | None
    styles: bytes | None
    from_1904: bool
    hidden: frozenset[str]  # sheets that are not shown


def unpack(data: bytes) -> WorkbookParts:
    """Take the parts out of an XLSX file. Raises `NoTable` where it is none, or too large."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _Unpacking(archive).parts()
    except NoTable:
        raise
    except DAMAGED:
        raise NoTable("is no XLSX workbook, or is damaged or locked") from None


def pack(parts: WorkbookParts) -> bytes:
    """Make a workbook of these parts and no others: its sheets have no names, and stand in the order of `sheets`."""
    kinds = {f"s{at}": "worksheet" for at in range(len(parts.sheets))}
    beside = {"sharedStrings": parts.texts, "styles": parts.styles}
    kinds |= {name: name for name, text in beside.items() if text is not None}
    sheets = "".join(f'<sheet name="s{at}" sheetId="{at + 1}" r:id="s{at}"/>' for at in range(len(parts.sheets)))
    days = f'<workbookPr date1904="{int(parts.from_1904)}"/>'
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("_rels/.rels", _related({"xl/workbook": "officeDocument"}))
        archive.writestr("xl/_rels/workbook.xml.rels", _related(kinds))
        archive.writestr(
            PART_OF_XLSX,
            f'<workbook xmlns="{_MAIN}" xmlns:r="{_RELATION}">{days}<sheets>{sheets}</sheets></workbook>',
        )
        for at, text in enumerate(parts.sheets.values()):
            archive.writestr(f"xl/s{at}.xml", text)
        for name, part in beside.items():
            if part is not None:
                archive.writestr(f"xl/{name}.xml", part)
    return out.getvalue()


def _related(kinds: Mapping[str, str]) -> str:
    links = "".join(
        f'<Relationship Id="{name}" Type="{_RELATION}/{kind}" Target="{name}.xml"/>' for name, kind in kinds.items()
    )
    return f'<Relationships xmlns="{_RELATIONS}">{links}</Relationships>'


def read_xml(text: bytes, started: Callable[[str, dict[str, str]], None], **handlers: Callable[..., None]) -> None:
    """Tell each element with its local name and attributes as it starts. Raises `NoTable`, `ExpatError`.

    Other `handlers` are those of `xml.parsers.expat`. Text is UTF-8 and declares no entities.
    """
    parser = expat.ParserCreate("UTF-8")
    parser.buffer_text = True
    parser.StartElementHandler = lambda name, given: started(name.rpartition(":")[2], given)
    parser.StartDoctypeDeclHandler = _refuse_doctype
    for name, handler in handlers.items():
        setattr(parser, name, handler)
    parser.Parse(text, True)


def _refuse_doctype(*_: object) -> None:
    raise NoTable("is no XLSX workbook: a part of it declares a document type")


class _Unpacking:
    """Reads parts of one archive, and counts what it read."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self._bytes, self._tags = MOST_BYTES, MOST_TAGS

    def parts(self) -> WorkbookParts:
        if PART_OF_ODS in self._archive.namelist():
            raise NoTable("is no XLSX workbook but one of OpenDocument; let its name end with .ods")
        sheets: dict[str, bytes] = {}
        found: dict[str, bytes] = {}
        links = dict(self._links())
        listed = list(self._listed())
        for name, link in listed:
            kind, part = links.get(link, ("", ""))
            if kind != "worksheet":
                continue
            if name in sheets:
                raise NoTable(f"has two sheets called {name!r}")
            sheets[name] = self._read(part)
        for kind, part in links.values():
            if kind in ("sharedStrings", "styles") and kind not in found and part in self._archive.namelist():
                found[kind] = self._read(part)
        return WorkbookParts(sheets, found.get("sharedStrings"), found.get("styles"), self._from_1904, self._hidden)

    def _read(self, part: str) -> bytes:
        with self._archive.open(part) as stream:
            text = stream.read(self._bytes + 1)
        self._bytes -= len(text)
        if self._bytes < 0:
            raise NoTable(f"is larger than {MOST_BYTES:,} bytes when unpacked")
        self._tags -= text.count(b"<")
        if self._tags < 0:
            raise NoTable(f"has more than {MOST_TAGS:,} tags when unpacked")
        return text

    def _links(self) -> Iterator[tuple[str, tuple[str, str]]]:
        """Give the kind of each part that the workbook names and its path in the archive, by the name of the link."""
        found: list[dict[str, str]] = []
        read_xml(self._read("xl/_rels/workbook.xml.rels"), lambda _, given: found.append(given))
        for one in found:
            path = posixpath.normpath(posixpath.join("/xl", one.get("Target", "")))[1:]
            yield one.get("Id", ""), (one.get("Type", "").rpartition("/")[2], path)

    def _listed(self) -> Iterator[tuple[str, str]]:
        """Give the name of each sheet, and of the link to it."""
        found: list[tuple[str, dict[str, str]]] = []
        read_xml(self._read(PART_OF_XLSX), lambda name, given: found.append((name, given)))
        self._from_1904 = any(given.get("date1904") in ("1", "true") for name, given in found if name == "workbookPr")
        sheets = [given for name, given in found if name == "sheet"]
        self._hidden = frozenset(one.get("name", "") for one in sheets if one.get("state", "visible") != "visible")
        for given in sheets:
            link = next((value for key, value in given.items() if key.rpartition(":")[2] == "id"), "")
            yield given.get("name", ""), link
