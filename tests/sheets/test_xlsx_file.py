"""A workbook's cells are read as they are: errors, dates and merged cells are told, not read as blank."""

from __future__ import annotations

import datetime as dt
import io
import random
import re
import zipfile
from typing import Any

import openpyxl
import pytest

from splicewright.sheets.table import NoTable, Unusable
from splicewright.sheets.xlsx_file import read_xlsx
from tests.sheets.tables import only_grid, workbook


def test_rows_keep_their_numbers_and_values_their_kinds() -> None:
    grid = only_grid(workbook([], ["id", "size", "hazardous", "day"], [], [7, "12 AWG", True, dt.date(2024, 10, 12)]))
    assert (grid.head.number, grid.rows[0].number) == (2, 4)
    assert list(grid.rows[0].values) == [7.0, "12 AWG", True, dt.date(2024, 10, 12)]


def test_cell_is_found_by_its_name() -> None:
    grid = only_grid(workbook(["id", "size"], ["a", "12 AWG"]))
    spot = grid.spot(2, 1)
    assert (spot.sheet, spot.cell, spot.line, spot.column, spot.heading) == ("Joints", "B2", 2, 2, "size")


def _with_error(sheet: Any) -> None:
    sheet["B2"] = "#REF!"
    sheet["B2"].data_type = "e"


def test_error_cell_is_not_read_as_blank() -> None:
    grid = only_grid(workbook(["id", "size"], ["a", None], change=_with_error))
    assert isinstance(grid.rows[0].values[1], Unusable)
    assert "an error of the spreadsheet" in grid.rows[0].values[1].says


def test_formula_never_calculated_is_not_read_as_blank() -> None:
    grid = only_grid(workbook(["id", "size"], ["a", "=A2"]))
    assert isinstance(grid.rows[0].values[1], Unusable)
    assert "never calculated" in grid.rows[0].values[1].says


def _calculated(value: str) -> bytes:
    """Give a workbook as a spreadsheet program saves it: each formula with its value."""
    return _edited(
        workbook(["id", "size"], ["a", "=A2"]),
        lambda text: re.sub(
            r'<c r="B2"[^>]*><f>A2</f><v ?/>',
            f'<c r="B2" t="str"><f>A2</f><v>{value}</v>',
            text.replace("<v></v>", "<v />"),
        ),
    )


def _edited(data: bytes, edit: Any) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as given, zipfile.ZipFile(out, "w") as packed:
        for part in given.infolist():
            text = given.read(part)
            if part.filename == "xl/worksheets/sheet1.xml":
                before = text.decode()
                text = edit(before).encode()
                assert text.decode() != before
            packed.writestr(part.filename, text)
    return out.getvalue()


@pytest.mark.parametrize("value", ["12 AWG", ""])
def test_formula_with_its_value_is_read_as_the_value(value: str) -> None:
    assert only_grid(_calculated(value)).rows[0].values[1] == value


def test_merged_cells_are_told_with_their_range() -> None:
    grid = only_grid(
        workbook(["id", "size"], ["a", "12 AWG"], ["a", "14 AWG"], change=lambda s: s.merge_cells("A2:A3"))
    )
    ((row, column, says),) = grid.complaints
    assert (row, column) == (2, 0)
    assert says.startswith("is merged with others to A3")


def test_merged_title_above_the_headings_does_not_matter() -> None:
    grid = only_grid(workbook(["id", "size"], ["a", "12 AWG"], change=lambda s: s.insert_rows(1)))
    assert grid.head.number == 2
    assert grid.complaints == []


def test_cell_beyond_the_last_heading_is_told() -> None:
    grid = only_grid(workbook(["id", "size"], ["a", "12 AWG", "see plan"]))
    assert grid.complaints == [(2, 2, "stands beyond the last heading; give its column a heading, or empty it")]


def test_each_sheet_with_rows_is_read() -> None:
    book = openpyxl.Workbook()
    book.create_sheet("Second").append(["id", "size"])
    out = io.BytesIO()
    book.save(out)
    assert [grid.sheet for grid in read_xlsx(out.getvalue())] == ["Second"]


@pytest.mark.parametrize("cell", ["A300000", "ZZ2"])
def test_far_cell_is_refused_before_it_takes_memory(cell: str) -> None:
    data = _edited(workbook(["id", "size"], ["a", "12 AWG"]), lambda text: text.replace('"B2"', f'"{cell}"'))
    with pytest.raises(NoTable, match="goes beyond"):
        read_xlsx(data)


