"""The project that a command belongs to: the file that `--project` names, else the nearest from the working folder."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from splicewright.project.finding import project_here

if TYPE_CHECKING:
    from splicewright.answering import Chooser
    from splicewright.project.reading import Project

_AMENDED = "splicewright.amended"


def amending(command: Any) -> Any:
    """Give a command `--amend`, which lays amendments over those of its project."""
    told = "Lay an amendment over the code, after those of the project, for questions that name none; repeat for more."
    option = click.option(
        "--amend", metavar="NAME|FILE", multiple=True, callback=_keep_amended, expose_value=False, help=told
    )
    return option(command)


def _keep_amended(context: click.Context, _option: click.Parameter, value: tuple[str, ...]) -> None:
    context.meta[_AMENDED] = value


def project_of_command() -> Project | None:
    """Read the project file of the command that is running; None where it has none. Raises `Faults`."""
    context = click.get_current_context(silent=True)
    if context is None:
        return project_here()
    named = context.find_root().obj
    project = project_here(named if isinstance(named, str) else None)
    amended = context.meta.get(_AMENDED, ())
    if not amended:
        return project
    from splicewright.project.amending import with_amendments

    return with_amendments(project, amended)


def chooser_of_command() -> Chooser:
    """Give the chooser of the project of the command that is running. Raises `Faults`."""
    from splicewright.answering import chooser_of

    return chooser_of(project_of_command())
