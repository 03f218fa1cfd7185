"""What a command is about, told on a terminal where its work can't be counted and takes long."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_QUICK_S = 2.0


@contextmanager
def waiting(doing: str) -> Iterator[None]:
    """Tell on standard error what is being done, from its third second to its end; nothing where no one looks on."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    status = Console(stderr=True).status(f"{doing} …")
    timer = threading.Timer(_QUICK_S, status.start)
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        status.stop()
