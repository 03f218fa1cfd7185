"""The project that a command belongs to: the file that `--project` names, else the nearest from the working folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from splicewright.project.finding import project_here

if TYPE_CHECKING:
    from splicewright.answering import Chooser
    from splicewright.project.reading import Project


def project_of_command() -> Project | None:
    """Read the project file of the command that is running; None where it has none. Raises `Faults`."""
    context = click.get_current_context(silent=True)
    named = None if context is None else context.find_root().obj
    return project_here(named if isinstance(named, str) else None)


def chooser_of_command() -> Chooser:
    """Give the chooser of the project of the command that is running. Raises `Faults`."""
    from splicewright.answering import chooser_of

    return chooser_of(project_of_command())
