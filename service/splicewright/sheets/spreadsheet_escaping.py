"""Tables written so that a spreadsheet program takes no text for a formula, and the same table is the same bytes."""

from __future__ import annotations

import gc
import io
import re
import sys
import tempfile
import traceback
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_NOT_IN_A_CELL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LONGEST_CELL = 32_000  # characters; a workbook takes 32,767
_SAVED = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")


def csv_text(text: str) -> str:
    """Give text as a CSV file may have it: an apostrophe goes before what begins like a formula."""
    text = _for_a_cell(text)
    return f"'{text}" if text.startswith(_FORMULA) else text


def text_cell(sheet: Any, text: str) -> Any:
    """Give a workbook's cell that holds text, whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - only where a workbook is written

    cell = WriteOnlyCell(sheet, _for_a_cell(text))
    cell.data_type = "s"
    return cell


def _for_a_cell(text: str) -> str:
    text = _NOT_IN_A_CELL.sub("\ufffd", text)
    return text if len(text) <= _LONGEST_CELL else text[: _LONGEST_CELL - 1] + "\u2026"


@contextmanager
def scratch_needed() -> Iterator[None]:
    """Tell that it was the temporary folder, where the library of workbooks puts each sheet first, that has no room."""
    try:
        yield
    except OSError as error:
        # What the library left half written fails once more when it is dropped; that has been told by then.
        hook, sys.unraisablehook = sys.unraisablehook, lambda _: None
        traceback.clear_frames(error.__traceback__)
        gc.collect()
        sys.unraisablehook = hook
        folder = tempfile.gettempdir()
        raise OSError(error.errno, f"{error.strerror}, in the temporary folder {folder}", folder) from None


def saved(book: Any) -> bytes:
    """Save a workbook with no time in it."""
    first, out = io.BytesIO(), io.BytesIO()
    book.properties.creator = "splicewright"
    book.save(first)
    with zipfile.ZipFile(first) as given, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for part in given.infolist():
            data = given.read(part)
            if part.filename == "docProps/core.xml":
                data = _SAVED.sub(rb"\g<1>2000-01-01T00:00:00Z", data)
            packed.writestr(zipfile.ZipInfo(part.filename, (2000, 1, 1, 0, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()
