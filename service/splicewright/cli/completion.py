"""`splicewright completion SHELL`: what a shell needs to complete commands, options and words."""

from __future__ import annotations

import click


@click.command("completion", epilog='For bash, in ~/.bashrc: eval "$(splicewright completion bash)"')
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def command(shell: str) -> None:
    """Print the completion script for a SHELL, to be read by it when it starts."""
    from click.shell_completion import get_completion_class

    from splicewright.cli.main import main

    found = get_completion_class(shell)
    if found is None:
        raise click.UsageError(f"no completion is known for {shell}")
    click.echo(found(main, {}, "splicewright", "_SPLICEWRIGHT_COMPLETE").source())
