"""A cell is read by what its column asks for, never by a guess."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from splicewright.question.vocabulary import MATERIAL
from splicewright.sheets.table import Unusable
from splicewright.shelf.cells import UnreadableCell, read_cell, read_figure
from splicewright.shelf.layout import CellKind, Column


def cell(kind: CellKind, value: Any, *words: str, csv: bool = False) -> Any:
    return read_cell(Column("column", "key", kind, "about", words), value, csv=csv)


@pytest.mark.parametrize(
    ("kind", "written", "read"),
    [
        ("length", "1/2 in", "1/2 in"),
        ("length", "1-1/4 in", "1 1/4 in"),
        ("length", "0.5 in", "0.5 in"),
        ("length", '1/2"', "1/2 in"),
        ("length", "13 mm", "13 mm"),
        ("length", "13MM", "13 mm"),
        ("length", "1.3 cm", "13 mm"),
        ("length", "1.25 cm", "12.5 mm"),
        ("torque", "35 lbf-in", "35 lbf-in"),
        ("torque", "35 in-lb", "35 lbf-in"),
        ("torque", "35 lb-in", "35 lbf-in"),
        ("torque", "4 N m", "4 N-m"),
        ("torque", "4 Nm", "4 N-m"),
        ("torque", "20 ft-lb", "20 lbf-ft"),
        ("volts", "600V", "600 V"),
        ("volts", "600 volts", "600 V"),
        ("temperature", "105 °C", "105 degC"),
        ("temperature", "194 F", "194 degF"),
        ("amps", "20 amps", "20 A"),
        ("metal", "16520 cmil", "16520 cmil"),
        ("metal", "8.5 mm²", "8.5 mm2"),
        ("outside", "20 x 19 x 9 mm", "20 x 19 x 9 mm"),
        ("outside", "2 \u00d7 1.9 cm", "20 x 19 mm"),
        ("size", "14 awg", "14 AWG"),
        ("size", "2.50 mm2", "2.5 mm2"),
        ("size", "12AWG", "12 AWG"),
        ("size", "#18", "18 AWG"),
        ("size", "4/0", "4/0 AWG"),
        ("size", "2.50mm2", "2.5 mm2"),
        ("size", "250 MCM", "250 kcmil"),
        ("sizes", "18..12AWG", {"from": "18 AWG", "to": "12 AWG"}),
        ("torque", "20 in lbs", "20 lbf-in"),
        ("torque", "20 in.-lbs.", "20 lbf-in"),
        ("torque", "6 N·m", "6 N-m"),
        ("torque", "3 Foot-Pounds", "3 lbf-ft"),
        ("volts", "600 V.", "600 V"),
        ("sizes", "18 AWG to 12 AWG", {"from": "18 AWG", "to": "12 AWG"}),
        ("sizes", "18 to 12 AWG", {"from": "18 AWG", "to": "12 AWG"}),
        ("sizes", "18-12 AWG", {"from": "18 AWG", "to": "12 AWG"}),
        ("sizes", "1/0 AWG - 250 kcmil", {"from": "1/0 AWG", "to": "250 kcmil"}),
        ("sizes", "18 AWG \u2013 12 AWG", {"from": "18 AWG", "to": "12 AWG"}),
        ("sizes", "12 AWG", {"from": "12 AWG", "to": "12 AWG"}),
        ("flag", "Yes", True),
        ("flag", "Y", True),
        ("flag", "n", False),
        ("text", "-", "-"),
        ("flag", "no", False),
        ("flag", True, True),
        ("whole", "3", 3),
        ("whole", 3.0, 3),
        ("whole", "3.0", 3),
        ("number", 12.5, 12.5),
        ("label", 7.0, "7"),
        ("text", 1234.0, "1234"),
        ("text", "  two   words ", "two words"),
        ("day", dt.date(2026, 11, 30), "2026-11-30"),
        ("day", dt.datetime(2026, 11, 30, 8), "2026-11-30"),  # noqa: DTZ001 - a workbook knows no zone
        ("day", "2026-11-30", "2026-11-30"),
        ("day", "30.11.2026", "2026-11-30"),
        ("day", "11/30/2026", "2026-11-30"),
        ("day", "5/5/2026", "2026-05-05"),
        ("day", "2026-11-30 00:00:00", "2026-11-30"),
        ("id", "red-small", "red-small"),
    ],
)
def test_what_is_written_is_read(kind: CellKind, written: Any, read: Any) -> None:
    assert cell(kind, written) == read


@pytest.mark.parametrize(
    ("kind", "written", "says"),
    [
        ("length", "13", "has no unit"),
        ("length", 13.0, "has no unit; write it with the unit: 1/2 in"),
        ("length", "13 ft", "use in, mm or cm"),
        ("length", "1/2 cm", "fractions are for inches"),
        ("length", "0,5 in", "comma in the number"),
        ("length", "about half an inch", "is no column"),
        ("torque", "35 pounds", "use lbf-in or lbf-ft or N-m"),
        ("torque", "35 1/2 in-lb", "is not a torque"),
        ("volts", "600 W", "is not known here; use V"),
        ("volts", "1,000 V", "comma in the number; write 1000 or 1.0000"),
        ("number", "14,90", "comma in the number; write 14.90"),
        ("number", "$ 9.50", "is not a number; write 9.50"),
        ("number", "30 sec", "is not a number; write a number, such as 12.5"),
        ("volts", "n/a", "says nothing; leave the cell blank where the carton does not say"),
        ("flag", "?", "says nothing; leave the cell blank"),
        ("words", "-", "says nothing; leave the cell blank"),
        ("outside", "20 mm", "is no set of dimensions"),
        ("outside", "20 x 19", "has no unit"),
        ("outside", "1/2 x 1 in", "is no set of dimensions"),
        ("outside", "2 x ten cm", "is no column"),
        ("outside", "two x 10 cm", "is no set of dimensions"),
        ("size", "14", "14 AWG"),
        ("size", "1,5 mm2", "comma in the number; write 1.5"),
        ("sizes", "1,5 mm2 to 2.5 mm2", "comma in the number; write 1.5"),
        ("sizes", "18 to 14 to 12 AWG", "is no range of sizes"),
        ("sizes", "18 AWG to 12", "12 AWG"),
        ("sizes", "18-12", "18 AWG"),
        ("flag", "x", "neither yes nor no; leave it blank"),
        ("flag", 1.0, "neither yes nor no"),
        ("whole", "three", "is not a number; write a whole number"),
        ("whole", True, "is true"),
        ("whole", 2.5, "2.5 is not a whole number; write a whole number, such as 3"),
        ("whole", "2.5", "2.5 is not a whole number; write a whole number, such as 3"),
        ("text", 12.5, "so that no digit is lost"),
        ("text", 2.0**60, "so that no digit is lost"),
        ("text", dt.time(8, 30), "turned into a date or time"),
        ("sizes", dt.date(2026, 12, 18), "turned into a date or time"),
        ("day", "3/4/2026", "may mean 2026-03-04 or 2026-04-03; write one of them"),
        ("day", "31.02.2026", "is no day; write it like 2026-11-30"),
        ("day", "30.13.2026", "is no day; write it like 2026-11-30"),
        ("day", "30.11.26", "is no day; write it like 2026-11-30"),
        ("day", 46356, "46356 is a number, by which a spreadsheet keeps a day; .* write 2026-11-30, if"),
        ("day", 2, "is no day; write it like 2026-11-30"),
        ("size", 14, "'14' has no unit; write '14 AWG' or '14 mm2'"),
        ("sizes", 12.0, "'12' has no unit; write '12 AWG' or '12 mm2'"),
        ("flag", 2, '"2" is neither yes nor no; leave it blank'),
        ("length", dt.datetime(2026, 1, 2), "format the cell as text and write it anew, with the unit: 1/2 in"),  # noqa: DTZ001
        ("volts", True, "is true, which is no column; write it with the unit: 600 V"),
        ("id", "Red, small", "did you mean 'red-small'"),
        ("id", "3-port", "write it like twist-on-medium"),
        ("text", Unusable("holds an error"), "holds an error"),
    ],
)
def test_what_can_not_be_meant_is_refused(kind: CellKind, written: Any, says: str) -> None:
    with pytest.raises(UnreadableCell, match=says):
        cell(kind, written)


def test_words_are_those_of_their_list() -> None:
    assert cell("word", "Push In", "push-in", "lever") == "push-in"
    assert cell("words", "dry; Damp", "dry", "damp") == ["dry", "damp"]
    assert cell("words", "none", "dry", "damp") == []
    with pytest.raises(UnreadableCell, match="say 'copper'"):
        read_cell(Column("column", "key", "words", "about", MATERIAL), "Cu")
    with pytest.raises(UnreadableCell, match="did you mean 'damp'"):
        cell("words", "dry, dampp", "dry", "damp")
    with pytest.raises(UnreadableCell, match="twice"):
        cell("words", "dry, dry", "dry", "damp")


@pytest.mark.parametrize("kind", ["word", "words", "figure"])
@pytest.mark.parametrize(
    ("written", "says"),
    [
        (2, '"2" is not known; use one of: dry, damp'),
        (True, "is true, which is no column; write it like dry or damp"),
        (dt.date(2026, 11, 30), "format the cell as text and write it anew, like dry or damp"),
    ],
)
def test_what_is_no_word_is_told_with_the_words(kind: CellKind, written: Any, says: str) -> None:
    with pytest.raises(UnreadableCell, match=says):
        cell(kind, written, "dry", "damp")


def test_apostrophe_that_keeps_text_from_being_a_formula_is_taken_off_in_csv_alone() -> None:
    assert cell("text", "'=1+1", csv=True) == "=1+1"
    assert cell("text", "'=1+1") == "'=1+1"


def test_figure_is_read_by_its_kind() -> None:
    of = Column("value", "value", "value", "about")
    assert read_figure("torque", of, "35 in-lb") == "35 lbf-in"
    assert read_figure("colour", of, "red") is None
    with pytest.raises(UnreadableCell, match="no unit"):
        read_figure("strip", of, 3.0)


@pytest.mark.parametrize(
    ("kind", "unit"),
    [
        ("whole", ""),
        ("number", ""),
        ("volts", " V"),
        ("amps", " A"),
        ("temperature", " degC"),
        ("length", " mm"),
        ("torque", " N m"),
        ("outside", " x 20 mm"),
        ("metal", " kcmil"),
    ],
)
def test_a_point_that_may_part_thousands_is_refused_in_text_of_a_workbook(kind: CellKind, unit: str) -> None:
    for number, both in (
        ("1.200", "1200 or 1.2000"),
        ("26.500", "26500 or 26.5000"),
        ("999.000", "999000 or 999.0000"),
    ):
        with pytest.raises(UnreadableCell, match=f"may mean .*; write {both}"):
            cell(kind, f"{number}{unit}")


def test_a_number_is_a_number_and_text_is_text() -> None:
    assert cell("number", 1.125) == 1.125
    assert cell("text", "1.200") == cell("label", "1.200") == "1.200"
    assert cell("number", "1.125", csv=True) == 1.125  # its table would have told where commas part no cells
    assert cell("number", "1.2000") == 1.2
    assert cell("metal", "26.1250 kcmil") == "26.125 kcmil"
    with pytest.raises(UnreadableCell, match="has no unit"):
        cell("volts", 1.125)
