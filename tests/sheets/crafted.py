"""Files of tables made to cost much: each small, and each with what it is refused for, or what is read of it."""

from __future__ import annotations

import io
import zipfile

import pyarrow as pa
import pyarrow.parquet as pq

from tests.sheets.tables import workbook

_TEXTS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
_TEXT = "x" * 900_000
QUESTION = '{"joint":{"conductors":[{"size":"12 AWG","count":3}]}}'


def book(rows: str, texts: str | None = None, *, sheets: int = 1) -> bytes:
    """Give a workbook with more rows, as XML, in its sheet, shared texts, and its sheet listed several times."""
    out = io.BytesIO()
    link = f'<Relationship Id="texts" Type="{_TEXTS}" Target="sharedStrings.xml"/>' if texts else ""
    more = "".join(f'<sheet name="S{at}" sheetId="{at + 9}" r:id="rId1"/>' for at in range(sheets - 1))
    edits = {
        "xl/worksheets/sheet1.xml": ("</sheetData>", rows),
        "xl/_rels/workbook.xml.rels": ("</Relationships>", link),
        "xl/workbook.xml": ("</sheets>", more),
    }
    with (
        zipfile.ZipFile(io.BytesIO(workbook(["id", "size"], ["a", "12 AWG"]))) as given,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
    ):
        for part in given.infolist():
            text = given.read(part).decode()
            before, added = edits.get(part.filename, ("", ""))
            packed.writestr(part.filename, text.replace(before, added + before) if before else text)
        if texts:
            packed.writestr("xl/sharedStrings.xml", texts)
    return out.getvalue()


_SHARED = '<c t="s"><v>0</v></c>'
#: By what they do: the workbook, and what is told of it.
WORKBOOKS: dict[str, tuple[bytes, str]] = {
    "row beyond any sheet": (book('<row r="3"><c r="B99999999"><v>1</v></c></row>'), "at 'B99999999'"),
    "column beyond any sheet": (book('<row r="3"><c r="AAAA3"><v>1</v></c></row>'), "at 'AAAA3'"),
    "sign in an attribute before": (book('<row r="3"><c s=">" r="XFD1048576"/></row>'), "at 'XFD1048576'"),
    "another name that ends in r": (book('<row r="3"><c x.r="A1" r="XFD1048576"/></row>'), "at 'XFD1048576'"),
    "far row without cells": (book('<row r="123456789012"/>'), "at 'row 123456789012'"),
    "farthest corner": (book('<row r="200000"><c r="GR200000"><v>1</v></c></row>'), "goes to GR200000"),
    "one sheet many times": (book('<row r="9000"><c r="CA9000"><v>1</v></c></row>', sheets=9), "goes to CA9000"),
    "space behind a formula": (book(f'<row r="3"><c r="A3"><f>B3</f>{" " * 300_000}<x/></c></row>'), "is no XLSX"),
    "many names in a tag": (
        book(f'<row r="3"><c t="e" {" ".join(f"r{at}.r=" + chr(34) + "A" + chr(34) for at in range(20_000))}/></row>'),
        "read",
    ),
    "long text that cells share": (
        book("".join(f"<row>{_SHARED * 190}</row>" for _ in range(20)), f"<sst><si><t>{_TEXT}</t></si></sst>"),
        "longer than 100,000,000 characters, at DH3",
    ),
    "text that is not there": (book(f'<row r="3">{_SHARED}</row>'), "cell A3 of the sheet 'Joints' has a text that"),
    "many tags": (book("<row/>" * 12_000_001), "more than 12,000,000 tags"),
    "document type": (book("<row/>", "<!DOCTYPE sst [<!ENTITY a 'b'>]><sst/>"), "a document type"),
}


def _shared(rows: int) -> pa.DictionaryArray:
    return pa.DictionaryArray.from_arrays(pa.array([0] * rows, pa.int32()), pa.array([_TEXT]))


def _no_utf_8() -> pa.StringArray:
    return pa.StringArray.from_buffers(2, pa.py_buffer(b"\0\0\0\0\2\0\0\0\4\0\0\0"), pa.py_buffer(b"\xff\xfeok"))


def _lists(values: pa.Array, lists: int) -> pa.ListArray:
    each = len(values) // lists
    return pa.ListArray.from_arrays(pa.array([at * each for at in range(lists + 1)], pa.int32()), values)


#: By what they do: the table, and how its first line begins, or what it is refused with.
PARQUET: dict[str, tuple[pa.Table, str]] = {
    "text that is no UTF-8": (pa.table({"question": _no_utf_8()}), r"\xff\xfe"),
    "part that is no UTF-8": (pa.table({"id": _no_utf_8(), "joint": [QUESTION] * 2}), r'"\xff"'),
    "column twice": (
        pa.Table.from_arrays([pa.array([QUESTION])] * 2, names=["joint", "joint"]), "/joint: the column stands twice"
    ),
    "question twice": (
        pa.Table.from_arrays([pa.array([QUESTION])] * 2, names=["question", "question"]), "/question: the column stands"
    ),
    "long text that rows share": (pa.table({"question": _shared(3_000)}), "xxx"),
    "long id that rows share": (pa.table({"id": _shared(3_000), "joint": [QUESTION] * 3_000}), '{"id":"xxx'),
    "long text within a part": (
        pa.table({"joint": pa.StructArray.from_arrays([_shared(3_000)], ["note"])}), '{"joint":{"note":"xxx'
    ),
    "long text many times in a row": (pa.table({"joint": _lists(_shared(100_000), 1)}), "   "),
    "many nulls in few bytes": (
        pa.table({"joint": _lists(pa.nulls(25_000_000, pa.int8()), 25)}), "/joint: has a row group of more than"
    ),
}  # fmt: skip


def parquet(table: pa.Table) -> bytes:
    """Write a table."""
    out = io.BytesIO()
    pq.write_table(table, out, compression="zstd")
    return out.getvalue()
