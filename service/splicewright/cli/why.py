"""`splicewright why FILE`: what decides an answer, down to what was given, and why not a connector."""

from __future__ import annotations

import click

from splicewright.cli.input import fail, fail_refused, read_document, without_notes
from splicewright.cli.project import amending, project_of_command
from splicewright.refusals import Refused


@click.command("why")
@click.argument("file", default="-")
@click.option("--connector", metavar="ID", help="Tell too why this connector may be used, or not.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
@amending
def command(file: str, connector: str | None, form: str) -> None:
    """Tell why the question in FILE (JSON or YAML; - is standard input) is answered as it is.

    Each finding that decides it is told with all that it rests on. Of a connector that is refused, each reason is told
    with what its listing would have to say, and the changes that were tried and make it an option. Exits with 0.
    """
    from splicewright.answering import Chooser
    from splicewright.answering.why import UnknownConnector, why

    document = read_document(file)
    try:
        told = why(
            without_notes(document.value), Chooser(project=project_of_command(), apart=True), connector=connector
        )
    except UnknownConnector as error:
        fail(f"--connector: {error.says}")
    except Refused as error:
        fail_refused(file, document, error)
    if form == "json":
        import orjson

        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    else:
        from splicewright.reports.why import print_why

        print_why(told)
