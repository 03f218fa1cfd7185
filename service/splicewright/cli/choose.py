"""`splicewright choose FILE`: one question, one answer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from splicewright.cli.input import fail, fail_refused, included, without_notes
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.project import amending, project_of_command
from splicewright.cli.sheet_report import SheetOptions, sheet_options, sheet_report
from splicewright.cli.short import question_line, question_text, read_question_or_text
from splicewright.refusals import Refused, not_allowed

if TYPE_CHECKING:
    from splicewright.answering import Chooser

EPILOG = """A question in its smallest form: {joint: {conductors: [{size: 12 AWG, count: 2}]}}"""
_ALL_OPTIONS = 100


@click.command("choose", epilog=EPILOG)
@click.argument("file", default="-")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the answer.")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    help="How much to print as JSON, where the question does not say.",
)
@included
@click.option("--steps", is_flag=True, help="Tell the work steps of the best option.")
@click.option("--why", is_flag=True, help="Tell what follows, what is asked for, and why the order is as it is.")
@click.option("--refusals", is_flag=True, help="Tell each refused connector with all of its reasons.")
@click.option("--all", "everything", is_flag=True, help="Tell all of it, with every default that was filled in.")
@click.option("--using", metavar="ID|METHOD", help="Tell of that connector, or the best of that method, alone.")
@click.option("--print-question", is_flag=True, help="Write the question as YAML, and answer nothing.")
@sheet_report
@amending
def command(
    file: str,
    form: str,
    explain: str | None,
    include: tuple[str, ...],
    using: str | None,
    reports: tuple[str, ...],
    language: str | None,
    *,
    steps: bool,
    why: bool,
    refusals: bool,
    everything: bool,
    print_question: bool,
    with_prices: bool,
) -> None:
    """Answer the question in FILE (JSON or YAML; - is standard input), or one in a line of text.

    In a line stand the conductors, each with its size and its own words, then what else is said, with commas or
    semicolons between: "2 of 12 AWG solid, 1 of 18 AWG fine-stranded; wet; 120 V", or "3 #12 hot, 20 A breaker". It is
    printed as it was understood.
    A leaf may be named: "end=ferruled", "overcurrent amps 20 A".

    Exits with 0 where there is an option, with 1 where the joint is barred or outside this tool, or no connector takes
    it.
    """
    import_marshmallow()
    from splicewright.answering import Chooser

    sheet = sheet_options(reports, language, with_prices=with_prices)
    document, short = read_question_or_text(file)
    if print_question:
        click.echo(question_text(document.value, short=short), nl=False)
        return
    chooser = Chooser(project=project_of_command(), apart=True)
    asked = without_notes(document.value)
    if form == "text" and isinstance(asked, dict):
        asked = _for_the_screen(asked, everything=everything, using=using is not None)
    try:
        answer = chooser.choose(asked, explain=explain or ("brief" if include else "full"), include=include)
    except Refused as error:
        fail_refused(file, document, error)
    if sheet.places:
        _write_sheet(sheet, without_notes(document.value), "question" if short else file, chooser)
    if form == "json":
        import orjson

        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    elif using is not None:
        _using(answer, using, chooser)
    else:
        from splicewright.reports.answer import Shown, print_answer

        if short:
            from splicewright.reports.asked import print_asked

            print_asked(question_line(document.value))
        shown = Shown(steps=steps, why=why, refusals=refusals, everything=everything)
        print_answer(answer, shown)
    raise SystemExit(0 if answer["outcome"] == "options" else 1)


def _write_sheet(sheet: SheetOptions, given: Any, read: str, chooser: Chooser) -> None:
    from pathlib import Path

    from splicewright.question.read import read_question
    from splicewright.reports.work_sheet_sources import of_question

    asking, asked = chooser.with_own_catalogue(given)
    question = read_question(asked, unsaid=asking.holding.unsaid)
    sheet.write(lambda: of_question(Path(read).stem, question, asking), read)


def _for_the_screen(asked: dict[str, Any], *, everything: bool, using: bool) -> dict[str, Any]:
    """Ask for what is printed, whatever the question says of how much to tell."""
    from splicewright.reports.answer import ON_SCREEN

    told = {name: value for name, value in asked.items() if name not in ("explain", "include")}
    told["include"] = [*ON_SCREEN, "assumed"] if everything else list(ON_SCREEN)
    return {**told, "limit": _ALL_OPTIONS} if using else told


def _using(answer: dict[str, Any], using: str, chooser: Chooser) -> None:
    from splicewright.reports.answer import print_using

    connectors = chooser.catalogue(answer["catalogue"]["name"]).connectors
    ids = [connector.id for connector in connectors if using in (connector.id, connector.method)]
    if not ids:
        words = sorted({connector.id for connector in connectors} | {connector.method for connector in connectors})
        fail(f"--using: {not_allowed(using, words)}")
    print_using(answer, using, ids)
