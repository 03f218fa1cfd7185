"""Where the data that ships with the package stands: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Give the folder of shipped data called `name` (`rulesets`, `openapi`)."""
    installed = _PACKAGE / "data" / name
    return installed if installed.is_dir() else _PACKAGE.parents[1] / name
