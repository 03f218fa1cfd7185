"""`splicewright serve`: the HTTP service, embedded."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from splicewright.cli.input import fail


def _options(command: Callable[..., None]) -> Callable[..., None]:
    """Add an option for every setting."""
    from marshmallow.fields import Field

    from splicewright.api.settings import declared, defaults
    from splicewright.strict_fields import Flag, Items, Number, Word

    def option(name: str, field: Field[Any]) -> Callable[[Callable[..., None]], Callable[..., None]]:
        written, default = f"--{name.replace('_', '-')}", defaults()[name]
        about = field.metadata["description"]
        if not isinstance(field, Flag) and default not in (None, ()):
            about += f"  [default: {default}]"
        kinds: dict[str, Any] = {}
        if isinstance(field, Flag):
            written += f"/--no-{written.removeprefix('--')}"
        elif isinstance(field, Number):
            kinds["type"] = click.IntRange(int(field.least), int(field.most))
        elif isinstance(field, Word):
            kinds["type"] = click.Choice(list(field.words))
        kinds["multiple"] = isinstance(field, Items)
        return click.option(written, name, default=None, help=about, **kinds)

    for name, field in reversed(list(declared().items())):
        command = option(name, field)(command)
    return command


@click.command("serve")
@click.option("--settings", "file", metavar="FILE", help="TOML file of settings; also named by SPLICEWRIGHT_SETTINGS.")
@click.option("--show-settings", is_flag=True, help="Print every setting and where it comes from, and stop.")
@_options
def command(file: str | None, show_settings: bool, **given: Any) -> None:
    """Answer questions over HTTP until stopped (Ctrl-C or SIGTERM; requests in flight are finished).

    SIGHUP reads rules, catalogues and keys anew: whole or not at all, after a child process has proved them.

    Each option is also a line of the TOML file (max_body = 1000000) and an environment variable
    (SPLICEWRIGHT_MAX_BODY=1000000). The command line is stronger than the environment, which is stronger than the file.
    """
    from splicewright.api.limits import asks_for_extra
    from splicewright.api.settings import exposed
    from splicewright.api.settings_sources import configure

    found = configure({name: value for name, value in given.items() if value not in (None, ())}, file)
    if show_settings:
        for line in found.told():
            click.echo(line)
        return
    for fault in (exposed(found.settings), asks_for_extra(found.settings)):
        if fault:
            fail(fault)
    _serve(found.settings)


def _serve(settings: Any) -> None:
    from splicewright.api import logs
    from splicewright.api.server import serve
    from splicewright.operate.reloading import NotProven

    logs.configure(settings)
    try:
        serve(settings)
    except NotProven as error:
        fail(*error.reasons)
    except OSError as error:
        fail(f"{settings.host}:{settings.port}: {error.strerror}")
