"""`--report html=FILE`, and in what language and with what the sheet is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from splicewright.cli.input import fail
from splicewright.cli.waiting import waiting
from splicewright.refusals import not_allowed

if TYPE_CHECKING:
    from splicewright.reports.work_sheet_sources import Source

LANGUAGES = ("en", "es")


class SheetOptions(NamedTuple):
    """Where a work sheet goes, in which language, and whether with prices."""

    places: Sequence[Path]
    language: str
    prices: bool

    def write(self, source: Callable[[], Source], *read: str) -> None:
        """Write the sheet, where one was asked for; never over the files `read`, or its project's.

        Exits with 2 where that can't be.
        """
        if not self.places:
            return
        from splicewright.cli.places import files_of, keep_what_was_read
        from splicewright.cli.project import project_of_command
        from splicewright.reports.sheet_words import words_in
        from splicewright.reports.work_sheet import work_sheet
        from splicewright.whole_file import write_whole

        keep_what_was_read([*read, *files_of(project_of_command())], self.places)
        with waiting("writing the work sheet"):
            made = source()
            sheet = work_sheet(made, words_in(self.language, made.rules), prices=self.prices)
        for place in self.places:
            try:
                write_whole(place, sheet)
            except OSError as error:
                fail(f"{error.filename or place}: {error.strerror or error}")


def in_words(command: Any) -> Any:
    """Give a command `--language` and `--with-prices`, which are of its work sheet."""
    prices = click.option("--with-prices", is_flag=True, help="Tell prices on the work sheet's takeoff too.")
    told = "The language of the work sheet; es has the English beneath."
    language = click.option("--language", type=click.Choice(LANGUAGES), help=told)
    return prices(language(command))


def sheet_report(command: Any) -> Any:
    """Give a command `--report html=FILE` with its language and prices."""
    told = "Write a work sheet for the crew, with a takeoff: html=FILE."
    report = click.option("--report", "reports", metavar="html=FILE", multiple=True, help=told)
    return report(in_words(command))


def wanted_report(report: str, kinds: Sequence[str], place: str) -> tuple[str, Path]:
    """Read `KIND=PLACE`; `place` is one to write. Exits with 2 where it is none, or is called like another kind."""
    kind, _, named = report.partition("=")
    if kind not in kinds:
        fail(f"--report: {not_allowed(kind, kinds)}")
    if not named:
        fail(f"--report: says no place; write {kind}={place}")
    from splicewright.cli.places import called_rightly, folder_rightly

    if kind == "csv":
        folder_rightly(Path(named), "--report")
    else:
        called_rightly(kind, Path(named), "--report")
    return kind, Path(named)


def sheet_options(reports: Sequence[str], language: str | None, *, with_prices: bool) -> SheetOptions:
    """Read the options of a command whose only report is the work sheet. Exits with 2 where they say none."""
    places = [wanted_report(report, ("html",), "sheet.html")[1] for report in reports]
    return of_sheet(places, language, with_prices=with_prices)


def of_sheet(places: Sequence[Path], language: str | None, *, with_prices: bool) -> SheetOptions:
    """Put the options together. Exits with 2 where there is no sheet for a language or prices."""
    if not places and (language or with_prices):
        fail(f"{'--language' if language else '--with-prices'} is for --report html=FILE")
    return SheetOptions(places, language or LANGUAGES[0], with_prices)
