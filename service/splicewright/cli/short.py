"""A question in one line on the command line, and how it was understood."""

from __future__ import annotations

import os
from typing import Any

from splicewright.cli.input import fail, read_document
from splicewright.document import Document


def read_question_or_text(given: str) -> tuple[Document, bool]:
    """Read a file, or a question in one line; tell whether it was one. Exits with 2 for what can't be placed."""
    from splicewright.question.short_text import is_short, read_short

    if given == "-" or os.path.lexists(given) or not is_short(given):
        return read_document(given), False
    found = read_short(given)
    if found.problems:
        fail(*(_told(problem.pointer, problem.says) for problem in found.problems), f"in: {given}")
    return Document(found.question), True


def _told(pointer: str, says: str) -> str:
    column = pointer.removeprefix("/column/")
    return f"column {column}: {says}" if column != pointer else f"{pointer}: {says}"


def question_text(question: Any, *, short: bool) -> str:
    """Write a question as the YAML that a file of it would hold; a line as it was understood, what it said in notes."""
    import yaml

    from splicewright.question.read import in_own_words
    from splicewright.reports.words import sent_otherwise

    own, read_as = in_own_words(question) if short else (question, ())
    notes = "".join(f"# Read {' as '.join(one)}\n" for one in sent_otherwise(one.to_dict() for one in read_as))
    return notes + str(yaml.safe_dump(own, sort_keys=False, allow_unicode=True, width=100))


def question_line(question: Any) -> list[str]:
    """Write a question as it was understood, a part a line."""
    import yaml

    from splicewright.question.read import in_own_words

    own, _ = in_own_words(question)
    lines = yaml.safe_dump(own, sort_keys=False, allow_unicode=True, width=1_000, default_flow_style=None)
    return [line for line in str(lines).splitlines() if line.strip()]
