"""A chooser that takes into use what its folder and its project hold now, as a process of the service does."""

from __future__ import annotations

import tempfile
from pathlib import Path

from splicewright.answering.chooser import Chooser, settle
from splicewright.faults import Faults
from splicewright.operate.reloading import NotProven, copied_project, prove_copy
from splicewright.operate.rule_check import digests
from splicewright.project.reading import Project, read_project


def reload_rules(chooser: Chooser) -> tuple[str, ...]:
    """Read the chooser's folder anew and use what it holds now; gives the digests. Raises `NotProven`.

    A project file is read anew too, with its catalogues. Until all of it is read and proved, and if it is refused,
    answers come from what was in use before. It is copied first, so that what is proved is what is used, however often
    the folder is changed meanwhile.
    """
    try:
        with tempfile.TemporaryDirectory(prefix="splicewright-") as temporary:
            copy = Path(temporary) / "rulesets"
            project = _again(chooser.holding.project)
            found = prove_copy(chooser.rulesets, copy, project)
            fresh = Chooser(copy, project=copied_project(copy), cache_bytes=0)
            digests(fresh)  # all of it is read now
    except OSError as error:
        raise NotProven([f"{chooser.rulesets}: can't be copied and proved: {error}"]) from None
    chooser.use(fresh.holding)
    settle()
    return found


def _again(project: Project | None) -> Project | None:
    """Read a project file anew. Raises `NotProven`."""
    try:
        return None if project is None else read_project(project.file)
    except Faults as error:
        raise NotProven([str(fault) for fault in error.faults]) from None
