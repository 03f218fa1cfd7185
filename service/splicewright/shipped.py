"""Where the data that ships with the package stands: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

import functools
import hashlib
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Give the folder of shipped data called `name` (`rulesets`, `openapi`)."""
    installed = _PACKAGE / "data" / name
    return installed if installed.is_dir() else _PACKAGE.parents[1] / name


@functools.cache
def digest(name: str) -> str:
    """Give a digest of all files of a shipped folder, by their names and bytes: the same for the same installation."""
    found = hashlib.sha256()
    root = folder(name)
    for path in sorted(one for one in root.rglob("*") if one.is_file()):
        content = path.read_bytes()
        found.update(f"{path.relative_to(root).as_posix()} {len(content)} ".encode() + content)
    return "sha256:" + found.hexdigest()
