"""`--version`."""

from __future__ import annotations

from importlib.metadata import version
from typing import Any

import click


def version_option(function: Any) -> Any:
    """Add `--version` to a command."""
    return click.version_option(version("splicewright"), prog_name="splicewright")(function)
