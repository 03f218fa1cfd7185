"""`splicewright serve`: the HTTP service, embedded."""

from __future__ import annotations

import click


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(0, 65535), help="Port to listen on.")
def command(host: str, port: int) -> None:
    """Answer questions over HTTP until stopped (Ctrl-C or SIGTERM; requests in flight are finished)."""
    from splicewright.api.server import serve

    serve(host, port)
