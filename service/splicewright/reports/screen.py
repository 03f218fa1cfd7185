"""Where reports for people are printed."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console

PLAIN_WIDTH = 100  # where the output is no terminal, so that it is the same everywhere


@contextmanager
def screen() -> Iterator[Console]:
    """Give the console: coloured and as wide as the terminal, or plain and of a fixed width in a pipe or file."""
    if sys.stdout.isatty():
        yield Console(highlight=False, emoji=False)
        return
    out = Console(highlight=False, emoji=False, width=PLAIN_WIDTH, color_system=None, force_terminal=False)
    with out.capture() as captured:
        yield out
    sys.stdout.write("".join(line.rstrip() + "\n" for line in captured.get().splitlines()))
