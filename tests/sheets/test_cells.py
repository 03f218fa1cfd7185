"""A cell is read with tolerance of case and space, never of meaning."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from splicewright.sheets.cells import UnreadableCell, read_cell
from splicewright.sheets.columns import by_heading
from splicewright.sheets.table import Unusable


@pytest.mark.parametrize(
    ("heading", "cell", "value"),
    [
        ("size", "12 AWG", "12 AWG"),
        ("size", " 12   awg ", "12 AWG"),
        ("size", "250 KCMIL", "250 kcmil"),
        ("size", "2.5 mm2", "2.5 mm2"),
        ("material", "Copper", "copper"),
        ("material", "COPPER CLAD ALUMINUM", "copper-clad-aluminum"),
        ("cable", "nm", "NM"),
        ("insulation", "THHN/thwn-2", ["THHN", "THWN-2"]),
        ("insulation", "THHN; THWN-2", ["THHN", "THWN-2"]),
        ("volts", "240", 240),
        ("volts", "240 V", 240),
        ("volts", "240v", 240),
        ("volts", 240.0, 240),
        ("amps", "12.5 A", 12.5),
        ("amps", ".5", 0.5),
        ("count", 3.0, 3),
        ("depth", "24 in", {"value": 24, "unit": "in"}),
        ("depth", "600MM", {"value": 600, "unit": "mm"}),
        ("ambient", "75 degF", {"value": 75, "unit": "degF"}),
        ("ambient", "-5 degC", {"value": -5, "unit": "degC"}),
        ("strip", "5/8 in", {"value": 0.625, "unit": "in"}),
        ("strip", "1-1/2 in", {"value": 1.5, "unit": "in"}),
        ("strip", "63/64 in", {"value": 0.984375, "unit": "in"}),
        ("lead advance", "3 mm", {"value": 3, "unit": "mm"}),
        ("lead advance", "yes", True),
        ("hazardous", "No", False),
        ("hazardous", "TRUE", True),
        ("hazardous", True, True),
        ("id", 101.0, "101"),
        ("id", "slip  light", "slip light"),
        ("id", "'=1+1", "=1+1"),
        ("id", "'tis", "'tis"),
        ("waive until", dt.datetime(2026, 12, 31), "2026-12-31"),  # noqa: DTZ001 - as a workbook has it
        ("waive until", "2026-12-31", "2026-12-31"),
    ],
)
def test_cell_is_read_as_its_column_asks(heading: str, cell: Any, value: Any) -> None:
    read = read_cell(by_heading()[heading], cell)
    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize("word", ["coper", "12 AWGG", "Kupfer"])
def test_word_that_is_not_known_is_left_for_the_reader_to_refuse(word: str) -> None:
    assert read_cell(by_heading()["material"], word) == word


@pytest.mark.parametrize(
    ("heading", "cell", "says"),
    [
        ("amps", "4,5", "decimal comma; write it with a point: 4.5"),
        ("size", "2,5 mm2", "decimal comma"),
        ("depth", "60,5 in", "decimal comma"),
        ("volts", "1,000", "write it without: 1000"),
        ("volts", "1,234,567.5", "write it without: 1234567.5"),
        ("volts", "high", "is not a number"),
        ("volts", "120/240 V", "write 240 V for a circuit of two or more hot lines"),
        ("amps", "15/20 A", "write 15 A or 20 A"),
        ("depth", "18/24 in", "write 18 in or 24 in"),
        ("strip", "3/3 in", "is several numbers"),
        ("strip", "1 1/3 in", "no fraction of an inch as on a rule"),
        ("ambient", "100/2 degF", "is several numbers"),
        ("volts", "240 A", 'the unit "A" is not known here; use V'),
        ("count", "2 pcs", "none belongs here"),
        ("volts", "1e3", "is not known here"),
        ("depth", "24", "has no unit; write '24 in' or '24 mm'"),
        ("depth", 24.0, "has no unit; write '24 in' or '24 mm'"),
        ("depth", "24 cm", "use in or mm"),
        ("depth", "deep", "is not a number with its unit"),
        ("ambient", "75 °F", "use degC or degF"),
        ("hazardous", "x", "neither yes nor no"),
        ("hazardous", 1.0, "neither true nor false"),
        ("lead advance", "perhaps", "neither yes nor no"),
        ("id", 1.5, "format the cell as text"),
        ("material", True, "is true, which is no material"),
        ("size", dt.date(2024, 10, 12), "was turned into a date or time by the spreadsheet (2024-10-12)"),
        ("depth", dt.time(10, 30), "was turned into a date or time"),
        ("volts", dt.timedelta(hours=30), "was turned into a date or time"),
        ("waive until", dt.time(10, 30), "was turned into a date or time"),
        ("waive until", "3/4/2026", "may mean 2026-03-04 or 2026-04-03"),
        ("size", Unusable("holds an error"), "holds an error"),
    ],
)
def test_cell_that_may_mean_something_else_is_refused(heading: str, cell: Any, says: str) -> None:
    with pytest.raises(UnreadableCell) as refused:
        read_cell(by_heading()[heading], cell)
    assert says in str(refused.value)


def test_day_is_read_however_it_is_written_where_one_alone_is_meant() -> None:
    assert read_cell(by_heading()["waive until"], "12/31/2026") == "2026-12-31"
    assert read_cell(by_heading()["waive until"], "31.31.2026") == "31.31.2026"


def test_true_is_not_taken_for_one_that_was_read_before() -> None:
    column = by_heading()["hazardous"]
    assert read_cell(column, True) is True
    with pytest.raises(UnreadableCell):
        read_cell(column, 1)
