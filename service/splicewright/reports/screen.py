"""Where reports for people are printed."""

from __future__ import annotations

import sys

from rich.console import Console

PLAIN_WIDTH = 110  # where the output is no terminal, so that it is the same everywhere


def screen() -> Console:
    """Give the console: coloured and as wide as the terminal, or plain and of a fixed width in a pipe or file."""
    if sys.stdout.isatty():
        return Console(highlight=False)
    return Console(highlight=False, width=PLAIN_WIDTH, color_system=None, force_terminal=False)
