"""The command line: `splicewright COMMAND`. Exit status 0 is fine, 1 a finding falls short, 2 bad input or usage."""

from __future__ import annotations

import atexit
import contextlib
import gc
import importlib
import io
import os
import sys
from pathlib import Path
from typing import Any

import click

from splicewright.cli.version import version_option
from splicewright.faults import Faults

#: command -> the module that holds it, imported only when it is called
COMMANDS = {
    "init": "splicewright.cli.init",
    "choose": "splicewright.cli.choose",
    "why": "splicewright.cli.why",
    "check": "splicewright.cli.check",
    "box": "splicewright.cli.box",
    "job": "splicewright.cli.job",
    "batch": "splicewright.cli.batch",
    "template": "splicewright.cli.template",
    "rules": "splicewright.cli.rules",
    "catalogue": "splicewright.cli.catalogue",
    "vocabulary": "splicewright.cli.vocabulary",
    "page": "splicewright.cli.page",
    "serve": "splicewright.cli.serve",
    "key": "splicewright.cli.key",
    "completion": "splicewright.cli.completion",
}


class _Lazy(click.Group):
    def main(self, *args: Any, **extra: Any) -> Any:
        if sys.stdout is None:  # closed: what prints is told of it, and what does not is done
            sys.stdout = Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115 - to the end
        try:
            return super().main(*args, **extra)
        except OSError as error:  # of what is printed: each command tells of its own files
            from splicewright.cli.input import fail

            with contextlib.suppress(OSError):
                sys.stdout.close()  # or what is left would be tried once more at the end
            fail(f"{error.filename or 'standard output'}: {error.strerror or error}")

    def list_commands(self, _ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and not args[0].startswith("-") and args[0] not in COMMANDS:
            from splicewright.refusals import not_allowed

            ctx.fail(f"command {not_allowed(args[0], COMMANDS)}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        gc.set_threshold(500_000, 10, 10)  # modules and rules are many objects, with next to no cycles
        atexit.register(gc.disable)  # or all of them would be gone through once more when nothing is wanted back
        try:
            return super().invoke(ctx)
        except click.NoSuchOption as error:
            raise self._with_its_place(ctx, error) from None
        except Faults as error:
            from splicewright.cli.input import fail

            fail(*map(str, error.faults))

    def _with_its_place(self, ctx: click.Context, error: click.NoSuchOption) -> click.NoSuchOption:
        """Say of an option of all commands that it stands before the command."""
        own = next((one for one in self.get_params(ctx) if error.option_name in one.opts), None)
        if own is None or error.ctx is None:
            return error
        inner = error.ctx.command_path.removeprefix(ctx.command_path)
        value = f" {own.metavar}" if own.metavar else ""
        written = f"{ctx.command_path} {error.option_name}{value}{inner} …"
        says = f"{error.message} It stands before the command: {written}"
        return click.NoSuchOption(error.option_name, says, ctx=error.ctx)

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: Any = importlib.import_module(COMMANDS[cmd_name]).command
        return command if isinstance(command, click.Command) else None


def _take_project(context: click.Context, _option: click.Parameter, file: str | None) -> None:
    context.obj = file  # what is eager beside it, such as --version, is to know it


@click.command(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--project",
    metavar="FILE",
    envvar="SPLICEWRIGHT_PROJECT",
    is_eager=True,
    expose_value=False,
    callback=_take_project,
    help="Project file; else splicewright.toml in this folder or the nearest above it.",
)
@version_option
def main() -> None:
    """Tell which splice method suits these conductors, here, and why."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")  # the same on every locale
