"""`splicewright key`: make a key, and the entry for the file of keys."""

from __future__ import annotations

import click


@click.command("key")
@click.argument("name")
@click.option(
    "--scope", "scopes", multiple=True, default=("ask",), show_default=True, type=click.Choice(["ask", "admin"])
)
@click.option("--expires", metavar="DAY", help="Last day on which it holds, such as 2027-06-30; else for ever.")
def command(name: str, scopes: tuple[str, ...], expires: str | None) -> None:
    """Make a key for the caller NAME.

    The entry for the file of keys is printed on standard output; the key itself, which is kept nowhere, on standard
    error: give it to the caller.
    """
    from splicewright.api.keys import KeySchema, new_key
    from splicewright.cli.input import fail
    from splicewright.refusals import Refused
    from splicewright.strict_schema import load

    token, digest = new_key()
    entry = {"name": name, "sha256": digest, "scopes": sorted(set(scopes)), **({"expires": expires} if expires else {})}
    try:
        load(KeySchema(), entry)
    except Refused as error:
        fail(*(f"{problem.pointer.removeprefix('/')}: {problem.says}" for problem in error.problems))
    click.echo(f"  - name: {name}\n    sha256: {digest}\n    scopes: [{', '.join(entry['scopes'])}]")
    if expires:
        click.echo(f"    expires: {expires}")
    click.echo(token, err=True)
