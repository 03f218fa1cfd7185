"""`splicewright catalogue`: connectors with their listings, and what is done with a shelf of one's own."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.catalogue_check import check
from splicewright.cli.catalogue_files import export, import_tables, new
from splicewright.cli.catalogue_work import cover, diff, gaps, takes
from splicewright.cli.input import fail
from splicewright.cli.project import chooser_of_command


class _OrList(click.Group):
    """Lists where no command is named: `catalogue`, `catalogue shop`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        # Where nothing is run but words are completed, the names of commands are wanted.
        named = {*self.commands, *ctx.help_option_names}
        if (args and args[0] not in named) or not (args or ctx.resilient_parsing):
            args = ["list", *args]
        return super().parse_args(ctx, args)


@click.group("catalogue", cls=_OrList)
def command() -> None:
    """List connectors with their listings, and keep a catalogue of your own.

    Without a command, `list` is meant.
    """


command.add_command(new)
command.add_command(import_tables)
command.add_command(export)
command.add_command(check)
command.add_command(takes)
command.add_command(diff)
command.add_command(gaps)
command.add_command(cover)


@command.command("list")
@click.argument("name", required=False)
@click.option("--method", help="Only connectors that join in this way.")
@click.option(
    "--rulesets",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Folder of rulesets whose catalogues are meant; else the shipped ones and those of the project.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
def list_catalogues(name: str | None, method: str | None, rulesets: Path | None, form: str) -> None:
    """List the catalogues, or the connectors of the catalogue NAME with what they take.

    JSON is what GET /v1/catalogues and /v1/catalogues/{name} answer, with the whole listings.
    """
    import orjson

    from splicewright.answering import Chooser
    from splicewright.question.vocabulary import METHODS
    from splicewright.refusals import not_allowed
    from splicewright.reports.lists import print_connectors, print_headings

    holding = (chooser_of_command() if rulesets is None else Chooser(rulesets)).holding
    known = holding.catalogue_names()
    if name is not None and name not in known:
        fail(f"no catalogue: {not_allowed(name, [*known, *command.commands])}")
    if method is not None and method not in METHODS:
        fail(f"--method: {not_allowed(method, METHODS)}")
    if method is not None and name is None:
        fail("--method: name the catalogue too")
    found = [holding.index(known_name).catalogue for known_name in ([name] if name else known)]
    if form == "json":
        told = found[0].to_dict(method) if name else {"catalogues": [one.heading() for one in found]}
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    elif name:
        print_connectors(
            found[0], [connector for connector in found[0].connectors if method in (None, connector.method)]
        )
    else:
        print_headings(found)
