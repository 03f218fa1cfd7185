"""`splicewright choose FILE`: one question, one answer."""

from __future__ import annotations

import click

from splicewright.cli.input import fail_refused, read_document, without_notes
from splicewright.reading import Refused

EPILOG = """A question in its smallest form: {joint: {conductors: [{size: 12 AWG, count: 2}]}}"""


@click.command("choose", epilog=EPILOG)
@click.argument("file", default="-")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the answer.")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    help="How much to print, where the question does not say.",
)
@click.option("--refusals", is_flag=True, help="Tell each refused connector with all of its reasons.")
def command(file: str, form: str, explain: str | None, *, refusals: bool) -> None:
    """Answer the question in FILE (JSON or YAML; - is standard input).

    Exits with 0 where there is an option, with 1 where the joint is barred, referred or no connector takes it.
    """
    from splicewright.choice import shipped_chooser

    document = read_document(file)
    try:
        answer = shipped_chooser().choose(without_notes(document.value), explain=explain or "full")
    except Refused as error:
        fail_refused(file, document, error)
    if form == "json":
        import orjson

        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        from splicewright.reports.text import print_answer

        print_answer(answer, refusals=refusals)
    raise SystemExit(0 if answer["outcome"] == "options" else 1)
