"""What the fast reader of workbooks does not tell: cells in error, formulas never calculated, how far a sheet goes.

The reader lays a sheet out as a full rectangle, so a single cell in the farthest corner would take all memory, and it
gives a cell in error as an empty one, for which a default would then be filled in. So the XML is looked through before.
"""

from __future__ import annotations

import posixpath
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from xml.etree import ElementTree as ET

from splicewright.sheets.table import NoTable

MOST_BYTES = 300_000_000  # of all parts, unpacked
MOST_ROWS, MOST_COLUMNS = 200_000, 200
_CHUNK = 1_000_000
_CELL = rb"<(?:\w+:)?c\s([^<>]*)>"
_REFERENCE = re.compile(rb"""<(?:\w+:)?c\s[^<>]*?\br\s*=\s*["']([A-Za-z]{1,3})([0-9]{1,7})["']""")
_ROW = re.compile(rb"""<(?:\w+:)?row\s[^<>]*?\br\s*=\s*["']([0-9]{1,9})["']""")
_ANY_CELL = re.compile(rb"<(?:\w+:)?c[\s/>]")
_ANY_ROW = re.compile(rb"<(?:\w+:)?row[\s/>]")
_ERROR = re.compile(rb"""<(?:\w+:)?c\s(?=[^<>]*\bt\s*=\s*["']e["'])[^<>]*?\br\s*=\s*["']([A-Z0-9]+)["'][^<>]*>""")
_NEVER = re.compile(
    _CELL + rb"\s*<(?:\w+:)?f\b[^<>]*(?:/>|>[^<]*</(?:\w+:)?f>)\s*"
    rb"(?:<(?:\w+:)?v\s*/>|<(?:\w+:)?v>\s*</(?:\w+:)?v>)?\s*</(?:\w+:)?c>"
)
_R = re.compile(rb"""\br\s*=\s*["']([A-Z0-9]+)["']""")
_CALCULATED_TEXT = re.compile(rb"""\bt\s*=\s*["']str["']""")
#: What the readers of archives and XML raise for what they can't make sense of.
_DAMAGED = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, struct.error, ET.ParseError, LookupError, ValueError,
    OverflowError, NotImplementedError, RuntimeError, EOFError, OSError,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scan:
    """What was seen in one sheet. Cells are named as in `C12`."""

    errors: frozenset[str]
    never_calculated: frozenset[str]
    too_large: bool


def scan_workbook(data: bytes) -> Mapping[str, Scan]:
    """Look through each sheet of an XLSX file, by its name. Raises `NoTable` where it is none, or too large."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as packed:
            _fits(packed)
            return {name: _scan(packed.read(part)) for name, part in _parts(packed)}
    except NoTable:
        raise
    except _DAMAGED:
        raise NoTable("is no XLSX workbook, or is damaged or locked") from None


def _fits(packed: zipfile.ZipFile) -> None:
    if sum(part.file_size for part in packed.infolist()) > MOST_BYTES:
        raise NoTable(f"is larger than {MOST_BYTES:,} bytes when unpacked")
    for part in packed.infolist():  # a size that the file tells wrongly does not pass its own checksum
        with packed.open(part) as stream:
            while stream.read(_CHUNK):
                pass


def _parts(packed: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    targets = {
        one.get("Id"): one.get("Target", "")
        for one in ET.fromstring(packed.read("xl/_rels/workbook.xml.rels"))  # noqa: S314 - no entity leaves this file
    }
    for one in ET.fromstring(packed.read("xl/workbook.xml")).iter():  # noqa: S314
        if one.tag.rpartition("}")[2] != "sheet":
            continue
        link = next((value for key, value in one.attrib.items() if key.rpartition("}")[2] == "id"), None)
        target = targets.get(link, "")
        if "worksheets/" in target:
            yield one.get("name", ""), posixpath.normpath(posixpath.join("/xl", target))[1:]


def _scan(text: bytes) -> Scan:
    errors = frozenset(match[1].decode() for match in _ERROR.finditer(text))
    never = frozenset(
        found[1].decode()
        for match in _NEVER.finditer(text)
        if not _CALCULATED_TEXT.search(match[1]) and (found := _R.search(match[1]))
    )
    return Scan(errors, never, _goes_far(text))


def _goes_far(text: bytes) -> bool:
    """Tell whether a cell lies beyond what is read; one that does not say where it is stands after the one before."""
    corners = [(match[1], match[2]) for match in _REFERENCE.finditer(text)]
    numbers = {row for _, row in corners}.union(match[1] for match in _ROW.finditer(text))
    if any(int(number) > MOST_ROWS for number in numbers):
        return True
    if any(_number(letters) > MOST_COLUMNS for letters in {letters for letters, _ in corners}):
        return True
    if len(_ANY_CELL.findall(text)) == len(corners):
        return False
    rows = _ANY_ROW.split(text)
    return len(rows) > MOST_ROWS or any(len(_ANY_CELL.findall(row)) > MOST_COLUMNS for row in rows)


def _number(letters: bytes) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + letter - 64
    return number
