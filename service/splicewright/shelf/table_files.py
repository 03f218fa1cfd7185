"""Where the tables of a shelf stand: a workbook, or a folder of text files, with what else is in it."""

from __future__ import annotations

from pathlib import Path

from splicewright.document import is_yaml
from splicewright.nearest_word import nearest
from splicewright.sheets.columns import normal
from splicewright.sheets.table import KINDS, NoTable
from splicewright.sheets.tables import WORKBOOKS
from splicewright.shelf.layout import BESIDE, SHEETS
from splicewright.shelf.tables import OWN, SIGNS, Cell, CellFault, Tables, kind_of, tables_in_files, tables_in_workbook

LARGEST = 25_000_000  # bytes of one file
_WORKBOOK_ENDINGS = ", ".join(ending for ending, kind in KINDS.items() if kind in WORKBOOKS)


def are_tables(path: Path) -> bool:
    """Tell whether a path is that of tables: a workbook, or a folder."""
    return kind_of(path) in WORKBOOKS or path.is_dir()


def tables_in(folder: Path) -> list[Path]:
    """Give the tables that a folder holds: itself, where tables in text stand in it, and its workbooks.

    Raises `OSError`.
    """
    files = _not_ones_own(folder)
    of_itself = [folder] if any(kind_of(one) in SIGNS for one in files) else []
    return [*of_itself, *(one for one in files if kind_of(one) in WORKBOOKS)]


def _not_ones_own(folder: Path) -> list[Path]:
    return [one for one in sorted(folder.iterdir()) if not one.name.startswith((OWN, ".", "~$"))]


def read_tables(path: Path) -> Tables:
    """Read a workbook, or a folder of CSV or TSV files named for the sheets. Raises `NoTable`, `OSError`."""
    kind = kind_of(path)
    if kind in SIGNS:
        raise NoTable("is one of several tables; name the folder that they are in")
    if not path.is_dir():
        data = _bytes(path)
        if kind not in WORKBOOKS:
            raise NoTable(f"is neither a workbook ({_WORKBOOK_ENDINGS}) nor a folder of CSV files; save it as one")
        return tables_in_workbook(data, kind)
    files = _not_ones_own(path)
    told = Tables()
    for file in files:
        if kind_of(file) not in SIGNS and not file.is_dir():
            _tell_beside(told, file.name)
    return tables_in_files({file.name: _bytes(file) for file in files if kind_of(file) in SIGNS}, told)


def _tell_beside(found: Tables, name: str) -> None:
    """Tell of a file that is not read and may be meant as a sheet: no row of it may be lost in silence."""
    stem, ending = name.partition(".")[0], Path(name).suffix
    if is_yaml(name) or normal(stem) in BESIDE:
        return
    meant = nearest(normal(stem), [sheet.name for sheet in SHEETS])
    if meant:
        says = f"is not read under the ending {ending!r}" if ending else "is not read without an ending"
        says = f"{says}; save it as {meant}.csv or {meant}.tsv, or begin its name with # to have it passed over"
        found.faults.append(CellFault(Cell(name), says))
    elif kind_of(Path(name)) in WORKBOOKS:
        found.notes.append(f"{name}: is a workbook of its own, not one of these tables; import it by its name")


def _bytes(path: Path) -> bytes:
    with path.open("rb") as stream:
        data = stream.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise NoTable(f"{path.name} is larger than {LARGEST:,} bytes")
    return data
