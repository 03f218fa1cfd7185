"""`splicewright catalogue`: connectors with their listings."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.input import fail


@click.command("catalogue")
@click.argument("name", required=False)
@click.option("--method", help="Only connectors that join in this way.")
@click.option(
    "--rulesets",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Folder of rulesets whose catalogues are meant; else the shipped ones.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
def command(name: str | None, method: str | None, rulesets: Path | None, form: str) -> None:
    """List the catalogues, or the connectors of the catalogue NAME with what they take.

    JSON is what GET /v1/catalogues and /v1/catalogues/{name} answer, with the whole listings.
    """
    import orjson

    from splicewright import shipped
    from splicewright.catalogue import read_catalogue
    from splicewright.question.vocabulary import METHODS
    from splicewright.refusals import not_allowed
    from splicewright.reports.lists import print_connectors, print_headings

    folder = (rulesets or shipped.folder("rulesets")) / "catalogues"
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    if name is not None and name not in known:
        fail(f"no catalogue: {not_allowed(name, known)}")
    if method is not None and method not in METHODS:
        fail(f"--method: {not_allowed(method, METHODS)}")
    if method is not None and name is None:
        fail("--method: name the catalogue too")
    found = [read_catalogue(folder / f"{known_name}.yaml") for known_name in ([name] if name else known)]
    if form == "json":
        told = found[0].to_dict(method) if name else {"catalogues": [one.heading() for one in found]}
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    elif name:
        print_connectors(
            found[0], [connector for connector in found[0].connectors if method in (None, connector.method)]
        )
    else:
        print_headings(found)
