"""`splicewright check PATH…`: a proposed splice, one verdict; or files and folders, their findings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from splicewright.cli.check_paths import REPORTS, CheckOptions, check_paths
from splicewright.cli.input import fail, fail_refused, included, named_by_a_table, read_document
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import amending, chooser_of_command
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.refusals import NotText, Refused
from splicewright.yaml_text import read_yaml_documents

if TYPE_CHECKING:
    from splicewright.audit.finding import Level

EPILOG = """A check in its smallest form:
{joint: {conductors: [{size: 12 AWG, count: 2}]}, proposal: {connector: lever-2-port}}

In CI: splicewright check --report text --report sarif=splices.sarif jobs/"""
_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command("check", epilog=EPILOG)
@click.argument("paths", metavar="PATH…", nargs=-1)
@click.option("--format", "form", type=click.Choice(["text", "json"]), help="How to print the answer to one check.")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    help="How much to print of one check, where it does not say.",
)
@included
@click.option("--all", "everything", is_flag=True, help="Tell of one check also what is borne out, and every default.")
@click.option(
    "--report",
    "reports",
    metavar="KIND[=FILE]",
    multiple=True,
    help=f"Write findings as {', '.join(REPORTS[:-2])}, or answers as a table: csv, xlsx. May be given several times.",
)
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "note", "never"]),
    help="Exit with 1 where a finding is so grave or graver; error where not given.",
)
@click.option("--level", type=click.Choice(["error", "warning", "note"]), help="The least grave findings to report.")
@click.option("--baseline", type=_FILE, help="Findings that are known; only others count.")
@click.option("--write-baseline", type=_FILE, help="Write all findings to FILE as a baseline, and exit with 0.")
@click.option("--exclude", metavar="PATTERN", multiple=True, help="Leave out files of this name, such as old/*.")
@mapped_columns
@click.option("--strict", is_flag=True, help="A file in a folder that holds nothing to check is an error.")
@click.option("--pass-over", is_flag=True, help="A named file that holds nothing to check is passed over too.")
@click.option(
    "--on",
    metavar="DAY",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day that waivers are judged by; today where not given.",
)
@amending
def command(
    paths: Sequence[str],
    form: str | None,
    explain: str | None,
    include: tuple[str, ...],
    reports: Sequence[str],
    fail_on: Level | Literal["never"] | None,
    level: Level | None,
    baseline: Path | None,
    write_baseline: Path | None,
    exclude: Sequence[str],
    on: dt.datetime | None,
    columns: dict[str, str],
    *,
    strict: bool,
    pass_over: bool,
    everything: bool,
) -> None:
    """Check proposed splices, questions, boxes and jobs in files and folders.

    A single file that holds one check (a question with a proposal; - is standard input) gets its whole verdict; exits
    with 0 where it is sound, with 1 where it is unsound or unproven, with 2 where it is not valid.

    Any other PATH, or a --report, gets findings with their places, from YAML, JSON, NDJSON, CSV, TSV, XLSX and ODS
    files; folders are gone through with all below them. Unsound, barred or not valid is an error; unproven, handed over
    or without a connector a warning; what could not be judged for want of a figure a note.
    """
    of_paths = (reports, fail_on, level, baseline, write_baseline, exclude, on, columns, strict, pass_over)
    if not any(of_paths) and _is_one_check(paths):
        _one(*(paths or ["-"]), form=form or "text", explain=explain, include=include, everything=everything)
    if strict and pass_over:
        fail("--strict and --pass-over ask for opposite things")
    if form or explain or include or everything:
        fail("--format, --explain, --include and --all are for one check; files and folders are reported with --report")
    if not paths or "-" in paths:
        fail("standard input holds one check; name files or folders to have them reported")
    day = on.date() if on else dt.datetime.now().astimezone().date()
    asked = CheckOptions(
        paths=paths,
        reports=reports,
        fail_on=fail_on or "error",
        level=level or "note",
        baseline=baseline,
        write_baseline=write_baseline,
        exclude=exclude,
        strict=strict,
        pass_over=pass_over,
        on=day,
        columns=columns,
    )
    raise SystemExit(check_paths(asked))


def _is_one_check(paths: Sequence[str]) -> bool:
    """Tell whether a single file holds one check, or nothing that findings could be told of."""
    if len(paths) != 1 or paths[0] == "-":
        return len(paths) < 2
    from splicewright.audit.files import ENDINGS
    from splicewright.sheets.table import KINDS

    path = Path(paths[0])
    if path.is_dir() or ENDINGS.get(path.suffix.lower()) in ("ndjson", *KINDS.values()):
        return False
    try:
        return not path.is_file() or _holds_one(path, path.read_bytes())  # a pipe is read once
    except OSError:
        return True


def _holds_one(path: Path, data: bytes) -> bool:
    from splicewright.audit.kinds import kind_of

    try:
        first, *others = read_yaml_documents(data)
    except NotText:
        return not named_by_a_table(str(path), data)
    if not isinstance(first.value, dict) and named_by_a_table(str(path), data):
        return False
    return not others and not isinstance(first.value, list) and kind_of(first.value) in ("check", None)


def _one(file: str, *, form: str, explain: str | None, include: Sequence[str], everything: bool) -> None:
    import_marshmallow()
    import orjson

    from splicewright.inspection import check_splice
    from splicewright.reports.check import print_check

    document = read_document(file)
    given = document.value
    if form == "text" and isinstance(given, dict):
        told = [name for name in INCLUDE if everything or name != "assumed"]
        given = {**{name: value for name, value in given.items() if name != "explain"}, "include": told}
    try:
        shown = explain or ("brief" if include else "full")
        answer = check_splice(given, chooser_of_command(), explain=shown, include=include)
    except Refused as error:
        fail_refused(file, document, error)
    if form == "json":
        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        print_check(answer, everything=everything)
    raise SystemExit(0 if answer["verdict"] == "sound" else 1)
