"""Answers under rules that are being proved, to whoever proves them."""

from __future__ import annotations

from pathlib import Path

from splicewright.answering.chooser import Chooser
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.project.reading import Project


def proving_chooser(rulesets: Path, project: Project | None = None) -> Chooser:
    """Answer from a folder of rules and a project, also under amendments that the floor does not hold with.

    So their examples run first, and all that falls below the floor is told at once.
    """
    chooser = Chooser(rulesets)
    chooser.use(LoadedRules(rulesets, project, unproved=True))
    return chooser
