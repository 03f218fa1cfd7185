"""`splicewright serve`: the HTTP service, embedded."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.input import fail


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(0, 65535), help="Port to listen on.")
@click.option(
    "--rulesets",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Rules and catalogues to answer from; else the shipped ones.",
)
def command(host: str, port: int, rulesets: Path | None) -> None:
    """Answer questions over HTTP until stopped (Ctrl-C or SIGTERM; requests in flight are finished).

    SIGHUP reads the rules and catalogues anew: whole or not at all, after a child process has proved them.
    """
    from splicewright.api.server import serve
    from splicewright.choice.reloading import NotProven

    try:
        serve(host, port, rulesets)
    except NotProven as error:
        fail(*error.reasons)
    except OSError as error:
        fail(f"{host}:{port}: {error.strerror}")
