"""The file of a job: one document, or tables of joints with what they can't say beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from splicewright.cli.input import LARGEST, fail, located, read_document, without_notes
from splicewright.cli.project import project_of_command

if TYPE_CHECKING:
    from splicewright.document import Document
    from splicewright.job.tables import TableJob
    from splicewright.refusals import Refused
    from splicewright.sheets.table import Grid, Spot

_OWN = ("joints", "boxes")


@dataclass(frozen=True)
class JobFile:
    """A job as it was read, and where its parts stand."""

    name: str
    job: TableJob
    document: Document | None = None  # of the job, or of what stands beside its tables
    beside: str = ""  # the name of that

    @property
    def files(self) -> tuple[str, ...]:
        """The files that it was read from."""
        return (self.name, self.beside) if self.beside else (self.name,)

    def located(self, pointer: str, says: str) -> str:
        """Word what is wrong at a place of the job, with its cell or line."""
        if (spot := self.job.spot(pointer)) is not None:
            rest = "/".join(pointer.split("/")[3:])
            what = f"what the joints of this box have together, {rest}: " if pointer.startswith("/boxes/") else ""
            return f"{_cell(self.name, spot)}: {what}{says}"
        if self.document is None:
            return f"{self.name}: {pointer or 'the job'}: {says}"
        return located(self.beside or self.name, self.document, pointer, says)

    def refuse(self, error: Refused) -> NoReturn:
        """Tell every problem of a job that was refused, and exit with 2."""
        fail(*(self.located(problem.pointer, problem.says) for problem in error.problems))


def read_job_file(name: str, columns: Mapping[str, str], beside: str | None) -> JobFile:
    """Read the job of a file: by its ending tables, else a document. Exits with 2 where it is neither."""
    from splicewright.job.tables import TableJob, job_of_tables
    from splicewright.project.reading import columns_of
    from splicewright.sheets.joints import mapping_hint
    from splicewright.sheets.table import KINDS
    from splicewright.shelf.recognizing import catalogue_tables

    if not name.lower().endswith((*KINDS, ".parquet")):
        if columns or beside:
            fail("--columns and --with are for tables of joints")
        document = read_document(name)
        return JobFile(name, TableJob(without_notes(document.value)), document)
    found, words = _beside(beside)
    mapped = columns_of(project_of_command(), columns)
    grids = _grids(name, mapped)
    other = catalogue_tables(Path(name), grids, mapped)
    job = job_of_tables(
        [grid for grid in grids if not other or all(grid is not one for one in other.grids)], mapped, found
    )
    if job.faults:
        fail(*(f"{_cell(name, one.spot)}: {one.says}" for one in job.faults))
    if other and not job.joints:
        fail(f"{name}: has a catalogue's tables, none of joints; `splicewright catalogue check {other.at}` reads them")
    if not job.joints:
        hint = f"{mapping_hint(grids, mapped)}; `splicewright template` writes one"
        fail(f"{name}: holds no table of joints: fewer than half of its headings are known; {hint}")
    return JobFile(name, job, words, beside or "")


def _beside(name: str | None) -> tuple[dict[str, Any], Document | None]:
    """Read what a table can't say; without a stock of its own the plan is of the fewest types."""
    document = read_document(name) if name else None
    given = {} if document is None else document.value
    if not isinstance(given, Mapping):
        fail(f"{name}: is no object with defaults, stock or other words of a job")
    for key in _OWN:
        if document is not None and key in given:
            fail(located(name or "", document, f"/{key}", "joints stand in the tables; leave it out here"))
    return {"stock": {}, **given}, document


def _grids(name: str, mapped: Mapping[str, str]) -> list[Grid]:
    from splicewright.sheets.table import KINDS, NoTable
    from splicewright.sheets.tables import LARGEST as LARGEST_TABLE
    from splicewright.sheets.tables import read_tables

    path = Path(name)
    try:
        if path.suffix.lower() == ".parquet":
            return _parquet(path)
        kind = KINDS[path.suffix.lower()]
        most = LARGEST_TABLE.get(kind, LARGEST)
        with path.open("rb") as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            fail(f"{name}: is larger than {most:,} bytes")
        return read_tables(data, kind, mapped)
    except OSError as error:
        fail(f"{name}: {error.strerror or error}")
    except NoTable as error:
        fail(f"{name}:{error.row or 1}: {error.says}")


def _parquet(path: Path) -> list[Grid]:
    try:
        from splicewright.sheets.parquet_table import read_parquet_table
    except ModuleNotFoundError:
        fail("Parquet files need the extra `columns`: pip install 'splicewright[columns]'")
    return read_parquet_table(path)


def _cell(name: str, spot: Spot) -> str:
    where = f"{spot.sheet}!{spot.cell}" if spot.sheet else spot.line
    return f"{name}:{where}" + (f": {spot.heading}" if spot.heading else "")
