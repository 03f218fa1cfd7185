"""Finds the project file, `splicewright.toml`: from the working folder upwards, as linters find theirs."""

from __future__ import annotations

import functools
import os
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from splicewright.project.reading import Project

FILE = "splicewright.toml"
VARIABLE = "SPLICEWRIGHT_PROJECT"


def find_project(named: str | os.PathLike[str] | None = None) -> Path | None:
    """Give the project file that is named, else that of the environment, else the nearest from the working folder up.

    None: there is none. Whether one that is named is there is not looked at.
    """
    if named := named or os.environ.get(VARIABLE):
        return Path(named)
    try:
        here = Path.cwd()
    except FileNotFoundError:  # the folder is gone
        return None
    return next((file for folder in (here, *here.parents) if os.path.isfile(file := folder / FILE)), None)  # noqa: PTH113 - a folder that may not be looked into has none


def project_here(named: str | os.PathLike[str] | None = None) -> Project | None:
    """Read the project file that `find_project` gives. Raises `Faults`."""
    file = find_project(named)
    if file is None:
        return None
    from splicewright.project.reading import read_project  # noqa: PLC0415 - most commands have none to read

    return read_project(file)


@functools.cache
def project_of_process() -> Project | None:
    """Read the project file of this process once: that of the environment, or from the working folder. Raises `Faults`.

    A command that was told another one does not ask for it.
    """
    return project_here()
