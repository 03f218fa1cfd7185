"""`splicewright job FILE`: takeoff and stock plan of a whole job."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from splicewright.cli.input import fail, tell
from splicewright.cli.job_file import JobFile, read_job_file
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import amending, chooser_of_command
from splicewright.refusals import Refused, not_allowed

if TYPE_CHECKING:
    from splicewright.answering import Chooser

EPILOG = """A job in its smallest form: {joints: [{quantity: 24, joint: {conductors: [{size: 12 AWG, count: 3}]}}]}

From a spreadsheet to a takeoff: splicewright job joints.xlsx --report xlsx=takeoff.xlsx"""
_REPORTS = ("xlsx", "csv")


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
    help="Write joints, takeoff, wire, stock plan and problems as tables: xlsx=FILE, or csv=FOLDER with a file each.",
)
@amending
def command(
    file: str, form: str, columns: dict[str, str], beside: str | None, reports: tuple[str, ...], *, details: bool
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
    from splicewright.job.shelf_figures import shelf_lines
    from splicewright.reports.job import print_job
    from splicewright.work import Budget

    wanted = [_wanted(report) for report in reports]
    read = read_job_file(file, columns, beside)
    chooser = chooser_of_command()
    try:
        with Progress(None, quiet=False, of="step") as progress:
            answer = plan_job(read.job.value, chooser, Budget(watch=progress.watch))
    except Refused as error:
        read.refuse(error)
    for kind, place in wanted:
        _write(kind, place, answer, read, chooser)
    if form == "json":
        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        print_job(answer, details=details, shelf=shelf_lines(answer, read.job.value, chooser))
    for problem in answer["problems"]:
        for one in problem.get("errors", ()):
            tell(read.located(one["pointer"], one["says"]))
    raise SystemExit(1 if answer["problems"] else 0)


def _wanted(report: str) -> tuple[str, Path]:
    kind, _, place = report.partition("=")
    if kind not in _REPORTS:
        fail(f"--report: {not_allowed(kind, _REPORTS)}")
    if not place:
        fail(f"--report: says no place; write {kind}={'takeoff.xlsx' if kind == 'xlsx' else 'takeoff/'}")
    return kind, Path(place)


def _write(kind: str, place: Path, answer: dict[str, Any], read: JobFile, chooser: Chooser) -> None:
    from splicewright.reports.job_tables import job_tables
    from splicewright.reports.table_files import tables_csv, tables_xlsx
    from splicewright.whole_file import write_files, write_whole

    tables = job_tables(answer, read.job, chooser)
    try:
        if kind == "xlsx":
            _keep_what_was_read(read.name, [place])
            write_whole(place, tables_xlsx(tables))
            return
        files = tables_csv(tables)
        _keep_what_was_read(read.name, [place / name for name in files])
        place.mkdir(parents=True, exist_ok=True)
        write_files(place, files)
    except OSError as error:
        fail(f"{error.filename or place}: {error.strerror or error}")


def _keep_what_was_read(read: str, places: Iterable[Path]) -> None:
    for place in places:
        if place.exists() and Path(read).exists() and place.samefile(read):
            fail(f"{place}: is the file that is read; name another place")