def test_far_cell_is_seen_behind_a_prefix_and_other_quotes() -> None:
    def far(text: str) -> str:
        return text.replace('<c r="B2"', "<x:c  s='1' r = 'XFD1048576'").replace("<sheetData", '<sheetData xmlns:x="u"')

    with pytest.raises(NoTable, match="goes beyond"):
        read_xlsx(_edited(workbook(["id", "size"], ["a", "12 AWG"]), far))


@pytest.mark.parametrize(
    "row",
    [
        '<row r="999999"><c><v>1</v></c></row>',
        f"<row>{'<c><v>1</v></c>' * 201}</row>",
        "<row><c><v>1</v></c></row>" * 200_001,
    ],
    ids=["row", "columns", "rows"],
)
def test_cells_that_do_not_say_where_they_are_are_counted(row: str) -> None:
    data = _edited(workbook(["id", "size"]), lambda text: text.replace("</sheetData>", f"{row}</sheetData>"))
    with pytest.raises(NoTable, match="goes beyond"):
        read_xlsx(data)


def test_few_cells_that_do_not_say_where_they_are_are_read() -> None:
    row = '<row><c t="str"><v>a</v></c><c t="str"><v>12 AWG</v></c></row>'
    grid = only_grid(_edited(workbook(["id", "size"]), lambda text: text.replace("</sheetData>", f"{row}</sheetData>")))
    assert list(grid.rows[0].values) == ["a", "12 AWG"]


def _damaged(parts: dict[str, bytes], draw: random.Random) -> bytes:
    """Give a workbook of which one part, or the archive around them, was changed in a few places."""
    target = draw.choice([None, *parts])
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in parts.items():
            packed.writestr(name, _changed(text, draw) if name == target else text)
    return out.getvalue() if target else _changed(out.getvalue(), draw)


def _changed(data: bytes, draw: random.Random) -> bytes:
    found = bytearray(data)
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(found))
        if draw.random() < 0.6:
            found[at] = draw.randrange(256)
        else:
            del found[at : at + draw.randint(1, 20)]
    return bytes(found)


@pytest.mark.slow
def test_damaged_workbooks_are_read_or_refused() -> None:
    draw = random.Random(11)
    whole = workbook(["id", "size", "count"], ["a", "12 AWG", 2], ["b", dt.date(2024, 1, 1), True], [None, "=A1"])
    with zipfile.ZipFile(io.BytesIO(whole)) as packed:
        parts = {part.filename: packed.read(part) for part in packed.infolist()}
    ends = set()
    for _ in range(1500):
        try:
            read_xlsx(_damaged(parts, draw))
            ends.add("read")
        except NoTable:
            ends.add("refused")
    assert ends == {"read", "refused"}


def test_workbook_that_unpacks_to_too_much_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.sheets.workbook_parts.MOST_BYTES", 1000)
    with pytest.raises(NoTable, match="when unpacked"):
        read_xlsx(workbook(["id", "size"]))


def _with_part(name: str, text: bytes, told: int) -> bytes:
    """Give a workbook with a part whose size is told wrongly."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook(["id", "size"]))) as given,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
    ):
        for part in given.infolist():
            if part.filename != name:
                packed.writestr(part.filename, given.read(part))
        packed.writestr(name, text)
    return out.getvalue().replace(len(text).to_bytes(4, "little"), told.to_bytes(4, "little"))


def test_size_that_a_part_tells_wrongly_is_refused() -> None:
    with pytest.raises(NoTable, match="damaged"):
        read_xlsx(_with_part("xl/worksheets/sheet1.xml", b"<worksheet/>" + b" " * 100_000, 10))


def test_part_that_is_not_read_is_not_unpacked() -> None:
    assert [list(grid.head.values) for grid in read_xlsx(_with_part("xl/bomb.xml", b"0" * 100_000, 10))] == [
        ["id", "size"]
    ]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"id,size\n", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600])
def test_what_is_no_workbook_is_refused(data: bytes) -> None:
    with pytest.raises(NoTable, match="no XLSX workbook"):
        read_xlsx(data)


def test_archive_that_is_no_workbook_is_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("a.txt", "a")
    with pytest.raises(NoTable, match="no XLSX workbook"):
        read_xlsx(out.getvalue())
