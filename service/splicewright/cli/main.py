"""The command line: `splicewright COMMAND`. Exit status 0 is fine, 1 a finding falls short, 2 bad input or usage."""

from __future__ import annotations

import importlib
from typing import Any

import click

from splicewright.cli.version import version_option

#: command -> the module that holds it, imported only when it is called
COMMANDS = {
    "choose": "splicewright.cli.choose",
    "batch": "splicewright.cli.batch",
    "serve": "splicewright.cli.serve",
    "rules": "splicewright.cli.rules",
}


class _Lazy(click.Group):
    def list_commands(self, _ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: Any = importlib.import_module(COMMANDS[cmd_name]).command
        return command if isinstance(command, click.Command) else None


@click.command(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@version_option
def main() -> None:
    """Tell which splice method suits these conductors, here, and why."""
