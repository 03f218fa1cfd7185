"""`splicewright serve`: the HTTP service, embedded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from splicewright.api.settings_sources import PREFIX, configuration, setting_options
from splicewright.cli.input import fail

if TYPE_CHECKING:
    from splicewright.api.settings_sources import Configuration


@click.command("serve", context_settings={"auto_envvar_prefix": PREFIX})
@setting_options
@click.option(
    "--show-settings",
    is_flag=True,
    allow_from_autoenv=False,
    help="Print every setting and where it comes from, and stop.",
)
@click.pass_context
def command(context: click.Context, /, *, show_settings: bool, **_: Any) -> None:
    """Answer questions over HTTP until stopped (Ctrl-C or SIGTERM; requests in flight are finished).

    SIGHUP reads rules, catalogues, the project and keys anew: whole or not at all, after a child process has proved
    them.

    Each option is also an environment variable (SPLICEWRIGHT_MAX_BODY=1000000), a line of the file that --settings
    names (max_body = 1000000), and a line under [service] in the project file. The former are stronger than the latter.
    """
    from splicewright.api.limits import asks_for_extra
    from splicewright.api.settings import exposed

    found = configuration(context)
    if show_settings:
        for line in found.told():
            click.echo(line)
        return
    for fault in (exposed(found.settings), asks_for_extra(found.settings)):
        if fault:
            fail(fault)
    _serve(found)


def _serve(found: Configuration) -> None:
    from splicewright.api import logs
    from splicewright.api.server import serve
    from splicewright.operate.reloading import NotProven

    settings = found.settings
    logs.configure(settings)
    try:
        serve(settings, found.project)
    except NotProven as error:
        fail(*error.reasons)
    except OSError as error:
        fail(f"{settings.host}:{settings.port}: {error.strerror}")
