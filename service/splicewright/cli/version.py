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
    from splicewright.answering import chooser_of
    from splicewright.cli.input import fail
    from splicewright.cli.project import project_of_command
    from splicewright.faults import Faults
    from splicewright.version import VERSION

    click.echo(f"splicewright {VERSION}")
    try:
        project = project_of_command()
        holding = chooser_of(project).holding
        unsaid = holding.unsaid
        code = unsaid.values["code"]
        click.echo(f"rulesets {code} {holding.rulebook(code).digest}")
        if name := unsaid.values.get("catalogue"):
            click.echo(f"catalogue {name} {holding.index(name).catalogue.digest}")
    except Faults as error:  # before any command is invoked, which would tell them
        fail(*map(str, error.faults))
    if project is not None:
        click.echo(f"project {project.file}")
    context.exit()
