"""`splicewright check PATH…` over files and folders: findings in reports, an exit status for CI."""

from __future__ import annotations

import datetime as dt
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from splicewright.cli.input import fail, tell
from splicewright.cli.places import called_rightly, files_of, keep_what_was_read, same_file
from splicewright.cli.project import chooser_of_command

if TYPE_CHECKING:
    from splicewright.audit.baseline import Baseline
    from splicewright.audit.finding import Level
    from splicewright.audit.run import Audited

#: Kinds of report, in the order of the help.
REPORTS = ("text", "json", "ndjson", "sarif", "junit", "csv", "xlsx")
_ANSWERS = ("csv", "xlsx")


@dataclass(frozen=True, slots=True)
class CheckOptions:
    """What was asked for on the command line."""

    paths: Sequence[str]
    reports: Sequence[str]
    fail_on: Level | Literal["never"]
    level: Level
    baseline: Path | None
    write_baseline: Path | None
    exclude: Sequence[str]
    strict: bool
    pass_over: bool
    on: dt.date
    columns: Mapping[str, str]


def check_paths(asked: CheckOptions) -> int:
    """Check files and folders, write the reports, and give the exit status. Exits with 2 for bad usage."""
    from splicewright.audit.baseline import baseline_text
    from splicewright.audit.files import find_files
    from splicewright.audit.run import audit
    from splicewright.cli.check_places import without_reports
    from splicewright.cli.progress import Progress
    from splicewright.project.reading import columns_of
    from splicewright.shelf.recognizing import catalogue_tables

    wanted = _wanted(asked.reports)
    if asked.write_baseline:
        called_rightly("baseline", asked.write_baseline, "--write-baseline")
    baseline = _baseline(asked.baseline) if asked.baseline else None
    try:
        sources = find_files(asked.paths, asked.exclude)
        chooser = chooser_of_command()
    except FileNotFoundError as error:
        fail(f"{error}: there is no such file or folder")
    project = chooser.holding.project
    if project is not None:  # its catalogues are no entries; one that is named is told
        shelf = {project.catalogue_file(name).resolve() for name, _ in project.shelf}
        sources = [source for source in sources if source.named or source.path.resolve() not in shelf]
    if asked.pass_over:
        sources = [replace(source, named=False) for source in sources]
    known = [asked.baseline] if asked.baseline else []
    sources = [source for source in sources if not same_file(source.path, known)]
    reports = [target for _, target in wanted if target]
    keep_what_was_read([*files_of(project), *known], reports)
    keep_what_was_read(files_of(project), places := [*reports, *filter(None, [asked.write_baseline])])
    sources = without_reports(sources, places, columns_of(project, asked.columns))
    keep_asked = any(kind in _ANSWERS for kind, _ in wanted)
    try:
        with Progress(None, quiet=False, of="entry") as progress:
            audited = audit(
                sources,
                chooser,
                on=asked.on,
                baseline=baseline,
                strict=asked.strict,
                keep_asked=keep_asked,
                columns=asked.columns,
                recognize=catalogue_tables,
                watch=progress.watch,
            )
    except OSError as error:  # in the midst of a file
        fail(f"{error.filename or 'a file'}: {error.strerror}")
    if asked.write_baseline:
        _write(asked.write_baseline, baseline_text(audited.findings).encode())
        return 0
    shown = audited.of_level(_least(asked.level, asked.fail_on))
    if keep_asked:
        from splicewright.reports.sheets import cells_left_empty

        tell(*cells_left_empty(audited))
    for kind, target in wanted:
        try:
            text = _text_of(kind, shown, asked.fail_on, target)
        except OSError as error:  # a workbook is made in the temporary folder
            fail(f"{target}: {error.strerror}")
        _write(target, text)
    return 1 if audited.falls_short(asked.fail_on) else 0


def _least(level: Level, fail_on: Level | Literal["never"]) -> Level:
    """Give the less grave: what fails is always reported."""
    return level if fail_on == "never" else max(level, fail_on, key=("error", "warning", "note").index)


def _wanted(reports: Sequence[str]) -> list[tuple[str, Path | None]]:
    """Read `KIND` and `KIND=FILE`."""
    found: list[tuple[str, Path | None]] = []
    for report in reports or ["text"]:
        kind, _, file = report.partition("=")
        if kind not in REPORTS:
            from splicewright.refusals import not_allowed

            fail(f"--report: {not_allowed(kind, REPORTS)}")
        if kind == "xlsx" and not file:
            fail("--report: a workbook goes to a file; write xlsx=FILE")
        target = Path(file) if file and file != "-" else None
        if target:
            called_rightly(kind, target, "--report")
        found.append((kind, target))
    if len({target and os.path.realpath(target) for _, target in found}) != len(found):
        fail("--report: two reports go to one place; write KIND=FILE")
    return found


def _baseline(path: Path) -> Baseline:
    from splicewright.audit.baseline import read_baseline
    from splicewright.audit.files import name_of
    from splicewright.refusals import NotText, Refused

    try:
        return read_baseline(path, name_of(path))
    except OSError as error:
        fail(f"{path}: {error.strerror}; --write-baseline {path} writes one")
    except NotText as error:
        fail(f"{path}:{error.line or 1}: {error.problems[0].says}")
    except Refused as error:
        fail(*(f"{path}: {problem.pointer}: {problem.says}" for problem in error.problems))


def _text_of(kind: str, audited: Audited, fail_on: str, target: Path | None) -> bytes:
    if kind == "xlsx":
        from splicewright.reports.sheets import answers_xlsx

        return answers_xlsx(audited)
    return _writer(kind, fail_on, colour=target is None and sys.stdout.isatty())(audited).encode(
        "utf-8", "backslashreplace"
    )


def _writer(kind: str, fail_on: str, *, colour: bool) -> Callable[[Audited], str]:
    if kind == "csv":
        from splicewright.reports.sheets import answers_csv

        return answers_csv
    if kind == "sarif":
        from splicewright.reports.sarif import findings_sarif

        return findings_sarif
    if kind == "junit":
        from splicewright.reports.junit import findings_junit

        return lambda audited: findings_junit(audited, fail_on)
    if kind == "text":
        from splicewright.reports.findings_text import findings_text

        return lambda audited: findings_text(audited, colour=colour)
    from splicewright.reports import findings_json

    return {"json": findings_json.findings_json, "ndjson": findings_json.findings_ndjson}[kind]


def _write(target: Path | None, data: bytes) -> None:
    from splicewright.whole_file import write_whole

    try:
        if target is None:
            sys.stdout.buffer.write(data)
            sys.stdout.buffer.flush()
        else:
            write_whole(target, data)
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away; there is nobody left to tell
        sys.exit(1)
    except OSError as error:
        fail(f"{target or 'standard output'}: {error.strerror}")
