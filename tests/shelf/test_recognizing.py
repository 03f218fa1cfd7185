"""A catalogue's tables are told from tables of joints by their sheets: neither is ever taken for the other."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from splicewright.sheets.columns import columns
from splicewright.sheets.table import Grid, Row
from splicewright.sheets.tables import read_tables
from splicewright.shelf.examples import EXAMPLE_ROWS
from splicewright.shelf.layout import BESIDE, CONNECTORS, SHEETS
from splicewright.shelf.recognizing import catalogue_tables
from splicewright.shelf.workbook import csv_files, workbook

JOINTS = [column.name for column in columns()]
NAMES = [*(sheet.name for sheet in SHEETS), *(sheet.name.title() for sheet in SHEETS), *BESIDE]


def grid(sheet: str | None, *rows: Sequence[Any]) -> Grid:
    head, *others = [Row(number, list(row)) for number, row in enumerate(rows, start=1)]
    return Grid(sheet, head, others)


def heads(but: str = "") -> list[Grid]:
    """Give the sheets of a catalogue, without one of them."""
    return [grid(one.name, [column.heading for column in one.columns], ["x"]) for one in SHEETS if one.name != but]


def taken(grids: Sequence[Grid], mapped: Mapping[str, str] | None = None) -> list[str | None]:
    """Give the names of the sheets that are a catalogue's, in a workbook."""
    found = catalogue_tables(Path("a.xlsx"), grids, mapped or {})
    return [one.sheet for one in found.grids] if found else []


def test_what_new_and_export_write_is_a_catalogue(tmp_path: Path) -> None:
    for rows in (EXAMPLE_ROWS, {}):
        grids = read_tables(workbook(rows), "xlsx")
        found = catalogue_tables(tmp_path / "a.xlsx", grids, {})
        assert found is not None
        assert (found.at, len(found.grids)) == (tmp_path / "a.xlsx", len(grids))
        files = csv_files(rows)
        for name, data in files.items():
            (tmp_path / name).write_bytes(data)
        for name, data in files.items():
            of_folder = catalogue_tables(tmp_path / name, read_tables(data, "csv"), {})
            assert of_folder is not None, name
            assert (of_folder.at, len(of_folder.grids)) == (tmp_path, 1)


@pytest.mark.parametrize("name", [sheet.name for sheet in SHEETS])
def test_sheet_with_a_wrong_heading_or_a_title_above_is_still_the_catalogues(name: str) -> None:
    (sheet,) = (one for one in SHEETS if one.name == name)
    written = [column.heading for column in sheet.columns]
    spoiled = [[*written[:at], f"{one}xx", *written[at + 1 :]] for at, one in enumerate(written) if len(written) > 2]
    for head in [*spoiled, written, ["# mine", *written]]:
        assert name in taken([*heads(but=name), grid(name, head, ["x"])]), head
        assert name in taken([*heads(but=name), grid(name, ["Our shelf, rev. 3"], head, ["x"])]), head


@pytest.mark.parametrize("name", NAMES)
def test_table_of_joints_is_never_a_catalogues_whatever_its_sheet_is_called(name: str) -> None:
    chance = random.Random(name)
    beside = heads(but=name.lower())
    for _ in range(60):
        others = chance.sample([one for one in JOINTS if one != "size"], chance.randrange(1, 12))
        head = ["size", *others]
        chance.shuffle(head)
        own = [*head, *(f"# {one}" for one in chance.sample(["filling", "at least", "group", "pack"], 2))]
        for rows in ([head, ["x"]], [own, ["x"]], [["Level 2"], head, ["x"]]):
            assert name not in taken([*beside, grid(name, *rows)]), head
    mapped = {"Wire": "size", "Qty": "count"}
    assert name not in taken([*beside, grid(name, ["Wire", "Qty", "connector", "method"], ["x"])], mapped)
    assert name not in taken([*beside, grid(name, ["Wire", "connector", "method"], ["x"])])


@pytest.mark.parametrize("name", NAMES)
def test_file_of_joints_called_like_a_sheet_is_no_catalogues(tmp_path: Path, name: str) -> None:
    for file, data in csv_files(EXAMPLE_ROWS).items():
        (tmp_path / file).write_bytes(data)
    data = b"id,size,count,connector,method,strip\na,12 AWG,2,lever-2-port,lever,11 mm\n"
    (tmp_path / f"{name}.csv").write_bytes(data)
    assert catalogue_tables(tmp_path / f"{name}.csv", read_tables(data, "csv"), {}) is None


def test_nothing_is_a_catalogues_without_its_connectors(tmp_path: Path) -> None:
    assert taken(heads(but=CONNECTORS.name)) == []
    for file, data in csv_files(EXAMPLE_ROWS).items():
        if file != "connectors.csv":
            (tmp_path / file).write_bytes(data)
            assert catalogue_tables(tmp_path / file, read_tables(data, "csv"), {}) is None


def test_joints_beside_a_catalogue_in_one_workbook_stay_joints() -> None:
    book = openpyxl.load_workbook(BytesIO(workbook(EXAMPLE_ROWS)))
    sheet = book.create_sheet("Level 2")
    sheet.append(["id", "size", "count"])
    sheet.append(["a", "12 AWG", 2])
    out = BytesIO()
    book.save(out)
    grids = read_tables(out.getvalue(), "xlsx")
    assert "Level 2" in [one.sheet for one in grids]
    assert "Level 2" not in taken(grids)
    assert "connectors" in taken(grids)
