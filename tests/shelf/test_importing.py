"""Tables to a catalogue: what they say field by field, and every fault by its cell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from splicewright.catalogue import catalogue_of
from splicewright.sheets.table import NoTable
from splicewright.shelf.examples import EXAMPLE_ROWS
from splicewright.shelf.importing import Imported, import_shelf, imported
from splicewright.shelf.layout import SHEETS
from splicewright.shelf.listings import listings_of
from splicewright.shelf.tables import tables_in_files, tables_in_workbook
from splicewright.shelf.workbook import csv_files
from splicewright.shelf.workbook import workbook as written
from tests.sheets.tables import ods_of, ods_sheet
from tests.shelf.tables import (
    CONNECTORS,
    FILLINGS,
    SOUND,
    Sheets,
    column,
    connector,
    faults,
    read,
    read_files,
    read_ods,
    with_cells,
    workbook,
)

# --- what is read --------------------------------------------------------------------------------


def test_connector_is_what_its_rows_say() -> None:
    assert connector(SOUND) == {
        "id": "mine",
        "method": "twist-on",
        "takes": [
            {"materials": ["copper"], "constructions": ["solid"], "combinations": [{"14 AWG": "2 to 3"}]},
        ],
        "places": ["dry"],
    }


@pytest.mark.parametrize(
    ("heading", "cell", "key", "value"),
    [
        ("volts", "600 V", "volts", "600 V"),
        ("luminaire volts", "1000 V", "luminaire_volts", "1000 V"),
        ("degrees", "105 °C", "degrees", "105 degC"),
        ("Insulated", "yes", "insulated", True),
        ("reusable", "no", "reusable", False),
        ("part number", 4711, "part_number", "4711"),
        ("pack", 100, "pack", 100),
        ("price", "14.9", "price", 14.9),
        ("on_hand", 0, "on_hand", 0),
        ("minutes", 1.5, "minutes", 1.5),
        ("resists", "none", "resists", []),
        ("resists", "sunlight, salt air", "resists", ["sunlight", "salt-air"]),
        ("strip", "1/2 in", "strip", "1/2 in"),
        ("torque", "35 in-lb", "torque", "35 lbf-in"),
        ("source", "carton", "source", {"document": "carton"}),
        ("sure", "yes", "sure", True),
    ],
)
def test_cell_is_read_into_its_field(heading: str, cell: Any, key: str, value: Any) -> None:
    assert connector(column("connectors", heading, cell))[key] == value


def test_source_is_put_together_of_its_columns() -> None:
    head, row = CONNECTORS
    more = {"source": "carton", "where": "side panel", "read on": dt.date(2026, 11, 30), "read by": "the foreman"}
    found = connector(with_cells("connectors", [*head, *more], [*row, *more.values()]))
    assert found["source"] == {
        "document": "carton",
        "where": "side panel",
        "read_on": "2026-11-30",
        "read_by": "the foreman",
    }


def test_blank_is_not_known_and_no_is_no() -> None:
    found = read(column("connectors", "insulated", None))
    assert found.catalogue is not None
    assert "insulated" not in found.catalogue["connectors"][0]
    (one,) = catalogue_of(found.catalogue).connectors
    assert "insulated" not in one.attributes
    assert connector(column("connectors", "insulated", "no"))["insulated"] is False


def test_rows_with_one_filling_number_are_in_the_connector_together() -> None:
    rows = [
        FILLINGS[0],
        ["mine", 2, "14 AWG", "solid", 1, 1],
        ["mine", 10, "12 AWG", "solid", 2, 2],
        ["mine", 2, "18 AWG", "stranded", 1, 2],
    ]
    (take,) = connector(with_cells("fillings", *rows))["takes"]
    assert take["constructions"] == ["solid", "stranded"]
    assert take["combinations"] == [{"14 AWG solid": 1, "18 AWG stranded": "1 to 2"}, {"12 AWG solid": 2}]


def test_what_the_connector_says_once_its_rows_need_not_say() -> None:
    connectors = [
        ["connector", "method", "material", "construction"],
        ["mine", "twist-on", "copper", "solid, stranded"],
    ]
    fillings = [
        ["connector", "filling", "size", "construction", "at least", "at most"],
        ["mine", 1, "14 AWG", None, 2, 2],
        ["mine", 1, "18 AWG", "fine-stranded", 1, 1],
    ]
    (take,) = connector({"connectors": connectors, "fillings": fillings})["takes"]
    assert take["constructions"] == ["solid", "stranded"]
    assert take["combinations"] == [{"14 AWG": 2, "18 AWG fine-stranded": 1}]


def test_rows_of_one_port_number_are_the_same_ports() -> None:
    ports = [
        ["connector", "ports", "sizes", "construction", "ends", "port", "at least"],
        ["mine", 3, "20 AWG to 12 AWG", "solid, stranded", None, 1, 2],
        ["mine", 3, "18 AWG to 14 AWG", "fine-stranded", "ferruled", 1, None],
        ["mine", 1, "10 AWG", "solid", None, 2, None],
    ]
    (take,) = connector({"connectors": CONNECTORS, "ports": ports})["takes"]
    assert take == {
        "materials": ["copper"],
        "ends": ["ferruled", "plain"],
        "ports": [
            {
                "count": 3,
                "solid": {"from": "20 AWG", "to": "12 AWG", "ends": ["plain"]},
                "stranded": {"from": "20 AWG", "to": "12 AWG", "ends": ["plain"]},
                "fine-stranded": {"from": "18 AWG", "to": "14 AWG", "ends": ["ferruled"]},
            },
            {"count": 1, "solid": {"from": "10 AWG", "to": "10 AWG", "ends": ["plain"]}},
        ],
        "least": 2,
    }


def test_totals_of_metal_part_into_groups_by_their_kinds() -> None:
    metal = [
        ["connector", "metal from", "metal to", "ends from", "ends to", "thinnest", "thickest", "construction"],
        ["mine", "3 mm2", "9 mm2", 2, 5, "18 AWG", "12 AWG", "solid"],
        ["mine", "4 mm2", "8 mm2", 2, 2, "18 AWG", "12 AWG", "stranded"],
    ]
    takes = connector({"connectors": CONNECTORS, "metal": metal})["takes"]
    assert [take["constructions"] for take in takes] == [["solid"], ["stranded"]]
    assert takes[0]["metal"] == [
        {"from": "3 mm2", "to": "9 mm2", "count": "2 to 5", "thinnest": "18 AWG", "thickest": "12 AWG"}
    ]


@pytest.mark.parametrize(
    ("of_all", "of_row"),
    [
        ({"material": "copper", "construction": "solid"}, {"material": "aluminum"}),
        ({"material": "copper", "construction": "solid", "ends": "plain"}, {"ends": "ferruled"}),
        ({"ends": "ferruled"}, {"material": "aluminum", "construction": "solid"}),
    ],
)
def test_a_total_of_metal_says_its_own_kinds_and_else_those_of_its_connector(
    of_all: dict[str, str], of_row: dict[str, str]
) -> None:
    metal = {"connector": "mine", "metal from": "3 mm2", "metal to": "9 mm2", "ends from": 2, "ends to": 5}
    row = {**metal, "thinnest": "18 AWG", "thickest": "12 AWG", **of_row}
    head = {"connector": "mine", "method": "twist-on", "places": "dry", **of_all}
    (take,) = connector({"connectors": [[*head], [*head.values()]], "metal": [[*row], [*row.values()]]})["takes"]
    del take["metal"]
    keys = {"material": "materials", "construction": "constructions", "ends": "ends"}
    assert take == {keys[name]: [word] for name, word in {**of_all, **of_row}.items()}


def test_figures_by_size_and_metal() -> None:
    figures = [
        ["connector", "figure", "sizes", "material", "value"],
        ["mine", "torque", "18 AWG to 14 AWG", None, "10 in-lb"],
        ["mine", "torque", "12 AWG", "copper", "15 in-lb"],
        ["mine", "strip", None, None, "11 mm"],
    ]
    found = connector({**SOUND, "figures": figures})
    assert found["torque"] == [
        {"from": "18 AWG", "to": "14 AWG", "torque": "10 lbf-in"},
        {"from": "12 AWG", "to": "12 AWG", "materials": ["copper"], "torque": "15 lbf-in"},
    ]
    assert found["strip"] == "11 mm"


def test_what_is_said_of_all_connectors() -> None:
    head = [["what", "value"], ["note", "What the van carries."], ["minutes lever", 1.5], ["unstated", "no"]]
    connectors = [[*CONNECTORS[0], "grounding", "tool"], [*CONNECTORS[1], "also", "none"]]
    found = read({**SOUND, "catalogue": head, "connectors": connectors}).catalogue
    assert found is not None
    assert (found["note"], found["minutes"], found["unstated"]) == ("What the van carries.", {"lever": 1.5}, "no")


def test_what_is_said_of_all_connectors_is_told_by_its_cell() -> None:
    head = [["what", "value"], ["minutes lever", 0.001], ["unstated", "noo"]]
    assert [str(one).partition(": ")[0] for one in read({**SOUND, "catalogue": head}).faults] == [
        "catalogue!B2",
        "catalogue!B3",
    ]


@pytest.mark.parametrize("value", ["inf", "nan", "1e400", "soon", "1,5"])
def test_minutes_of_a_method_that_are_no_number_are_told(value: str) -> None:
    (told,) = faults({**SOUND, "catalogue": [["what", "value"], ["minutes lever", value]]})
    assert told.startswith("catalogue!B2: value: ")


def test_each_part_says_its_row() -> None:
    rows = [*FILLINGS, ["mine", 1, "18 AWG", "solid", 1, 1], ["mine", 2, "12 AWG", "solid", 2, 2]]
    found = read(with_cells("fillings", *rows)).catalogue
    assert found is not None
    assert found["from"] == "mine.xlsx"
    assert found["connectors"][0]["from"] == {
        "": "connectors!2",
        "/takes/0": "fillings!2",
        "/takes/0/combinations/0/18 AWG": "fillings!3",
        "/takes/0/combinations/1": "fillings!4",
    }


def test_headings_stand_in_any_order_and_sheets_too() -> None:
    turned = {name: [list(reversed(row)) for row in rows] for name, rows in reversed(list(SOUND.items()))}
    assert connector(turned) == connector(SOUND)


def test_connectors_are_sorted() -> None:
    connectors = [*CONNECTORS, ["a-first", "lever", "dry", "copper"]]
    fillings = [*FILLINGS, ["a-first", "1", "14 AWG", "solid", 2, 3]]
    found = read({"connectors": connectors, "fillings": fillings}).catalogue
    assert found is not None
    assert [one["id"] for one in found["connectors"]] == ["a-first", "mine"]


def test_columns_and_sheets_of_the_users_own_are_kept_out() -> None:
    own = column("connectors", "# shelf", "B4", **{"# notes": [["anything"]], "carton": [["told"]]})
    assert connector(own) == connector(SOUND)


# --- examples ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("headings", "cells", "where"),
    [
        (["read on", "source"], [dt.date(2026, 11, 30), None], "connectors!F2: source: mine: is required"),
        (["read on"], [dt.date(2026, 11, 30)], "connectors!E2: source: mine: is required"),
    ],
)
def test_what_is_missing_is_named_with_its_blank_cell(headings: list[str], cells: list[Any], where: str) -> None:
    head, row = CONNECTORS
    assert faults(with_cells("connectors", [*head, *headings], [*row, *cells])) == [where]


def test_examples_are_passed_over_with_a_note() -> None:
    rows = {sheet.name: [*EXAMPLE_ROWS.get(sheet.name, ())] for sheet in SHEETS}
    rows["connectors"].append({"id": "mine", "method": "twist-on", "materials": ["copper"]})
    rows["fillings"].append(
        {"id": "mine", "filling": "1", "size": "14 AWG", "constructions": ["solid"], "least": 2, "most": 2}
    )
    found = import_text(rows)
    assert found.connectors == 1
    assert found.notes == ("passed over, as examples: example-lever, example-set-screw, example-twist-on",)


def import_text(rows: dict[str, Any]) -> Any:
    return imported(listings_of(tables_in_files(csv_files(rows))), "mine", "mine", look=True)


def test_examples_alone_would_be_valid_once_they_are_renamed() -> None:
    renamed = {
        sheet: [{**row, "id": row["id"].replace("example", "my")} for row in rows]
        for sheet, rows in EXAMPLE_ROWS.items()
    }
    found = import_text(renamed)
    assert found.catalogue is not None, [str(fault) for fault in found.faults]
    assert (found.connectors, found.doubts) == (3, ())


def test_new_workbook_with_nothing_in_it_says_so() -> None:
    found = import_text(dict(EXAMPLE_ROWS))
    assert [str(fault) for fault in found.faults] == ["connectors: has no connector; give each a row"]


def test_example_that_was_written_over_needs_a_name_of_its_own() -> None:
    rows = {**EXAMPLE_ROWS, "connectors": [{**EXAMPLE_ROWS["connectors"][0], "about": "ours"}]}
    told = [str(fault) for fault in import_text(rows).faults]
    assert told[0].startswith("connectors!A2: connector: example-twist-on: is the name of an example; give")


# --- doubts --------------------------------------------------------------------------------------


def test_listing_that_contradicts_itself_is_told_by_its_cell() -> None:
    head, row = CONNECTORS
    sheets = with_cells("connectors", [*head, "reusable", "irreversible"], [*row, "yes", "yes"])
    found = imported(listings_of(tables_in_workbook(workbook(sheets), "xlsx")), "mine", "mine.xlsx", look=True)
    assert found.catalogue is not None
    assert found.doubtful
    (doubt,) = [one for one in found.doubts if one.level == "error"]
    assert str(doubt).startswith(f"{doubt.fault.cell}: error: ")
    assert doubt.fault.cell.sheet == "connectors"
    assert doubt.fault.cell.row == 2
    assert doubt.to_dict()["connector"] == "mine"
    assert doubt.look_for


@pytest.mark.parametrize("row", [1, 2])
def test_a_digit_too_many_is_told_at_its_cell(row: int) -> None:
    rows = [FILLINGS[0], ["mine", 1, "14 AWG", "solid", 2, 3], ["mine", 2, "16 AWG", "solid", 2, 4]]
    rows[row][-1] = f"1{rows[row][-1]}"
    sheets = with_cells("fillings", *rows)
    found = imported(listings_of(tables_in_workbook(workbook(sheets), "xlsx")), "mine", "mine.xlsx", look=True)
    assert [str(one.fault.cell) for one in found.doubts if one.level == "error"] == [f"fillings!F{row + 1}"]


def test_listing_of_which_a_cell_can_not_be_read_is_not_looked_through() -> None:
    head, row = CONNECTORS
    sheets = with_cells("connectors", [*head, "reusable", "irreversible", "volts"], [*row, "yes", "yes", "600 W"])
    found = imported(listings_of(tables_in_workbook(workbook(sheets), "xlsx")), "mine", "mine.xlsx", look=True)
    assert (len(found.faults), found.doubts) == (1, ())


# --- faults --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sheets", "cell", "says"),
    [
        (column("connectors", "method", "twist-onn"), "connectors!B2", "did you mean 'twist-on'?"),
        (column("connectors", "places", "dry, wett"), "connectors!C2", "did you mean 'wet'?"),
        (column("connectors", "volts", 600), "connectors!E2", "600 has no unit; write it with the unit: 600 V"),
        (column("connectors", "volts", "1,000 V"), "connectors!E2", "has a comma in the number"),
        (column("connectors", "pack", 0), "connectors!E2", "0 is out of range"),
        (column("connectors", "pack", 2.5), "connectors!E2", "not a whole number"),
        (column("connectors", "strip", dt.date(2026, 2, 1)), "connectors!E2", "turned into a date"),
        (column("connectors", "insulated", "perhaps"), "connectors!E2", "neither yes nor no"),
        (column("connectors", "where", "side panel"), "connectors!E2", "is required"),
        (column("connectors", "read on", "yesterday"), "connectors!E2", "is no day"),
        (column("connectors", "connector", "Mine!"), "connectors!A2", "kebab-case"),
        (column("connectors", "connector", None), "connectors!A2", "is needed"),
        (column("connectors", "method", None), "connectors!B2", "is needed: how it joins"),
        (column("connectors", "voltz", "600 V"), "connectors!E1", "unknown column \"voltz\"; did you mean 'volts'?"),
        (column("connectors", "weight", "2 g"), "connectors!E1", "it is none of this sheet's. Begin it with #"),
        (column("connectors", None, "stray"), "connectors!E2", "beyond the last heading"),
        (column("connectors", "Method ", "lever"), "connectors!E1", "the column 'method' stands twice"),
        (column("fillings", "connector", "mne"), "fillings!A2", "did you mean 'mine'?"),
        (column("fillings", "connector", "other"), "fillings!A2", "give it a row there"),
        (column("fillings", "size", "14"), "fillings!C2", "14 AWG"),
        (column("fillings", "size", dt.date(2026, 12, 14)), "fillings!C2", "turned into a date"),
        (column("fillings", "at most", None), "fillings!F2", "is needed: how many of them at most"),
        (column("fillings", "at least", 5), "fillings!E2", "is 5, more than the most, 3"),
        (column("fillings", "at most", 40), "fillings!F2", "is beyond 24 conductors"),
        (column("fillings", "construction", None), "fillings!D2", "say it here, or for all rows of the connector"),
        (column("connectors", "material", None), "fillings!2", "say it here, or for all rows of the connector"),
        (with_cells("connectors", *CONNECTORS, CONNECTORS[1]), "connectors!A3", "already stands in row 2"),
        (with_cells("fillings", *FILLINGS, FILLINGS[1]), "fillings!C3", "stands twice in filling 1"),
        (
            with_cells("fillings", *FILLINGS, ["mine", 2, "14 AWG", "solid", 3, 3]),
            "fillings!3",
            "3 x 14 AWG stands twice",
        ),
        (with_cells("fillings", FILLINGS[0]), "connectors!A2", "write there what it takes"),
        (with_cells("fillings", FILLINGS[0][1:], FILLINGS[1][1:]), "fillings!1", "there is no column 'connector'"),
        ({**SOUND, "filings": FILLINGS}, "filings", "did you mean 'fillings'?"),
        ({**SOUND, "prices": [["a"]]}, "prices", "known are connectors, fillings"),
        ({**SOUND, "Sheet1": FILLINGS}, "Sheet1", "did you mean 'fillings'?"),
        ({"Sheet1": CONNECTORS, "fillings": FILLINGS}, "Sheet1", "did you mean 'connectors'?"),
    ],
)  # fmt: skip
def test_fault_is_told_by_its_cell(sheets: Sheets, cell: str, says: str) -> None:
    told = faults(sheets)
    assert [one for one in told if one.startswith(f"{cell}: ") and says in one], told
    assert read(sheets).catalogue is None


_PORTS = ["connector", "ports", "sizes", "construction", "port", "per port"]
_METAL = ["connector", "metal from", "metal to", "ends from", "ends to", "thinnest", "thickest", "construction"]
_FIGURES = ["connector", "figure", "sizes", "value"]


@pytest.mark.parametrize(
    ("sheet", "rows", "cell", "says"),
    [
        ("ports", [_PORTS, ["mine", 2, "12 AWG to 18 AWG", "solid", 1, None]], "ports!C2", "upside down"),
        ("ports", [_PORTS, ["mine", 2, "12 AWG", "solid", None, 1], ["mine", 2, "10 AWG", "solid", None, 1]],
         "ports!E2", "rows with the same number are the same ports"),
        ("ports", [_PORTS, ["mine", 2, "12 AWG", "solid", 1, 1], ["mine", 3, "10 AWG", "stranded", 1, 1]],
         "ports!B3", "is 3, but another row of one port says 2"),
        ("ports", [_PORTS, ["mine", 2, "12 AWG", "solid", 1, 1], ["mine", 2, "10 AWG", "solid", 1, 1]],
         "ports!C3", "two ranges hold for one kind of conductor"),
        ("ports", [_PORTS, ["mine", 2, "12 AWG", None, 1, 1]], "ports!D2", "say it here"),
        ("ports", [_PORTS, ["mine", 2, "12 AWG to 6 mm2", "solid", 1, 1]], "ports!C2", "two systems"),
        ("ports", [_PORTS, ["mine", 200, "12 AWG", "solid", 1, 1]], "ports!B2", "out of range"),
        ("metal", [_METAL, ["mine", "9 mm2", "3 mm2", 2, 5, "18 AWG", "12 AWG", "solid"]], "metal!B2", "upside down"),
        ("metal", [_METAL, ["mine", "3 mm2", "9 kcmil", 2, 5, "18 AWG", "12 AWG", "solid"]], "metal!2", "two units"),
        ("metal", [_METAL, ["mine", "3 mm2", "9 mm2", 5, 2, "18 AWG", "12 AWG", "solid"]], "metal!D2", "more than the"),
        ("metal", [_METAL, ["mine", "3 mm2", "9 mm2", 2, 5, "12 AWG", "18 AWG", "solid"]], "metal!F2", "thicker"),
        ("figures", [_FIGURES, ["mine", "torqe", None, "9 in-lb"]], "figures!B2", "did you mean 'torque'?"),
        ("figures", [_FIGURES, ["mine", "torque", None, 9]], "figures!D2", "9 has no unit"),
        ("figures", [_FIGURES, ["mine", "torque", "12 AWG", "9 in-lb"], ["mine", "torque", "12 AWG", "8 in-lb"]],
         "figures!3", "another figure holds for"),
        ("figures", [_FIGURES, ["mine", "torque", None, "9 in-lb"], ["mine", "torque", "12 AWG", "8 in-lb"]],
         "figures!2", "says no size and no metal"),
        ("figures", [_FIGURES, ["mine", "torque", "12 AWG", None]], "figures!D2", "is needed"),
        ("catalogue", [["what", "value"], ["nota", "x"]], "catalogue!B2", "did you mean 'note'?"),
        ("catalogue", [["what", "value"], ["minutes levr", "2"]], "catalogue!B2", "did you mean 'lever'?"),
        ("catalogue", [["what", "value"], ["minutes lever", "two"]], "catalogue!B2", "is not a number"),
        ("catalogue", [["what", "value"], ["unstated", "perhaps"]], "catalogue!B2", "use one of: unknown, no"),
    ],
)  # fmt: skip
def test_fault_of_a_further_sheet_is_told_by_its_cell(sheet: str, rows: list[Any], cell: str, says: str) -> None:
    told = faults({**SOUND, sheet: rows})
    assert [one for one in told if one.startswith(f"{cell}: ") and says in one], told


def test_figure_that_stands_on_two_sheets_is_told() -> None:
    told = faults(
        {**column("connectors", "strip", "11 mm"), "figures": [_FIGURES, ["mine", "strip", "12 AWG", "9 mm"]]}
    )
    assert told == ["figures!B2: figure: mine: the strip stands on the sheet connectors too; leave it out there"]


def test_cell_is_told_once() -> None:
    assert len(faults(column("fillings", "at least", 5))) == 1


def test_column_that_is_not_there_is_named_where_it_is_needed() -> None:
    rows = [["mine", 3, "12 AWG", one] for one in ("solid", "stranded")]
    told = faults({"connectors": CONNECTORS, "ports": [["connector", "ports", "sizes", "construction"], *rows]})
    assert told[0].startswith("ports!2: port: mine: is needed where a connector has several rows")


def test_every_fault_is_told_in_one_run() -> None:
    connectors = [
        ["connector", "method", "volts", "material"],
        ["mine", "twist-onn", "600", "coper"],
        ["Yours", "lever", "600 W", "copper"],
    ]
    fillings = [FILLINGS[0], ["mine", "1", "14", "solidd", 2, "three"], ["theirs", "1", "14 AWG", "solid", 1, 1]]
    told = [one.partition(": ")[0] for one in faults({"connectors": connectors, "fillings": fillings})]
    assert told == [
        "connectors!B2", "connectors!C2", "connectors!D2", "connectors!A3", "connectors!A3", "connectors!C3",
        "fillings!C2", "fillings!D2", "fillings!F2", "fillings!A3",
    ]  # fmt: skip


def test_rows_of_a_name_that_is_not_written_as_one_are_told_as_those_of_the_name_that_is_meant() -> None:
    head, row = CONNECTORS
    sheets = {"connectors": [head, ["Red small", *row[1:]]], "fillings": [FILLINGS[0], ["red-small", *FILLINGS[1][1:]]]}
    (told,) = faults(sheets)
    assert told.startswith('connectors!A2: connector: "Red small" is not a name in kebab-case; did you mean')


def test_what_is_needed_says_so_once() -> None:
    (told,) = faults(column("fillings", "at most", None))
    assert told == "fillings!F2: at most: is needed: how many of them at most; a whole number"


def merged(book: Any) -> None:
    book["fillings"].merge_cells("A2:B2")


def hidden(book: Any) -> None:
    book["fillings"].sheet_state = "hidden"


def formula(book: Any) -> None:
    book["fillings"]["F2"] = "=E2+1"


def test_cells_that_are_merged_are_told() -> None:
    assert any(one.startswith("fillings!A2: ") and "merged" in one for one in faults(SOUND, merged))


def test_cells_that_are_merged_are_told_once() -> None:
    rows = [*FILLINGS, [None, None, "12 AWG", "solid", 2, 2]]
    told = faults(with_cells("fillings", *rows), lambda book: book["fillings"].merge_cells("A2:B3"))
    assert told == ["fillings!A2: connector: is merged with others to B3; write the value in each cell"]


def test_sheet_that_is_hidden_is_told() -> None:
    (told,) = faults(SOUND, hidden)
    assert told.startswith("fillings: is hidden, so nobody sees what it says")


def test_formula_that_was_never_calculated_is_told() -> None:
    assert any(one.startswith("fillings!F2: ") and "never calculated" in one for one in faults(SOUND, formula))


def test_ods_workbook_is_read_as_the_same() -> None:
    head, row = CONNECTORS
    more = {
        "source": "carton",
        "pack": 100,
        "price": 12.5,
        "strip": "1/2 in",
        "read on": dt.date(2026, 11, 30),
        "part number": "1.250",
    }
    sheets = with_cells("connectors", [*head, *more], [*row, *more.values()])
    found, again = read(sheets), read_ods(sheets)
    assert found.catalogue is not None
    assert again.catalogue == {**found.catalogue, "from": "mine.ods"}


def test_ods_faults_are_told_by_the_same_cells() -> None:
    sheets = with_cells("fillings", FILLINGS[0], [], ["mine", 1, 14, "solidd", 2, 3], ["theirs", 1, "14 AWG"])
    assert [str(one) for one in read_ods(sheets).faults] == faults(sheets)
    assert "fillings!C3" in [str(one.cell) for one in read_ods(sheets).faults]


def test_ods_sheet_that_is_hidden_is_told_and_the_lists_of_words_are_not() -> None:
    style = (
        '<style:style style:name="{}" style:family="table"><style:table-properties table:display="{}"/></style:style>'
    )
    sheets = [ods_sheet(name, rows, style="ta2" if name == "fillings" else "ta1") for name, rows in SOUND.items()]
    words = ods_sheet("words", [["#"], ["dry"]], style="ta2")
    data = ods_of("".join([*sheets, words]), style.format("ta1", "true") + style.format("ta2", "false"))
    (told,) = imported(listings_of(tables_in_workbook(data, "ods")), "mine", "mine.ods").faults
    assert str(told).startswith("fillings: is hidden, so nobody sees what it says")


TITLES: list[list[Any]] = [["Our shelf, as of November"], [], ["wire", "and", "cartons"]]


@pytest.mark.parametrize("reading", [read, read_ods])
def test_titles_above_the_headings_of_a_workbook_are_passed_over(reading: Callable[[Sheets], Imported]) -> None:
    sheets = {name: [*TITLES, *rows] for name, rows in SOUND.items()}
    found = reading(sheets)
    assert found.catalogue is not None, found.faults
    assert found.catalogue["connectors"][0]["from"][""] == "connectors!5"
    wrong = reading(with_cells("fillings", *TITLES, FILLINGS[0], ["mine", "1", "14", "solid", 2, 3]))
    assert [str(one.cell) for one in wrong.faults] == ["fillings!C5"]


def test_merged_title_is_no_fault() -> None:
    sheets = {name: [["Our shelf"], *rows] for name, rows in SOUND.items()}
    assert not faults(sheets, lambda book: book["fillings"].merge_cells("A1:F1"))


def test_headings_that_are_repeated_are_passed_over_with_a_note() -> None:
    again = [str(one).upper() for one in FILLINGS[0]]
    found = read(with_cells("fillings", *FILLINGS, [], again, ["mine", "2", "12 AWG", "solid", 2, 2]))
    assert found.catalogue is not None, found.faults
    assert len(found.catalogue["connectors"][0]["takes"][0]["combinations"]) == 2
    assert found.notes == ("fillings!4: repeats the headings; passed over",)


def test_headings_of_a_second_table_are_told() -> None:
    other = ["size", "connector", "filling", "at most", "at least"]
    (told,) = faults(with_cells("fillings", *FILLINGS, other))
    assert told == "fillings!3: has headings again, and others; put what follows under those of row 1"


def test_csv_fault_is_told_with_its_line() -> None:
    found = read_files({"connectors.csv": "connector,method\nmine,twist-onn\n", "fillings.csv": '"connector\n'})
    assert [fault.cell.row for fault in found.faults if fault.cell.sheet == "connectors"] == [2]
    assert any(fault.cell.sheet == "fillings" for fault in found.faults)


@pytest.mark.parametrize(
    "text",
    [
        "connector;method;material\nmine;twist-on;copper\n",
        "connector\tmethod\tmaterial\nmine\ttwist-on\tcopper\n",
        "sep=;\nconnector;method;material\nmine;twist-on;copper\n",
        "Our shelf\n\nconnector,method,material\nmine,twist-on,copper\n",
    ],
)
def test_csv_files_of_other_programs_are_read(text: str) -> None:
    fillings = "connector,filling,size,construction,at least,at most\nmine,1,14 AWG,solid,2,3\n"
    found = read_files({"connectors.csv": text, "fillings.csv": fillings})
    assert found.catalogue is not None, [str(fault) for fault in found.faults]
    assert found.catalogue["connectors"][0]["method"] == "twist-on"


def test_file_that_is_no_sheet_is_told() -> None:
    found = read_files({"connectors.csv": "connector,method\n", "filling.csv": "connector\n"})
    assert "did you mean 'fillings'?" in str(found.faults[-1]) or "did you mean 'fillings'?" in str(found.faults[0])


def test_fault_as_json_names_cell_row_and_heading() -> None:
    (fault,) = read(column("connectors", "method", "twist-onn")).faults
    assert fault.to_dict() == {
        "cell": "connectors!B2",
        "sheet": "connectors",
        "row": 2,
        "heading": "method",
        "says": "\"twist-onn\" is not known; did you mean 'twist-on'?",
    }


def test_what_holds_no_connectors_is_refused() -> None:
    with pytest.raises(NoTable, match=r"no file connectors.csv"):
        tables_in_files({"fillings.csv": b""})
    with pytest.raises(NoTable, match="no sheet called connectors"):
        read({"# mine": [["a"]]})


def test_folder_and_workbook_are_read_from_a_path(tmp_path: Path) -> None:
    book = tmp_path / "shelf.xlsx"
    book.write_bytes(workbook(SOUND))
    assert import_shelf(book, "mine").connectors == 1
    for name, data in csv_files({"connectors": [{"id": "mine", "method": "lever"}]}).items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "# notes.csv").write_text("anything")
    (tmp_path / "readme.txt").write_text("anything")
    assert import_shelf(tmp_path, "mine").connectors == 1


def test_file_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.shelf.table_files.LARGEST", 10)
    (tmp_path / "shelf.xlsx").write_bytes(written(EXAMPLE_ROWS))
    with pytest.raises(NoTable, match="larger than 10 bytes"):
        import_shelf(tmp_path / "shelf.xlsx", "mine")


def folder_of(path: Path, sheets: dict[str, Any], endings: dict[str, str] | None = None) -> Path:
    """Write sheets as text files, each under its ending; parted by tabs where that is `.tsv`."""
    for name, rows in sheets.items():
        ending = (endings or {}).get(name, ".csv")
        sign = "\t" if ending == ".tsv" else ","
        lines = (sign.join("" if one is None else f'"{one}"' for one in row) for row in rows)
        (path / f"{name}{ending}").write_text("\n".join(lines))
    return path


FIGURES = [["connector", "figure", "sizes", "value"], ["mine", "strip", "14 AWG", "11 mm"]]
ALL_SHEETS = {**SOUND, "figures": FIGURES}


def test_each_sheet_is_read_of_a_file_parted_by_tabs(tmp_path: Path) -> None:
    plain = import_shelf(folder_of(tmp_path, ALL_SHEETS), "mine").catalogue
    assert plain is not None
    for at, name in enumerate(ALL_SHEETS):
        folder = tmp_path / str(at)
        folder.mkdir()
        found = import_shelf(folder_of(folder, ALL_SHEETS, {name: ".tsv"}), "mine")
        assert found.faults == ()
        assert found.catalogue is not None
        assert found.catalogue["connectors"] == plain["connectors"]


@pytest.mark.parametrize("ending", [".txt", ".tab", ".xlsx", ".ods", ".xls", ".csv.bak", ".csv.txt", ""])
@pytest.mark.parametrize("name", [sheet.name for sheet in SHEETS] + ["figure", "Fillings", "catalog", "connecters"])
def test_no_sheet_is_lost_under_another_ending(tmp_path: Path, name: str, ending: str) -> None:
    (folder_of(tmp_path, SOUND) / f"{name}{ending}").write_text("anything")
    (fault,) = import_shelf(tmp_path, "mine").faults
    assert str(fault).startswith(f"{name}{ending}: is not read")
    assert ".csv or " in fault.says


def test_a_sheet_under_two_endings_stands_twice(tmp_path: Path) -> None:
    folder_of(folder_of(tmp_path, ALL_SHEETS), {"figures": FIGURES}, {"figures": ".tsv"})
    assert [str(fault) for fault in import_shelf(tmp_path, "mine").faults] == ["figures: stands twice"]


def test_what_is_no_sheet_is_passed_over_but_a_workbook_is_noted(tmp_path: Path) -> None:
    folder_of(tmp_path, SOUND)
    for name in ("readme.txt", "catalogue.yaml", "# figures.txt", "words.txt", "shelf.xlsx"):
        (tmp_path / name).write_text("anything")
    found = import_shelf(tmp_path, "mine")
    assert found.faults == ()
    assert [note.partition(":")[0] for note in found.notes] == ["shelf.xlsx"]


@pytest.mark.parametrize(
    ("heading", "written"),
    [("price", "1.200"), ("pack", "1.000"), ("on hand", "1.200"), ("volts", "1.000 V"), ("strip", "1.200 mm")],
)
def test_a_point_that_may_part_thousands_is_told_by_its_cell(heading: str, written: str) -> None:
    (told,) = faults(column("connectors", heading, written))
    assert told.startswith("connectors!E2")
    assert "may mean 1" in told
