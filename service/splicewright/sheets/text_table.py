"""Reads a table out of a text file, whatever parts its cells and however its letters are written, where that is sure.

What is not sure is not read: a cell whose letters or numbers may mean two things is `Unusable` and tells why.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from splicewright.sheets.csv_file import csv_rows, grid_of_rows
from splicewright.sheets.table import MOST_CELLS, Grid, NoTable, Row, Unusable

LARGEST = 50_000_000  # bytes
IsHead = Callable[[Sequence[Any]], bool]
MOST_TITLES = 10  # rows above the headings
_BEGIN = 1_000_000  # characters in which headings are looked for
_SIGNS = (",", ";", "\t", "|")
_DECLARED = re.compile(r"sep=(.)\r?\n")
_UTF_16 = {codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
_OLD = "cp1252"  # what Western European and American programs write that write no Unicode
_POINTED = re.compile(r"[-+]?[1-9][0-9]{0,2}\.[0-9]{3}(?: ?(?!in\b)[^\s0-9.,].*)?", re.IGNORECASE)


def read_text_table(data: bytes, is_head: IsHead, sign: str | None = None) -> Grid | None:
    """Read the one table of a text file; None where the file is empty. Raises `NoTable`.

    `is_head` tells the headings: rows above them are titles. `sign` parts the cells, where that is known.
    """
    text, sure = _decoded(data)
    lines = 0
    if declared := _DECLARED.match(text):  # how a spreadsheet program says it to its like
        text, sign, lines = text[declared.end() :], declared[1], 1
    if text.count(sign or ",") + max(text.count("\n"), text.count("\r")) > MOST_CELLS:
        raise NoTable(f"has more than {MOST_CELLS:,} cells, empty ones counted")
    sign = sign or _sign(text, is_head)
    rows = [Row(row.number + lines, row.values) for row in csv_rows(text, sign)]
    rows = rows[title_rows(rows, is_head) :]
    if not rows:
        return None
    marked = [rows[0], *(Row(row.number, _marked(row.values, sure, sign)) for row in rows[1:])]
    return grid_of_rows(marked, sign)


def title_rows(rows: Sequence[Row], is_head: IsHead) -> int:
    """Give how many rows stand above the headings; none where no row has them."""
    return next((at for at, row in enumerate(rows[: MOST_TITLES + 1]) if is_head(row.values)), 0)


def unsure_number(value: Any) -> Any:
    """Give a cell as it is; `Unusable` where its point may part thousands or decimals."""
    if isinstance(value, str) and _POINTED.fullmatch(text := value.strip()):
        number = text.split(" ")[0]
        whole, sharp = number.replace(".", ""), f"{number}0"
        return Unusable(f"{text!r} may mean {whole} or {sharp[:-1]}; write {whole} or {sharp}", value)
    return value


def _decoded(data: bytes) -> tuple[str, bool]:
    """Give the text, and whether each of its letters is sure. Raises `NoTable`."""
    if len(data) > LARGEST:
        raise NoTable(f"is larger than {LARGEST:,} bytes")
    sure = True
    try:
        text = data.decode(next((name for mark, name in _UTF_16.items() if data.startswith(mark)), "utf-8-sig"))
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        if data.startswith(tuple(_UTF_16)):
            raise NoTable("is no whole UTF-16 text; save it as CSV UTF-8", line) from None
        try:
            text, sure = data.decode(_OLD), False
        except UnicodeDecodeError:
            raise NoTable("is not UTF-8 text; save it as CSV UTF-8", line) from None
    if "\0" in text:
        says = "is not text: it holds a zero byte; save it as CSV UTF-8"
        raise NoTable(says, text.count("\n", 0, text.index("\0")) + 1)
    return text, sure


def _sign(text: str, is_head: IsHead) -> str:
    """Give what parts the cells: the sign by which a row near the beginning has the headings, else a comma."""
    begin = text[:_BEGIN]
    return next((sign for sign in _SIGNS if _has_head(begin, sign, is_head)), ",")


def _has_head(text: str, sign: str, is_head: IsHead) -> bool:
    try:
        return any(is_head(row.values) for row, _ in zip(csv_rows(text, sign), range(MOST_TITLES + 1), strict=False))
    except NoTable:
        return False


def _marked(values: Iterable[str], sure: bool, sign: str) -> list[Any]:
    found = list(values) if sure else [_unsure_letters(value) for value in values]
    # Where commas part cells they part no decimals, so a point does.
    return found if sign == "," else [unsure_number(value) for value in found]


def _unsure_letters(value: str) -> Any:
    if value.isascii():
        return value
    says = (
        f"holds letters that are not sure, since the file is not UTF-8 (read as {value[:40]!r}); save it as CSV UTF-8"
    )
    return Unusable(says, value)
