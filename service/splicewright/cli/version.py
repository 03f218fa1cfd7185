"""`--version`: of the program and of the rules and the catalogue that it answers from."""

from __future__ import annotations

from typing import Any

import click


def version_option(function: Any) -> Any:
    """Add `--version` to a command."""
    words: dict[str, Any] = {
        "expose_value": False,
        "is_eager": True,
        "help": "Show the versions of program, rules and catalogue.",
    }
    return click.option("--version", is_flag=True, callback=_tell, **words)(function)


def _tell(context: click.Context, _option: click.Parameter, asked: bool) -> None:
    if not asked or context.resilient_parsing:
        return
    from splicewright import shipped
    from splicewright.catalogue import read_catalogue
    from splicewright.question.read import DEFAULTS
    from splicewright.rulebook import read_rulebook
    from splicewright.version import VERSION

    code, name = DEFAULTS[""]["code"], DEFAULTS[""]["catalogue"]
    rulesets = shipped.folder("rulesets")
    click.echo(f"splicewright {VERSION}")
    click.echo(f"rulesets {code} {read_rulebook(rulesets, code).digest}")
    click.echo(f"catalogue {name} {read_catalogue(rulesets / 'catalogues' / f'{name}.yaml').digest}")
    context.exit()
