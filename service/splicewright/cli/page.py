"""`splicewright page`: the page to ask on, served to this machine alone."""

from __future__ import annotations

import sys

import click

from splicewright.cli.input import fail
from splicewright.cli.project import project_of_command

_HOST = "127.0.0.1"


@click.command("page")
@click.option("--port", type=click.IntRange(0, 65_535), default=8000, show_default=True, help="0 takes a free one.")
@click.option("--open/--no-open", "opened", default=None, help="Open it in a browser; so it is on a terminal.")
def command(port: int, opened: bool | None) -> None:
    """Ask on a page in a browser, on this machine only, until stopped (Ctrl-C).

    It is the page that `serve` has at `/`, with the catalogues of the project here.
    """
    from splicewright.api import logs
    from splicewright.api.server import serve
    from splicewright.api.settings import Settings
    from splicewright.operate.reloading import NotProven

    settings = Settings(host=_HOST, port=port, log_level="warning", log_requests=False)
    opened = sys.stdout.isatty() if opened is None else opened
    logs.configure(settings)
    try:
        serve(settings, project_of_command(), lambda address: _tell(f"{address}/", opened=opened))
    except NotProven as error:
        fail(*error.reasons)
    except OSError as error:
        fail(f"{_HOST}:{port}: {error.strerror}; --port 0 takes a free one")


def _tell(address: str, *, opened: bool) -> None:
    click.echo(f"The page to ask on is at {address} (on this machine only); Ctrl-C ends it.")
    sys.stdout.flush()
    if opened:
        click.launch(address)
