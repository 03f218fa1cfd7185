"""Lays amendments over those of a project, for one command: by name, or from a file of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from splicewright.document import is_file
from splicewright.faults import Fault, Faults
from splicewright.project.finding import FILE
from splicewright.project.reading import Project
from splicewright.rulebook.amendment_files import LARGEST, AmendmentText


def with_amendments(project: Project | None, amendments: Sequence[str]) -> Project:
    """Give a project, or none, with amendments after its own: names, or files (`is_file`).

    A file takes the place of one that the project has under the same name. Raises `Faults` where one can't be read.
    """
    files = [one for one in amendments if is_file(one)]
    texts = {text.name: text for text in (project.own_amendments if project else ())}
    texts |= {text.name: text for text in map(amendment_text, files)}
    names = [Path(one).stem if one in files else one for one in amendments]
    base = project or Project(file=Path(FILE), text="")
    beneath = [one for one in base.amendments if one not in names]
    return replace(base, amendments=(*beneath, *names), amendments_from="option", own_amendments=tuple(texts.values()))


def amendment_text(file: str) -> AmendmentText:
    """Read the file of an amendment. Raises `Faults`."""
    try:
        with Path(file).open("rb") as stream:
            content = stream.read(LARGEST + 1)  # one that is too large is told when it is read as an amendment
    except OSError as error:
        raise Faults([Fault(file, 0, "", error.strerror or str(error))]) from None
    return AmendmentText(Path(file).stem, file, content)
