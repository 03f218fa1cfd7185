"""The choosers of a process: of the shipped rules, and of the project that it works in; each is made once."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from splicewright.answering.chooser import Answer, Chooser
from splicewright.project.finding import project_of_process

if TYPE_CHECKING:
    from splicewright.project.reading import Project


@functools.lru_cache(maxsize=1)
def shipped_chooser() -> Chooser:
    """Give the chooser over the shipped rulesets, one a process."""
    return Chooser()


@functools.lru_cache(maxsize=8)
def chooser_of(project: Project | None) -> Chooser:
    """Give the chooser of a project over the shipped rulesets, one a process; of none the shipped one."""
    return shipped_chooser() if project is None else Chooser(project=project)


@functools.lru_cache(maxsize=1)
def chooser_here() -> Chooser:
    """Give the chooser of the project that the working folder is in when first asked for. Raises `Faults`."""
    return chooser_of(project_of_process())


def choose(question: Mapping[str, Any]) -> Answer:
    """Answer one question (the shape of POST /v1/choices) by the shipped rules.

    A `splicewright.toml` in the working folder or above it, or that SPLICEWRIGHT_PROJECT names, says what stands for
    the question where it does not; it is read once a process. For another one make a `Chooser(project=FILE)`.

    Raises `Refused`, whose `problems` carry a JSON Pointer and a sentence each, where it is no valid question, and
    `Faults` where the project file can't be taken.
    """
    return chooser_here().choose(question)
