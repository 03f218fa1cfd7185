"""Whatever stands in the cells: a catalogue that is valid, or faults by cell; never anything else."""

from __future__ import annotations

import contextlib
import csv
import datetime as dt
import io
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from splicewright.catalogue import catalogue_of
from splicewright.sheets.table import NoTable
from splicewright.shelf.cells import UnreadableCell, read_cell
from splicewright.shelf.importing import imported
from splicewright.shelf.layout import SHEETS
from splicewright.shelf.listings import listings_of
from splicewright.shelf.tables import tables_in_files

_LIKELY = [
    "", "", "mine", "yours", "example-lever", "twist-on", "lever", "dry, damp", "600 V", "105 degC", "1/2 in", "13 mm",
    "1.3 cm", "35 in-lb", "14 AWG", "12 AWG", "250 kcmil", "2.5 mm2", "18 AWG to 12 AWG", "12-14 AWG", "solid",
    "solid, stranded", "copper", "aluminum", "plain", "ferruled", "yes", "no", "1", "2", "5", "99", "-1", "0", "1e9",
    "strip", "torque", "volts", "8 mm2", "8000 cmil", "2026-11-30", "none", "20 x 9 mm", "note", "minutes lever",
    "=1+1",     "1/0 in", "9999999 mm", "0.00001 in", "1,000", "٣", "½ in", "x" * 300, "1/999 in", "0/4 in",
]  # fmt: skip
_cells = st.sampled_from(_LIKELY) | st.text(max_size=6)
_odd = (
    st.none() | st.booleans() | st.floats() | st.integers() | st.dates() | st.times() | st.datetimes() | st.timedeltas()
)


@st.composite
def _files(draw: Any) -> dict[str, bytes]:
    found = {}
    for sheet in SHEETS:
        columns = list(sheet.columns)
        if sheet.name != "connectors" and draw(st.booleans()):
            continue
        some = draw(
            st.lists(st.sampled_from(columns), min_size=2, max_size=len(columns), unique_by=lambda one: one.key)
        )
        rows = draw(st.lists(st.lists(_cells, min_size=len(some), max_size=len(some)), min_size=1, max_size=4))
        out = io.StringIO()
        csv.writer(out).writerows([[column.heading for column in some], *rows])
        found[f"{sheet.name}.csv"] = out.getvalue().encode("utf-8", "replace")
    return found


@settings(max_examples=100, deadline=None)
@given(_files())
def test_any_cells_give_a_catalogue_or_faults(files: dict[str, bytes]) -> None:
    try:
        tables = tables_in_files(files)
    except NoTable:
        return
    found = imported(listings_of(tables), "mine", "mine", look=True)
    assert (found.catalogue is None) == bool(found.faults)
    assert all(str(fault) and fault.to_dict()["cell"] for fault in found.faults)
    if found.catalogue is not None:
        assert len(catalogue_of(found.catalogue).connectors) == found.connectors


@settings(max_examples=200, deadline=None)
@given(st.sampled_from([column for sheet in SHEETS for column in sheet.columns]), _odd | _cells.filter(str.strip))
@example(SHEETS[0].columns[3], float("nan"))
@example(SHEETS[0].columns[3], float("-inf"))
@example(SHEETS[0].columns[3], 10**400)
def test_any_value_of_a_workbook_is_read_or_refused(column: Any, value: Any) -> None:
    if value is None:
        return
    with contextlib.suppress(UnreadableCell):
        read_cell(column, value)


def test_day_that_is_none_is_refused() -> None:
    (column,) = [one for one in SHEETS[0].columns if one.heading == "read on"]
    assert read_cell(column, dt.date(2026, 2, 28)) == "2026-02-28"
