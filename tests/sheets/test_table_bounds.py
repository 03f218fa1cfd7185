"""Files made to cost much are read within bounds of time and memory, or refused with their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.sheets.table import MOST_CELLS, MOST_COLUMNS, NoTable
from tests import child
from tests.readers import FOUND
from tests.sheets import crafted
from tests.sheets.tables import grid_of

SECONDS, MEMORY = 5, 300_000_000
_XLSX = "from pathlib import Path; from splicewright.sheets.xlsx_file import read_xlsx"
_PARQUET = """
from pathlib import Path
from splicewright.sheets.parquet import Questions
def first_line(path):
    questions, first, lines = Questions(path), b"", 0
    while line := questions.readline(2_000_000):
        first, lines = first or line, lines + line.count(b"\\n")
    return [repr(first[:30])[2:-1], lines]
"""


@pytest.mark.slow
@pytest.mark.parametrize("name", crafted.WORKBOOKS)
def test_crafted_workbook_is_told_within_bounds(name: str, tmp_path: Path) -> None:
    data, says = crafted.WORKBOOKS[name]
    (tmp_path / "a.xlsx").write_bytes(data)
    took = child.run(_XLSX, "len(read_xlsx(Path(sys.argv[1]).read_bytes()))", str(tmp_path / "a.xlsx"))
    assert took.gave == 1 if says == "read" else says in took.gave
    assert took.seconds < SECONDS
    assert took.memory < MEMORY


@pytest.mark.alone
@pytest.mark.slow
@pytest.mark.parametrize("name", crafted.PARQUET)
def test_crafted_column_file_is_told_within_bounds(name: str, tmp_path: Path) -> None:
    table, says = crafted.PARQUET[name]
    (tmp_path / "a.parquet").write_bytes(crafted.parquet(table))
    took = child.run(_PARQUET, "first_line(Path(sys.argv[1]))", str(tmp_path / "a.parquet"), room=6_000_000_000)
    if isinstance(took.gave, str):
        assert says in took.gave
    else:
        assert took.gave[0].startswith(says)
        assert took.gave[1] == table.num_rows
    assert took.seconds < SECONDS
    assert took.memory < MEMORY


@pytest.mark.parametrize(
    ("data", "says", "row"),
    [
        (b"id,size," + b",".join(b"h%d" % at for at in range(100_000)), "the row has 100,002 cells; 200 are read", 1),
        (b"id,size\na" + b"," * MOST_COLUMNS, "the row has 201 cells; 200 are read", 2),
        (b"id,size\n" + b"a,b\n" * 200_000, "goes beyond 200,000 rows", 200_001),
        (b"," * (MOST_CELLS + 1), "has more than 5,000,000 cells", None),
        (b"\r" * (MOST_CELLS + 1), "has more than 5,000,000 cells", None),
    ],
    ids=["headings", "columns", "rows", "cells", "lines"],
)
def test_text_of_too_many_rows_columns_or_cells_is_told(data: bytes, says: str, row: int | None) -> None:
    with pytest.raises(NoTable) as refused:
        grid_of(data)
    assert says in refused.value.says
    assert refused.value.row == row


@pytest.mark.slow
@pytest.mark.parametrize("path", sorted(FOUND.iterdir()), ids=lambda path: path.name)
def test_what_was_found_by_damaging_files_is_read_or_refused(path: Path) -> None:
    call = "read_found(Path(sys.argv[1]).suffix[1:], Path(sys.argv[1]).read_bytes())"
    assert child.run("from pathlib import Path\nfrom tests.readers import read_found", call, str(path)).gave is None
