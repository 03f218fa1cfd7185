"""`splicewright job FILE`: takeoff and stock plan of a whole job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from splicewright.cli.input import fail, tell
from splicewright.cli.job_file import JobFile, read_job_file
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import amending, chooser_of_command
from splicewright.cli.sheet_report import SheetOptions, in_words, of_sheet, wanted_report
from splicewright.refusals import Refused

if TYPE_CHECKING:
    from splicewright.answering import Chooser

EPILOG = """A job in its smallest form: {joints: [{quantity: 24, joint: {conductors: [{size: 12 AWG, count: 3}]}}]}

From a spreadsheet to a takeoff: splicewright job joints.xlsx --report xlsx=takeoff.xlsx"""
_REPORTS = {"xlsx": "takeoff.xlsx", "csv": "takeoff/", "html": "sheet.html"}


@click.command("job", epilog=EPILOG)
@click.argument("file", default="-")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the answer.")
@click.option("--details", is_flag=True, help="Tell each caution, and each default that was filled in.")
@mapped_columns
@click.option("--with", "beside", metavar="FILE", help="What tables can't say: defaults, stock, only (JSON or YAML).")
@click.option(
    "--report",
    "reports",
    metavar="KIND=PLACE",
    multiple=True,
    help="Write joints, takeoff, wire, stock plan and problems as tables: xlsx=FILE, or csv=FOLDER with a file each; "
    "html=FILE writes work sheets for the crew, a page a box, with a takeoff.",
)
@in_words
@amending
def command(
    file: str,
    form: str,
    columns: dict[str, str],
    beside: str | None,
    reports: tuple[str, ...],
    language: str | None,
    *,
    details: bool,
    with_prices: bool,
) -> None:
    """Decide the joints and boxes of the job in FILE (JSON or YAML; - is standard input) and take off what it needs.

    FILE may be tables of joints as `splicewright template` writes them (CSV, TSV, XLSX, ODS, Parquet): `quantity` says
    how many of a joint there are, `box` which box it is in.

    Problems come first, then the takeoff, then (where the job has a stock) the plan of what to carry. Exits with 0
    where there is no problem, with 1 where a joint or box has one, with 2 for a job that is not valid as a whole.
    """
    import_marshmallow()
    import orjson

    from splicewright.cli.progress import Progress
    from splicewright.job import plan_job
    from splicewright.reports.job import print_job
    from splicewright.work import Budget

    wanted = [wanted_report(report, tuple(_REPORTS), _REPORTS.get(report.partition("=")[0], "")) for report in reports]
    sheet = of_sheet([place for kind, place in wanted if kind == "html"], language, with_prices=with_prices)
    read = read_job_file(file, columns, beside)
    chooser = chooser_of_command()
    try:
        with Progress(None, quiet=False, of="step") as progress:
            answer = plan_job(read.job.value, chooser, Budget(watch=progress.watch))
    except Refused as error:
        read.refuse(error)
    if sheet.places:
        _write_sheet(sheet, answer, read, chooser)
    tables = [(kind, place) for kind, place in wanted if kind != "html"]
    if tables:
        _tell_left_empty(read)
    for kind, place in tables:
        _write(kind, place, answer, read, chooser)
    if form == "json":
        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        print_job(answer, details=details)
    for problem in answer["problems"]:
        for one in problem.get("errors", ()):
            tell(read.located(one["pointer"], one["says"]))
    raise SystemExit(1 if answer["problems"] else 0)


def _write_sheet(sheet: SheetOptions, answer: dict[str, Any], read: JobFile, chooser: Chooser) -> None:
    from splicewright.job.read_again import read_again
    from splicewright.job.shelf_figures import catalogue_used
    from splicewright.reports.work_sheet_sources import MOST_BOXES, MOST_JOINTS, of_job

    boxes, joints = len(answer["boxes"]), len(answer["joints"])
    if boxes > MOST_BOXES or joints > MOST_JOINTS:
        says = f"a work sheet holds {MOST_BOXES:,} boxes and {MOST_JOINTS:,} joints at most; divide the job"
        fail(f"--report html: {read.name} has {boxes:,} boxes and {joints:,} joints; {says}")
    job = read.job.value
    name = catalogue_used(answer, job, chooser)[1]
    sheet.write(lambda: of_job(Path(read.name).stem, answer, read_again(job, chooser), name), *read.files)


def _tell_left_empty(read: JobFile) -> None:
    """Tell of cells in columns of the user's own that have no value to write again; in others they are refused."""
    from splicewright.job.tables import grids_of
    from splicewright.reports.kept_cells import lost_cells

    for grid, places in grids_of(read.job):
        tell(*(f"{read.name}:{says}" for says in lost_cells(grid, read.job.joints[places[0]].columns.values())))


def _write(kind: str, place: Path, answer: dict[str, Any], read: JobFile, chooser: Chooser) -> None:
    from splicewright.cli.places import files_of, keep_what_was_read
    from splicewright.reports.job_tables import job_tables
    from splicewright.reports.table_files import tables_csv, tables_xlsx
    from splicewright.whole_file import write_files, write_whole

    tables = job_tables(answer, read.job, chooser)
    read_from: list[str | Path] = [*read.files, *files_of(chooser.holding.project)]
    try:
        if kind == "xlsx":
            keep_what_was_read(read_from, [place])
            write_whole(place, tables_xlsx(tables))
            return
        files = tables_csv(tables)
        keep_what_was_read(read_from, [place / name for name in files])
        place.mkdir(parents=True, exist_ok=True)
        write_files(place, files)
    except OSError as error:
        fail(f"{error.filename or place}: {error.strerror or error}")
