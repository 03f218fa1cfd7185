"""Forms that are the same wherever they stand in answers: sources, what is not valid."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.refusals import Problem

Plain = dict[str, Any]


def source_plain(
    document: str | None,
    *,
    edition: str | int | None = None,
    section: str | None = None,
    obtained: str | None = None,
    checked: str | None = None,
) -> Plain:
    """Write what something rests on: a document with its section, or (without one) common practice."""
    if document is None:
        return {"kind": "common-practice"}
    told = {
        "document": document,
        "edition": None if edition is None else str(edition),
        "section": section,
        "obtained": obtained,
        "checked": checked,
    }
    return {"kind": "published", **{name: value for name, value in told.items() if value is not None}}


def errors_plain(problems: Iterable[Problem]) -> list[Plain]:
    """Write each thing wrong."""
    return [problem.to_dict() for problem in problems]


def error_item(errors: list[Plain], **where: str | int | None) -> Plain:
    """Write a bad item of many: which it is (`id` where it has one, `line` or `pointer`), and each thing wrong."""
    told = {name: value for name, value in where.items() if value is not None}
    return {"outcome": "error", **told, "errors": errors}


def amended_in_all(joints: Iterable[tuple[Iterable[Plain], int]]) -> list[Plain]:
    """Write each rule that amendments took out once, with how many joints it would have spoken of.

    `joints` are what was taken out of the answer of each, with how many there are of it.
    """
    found: dict[tuple[str, str], Plain] = {}
    for amended, count in joints:
        for one in {(one["rule"], one["amendment"]): one for one in amended}.values():
            told = found.setdefault((one["rule"], one["amendment"]), {**one, "joint_count": 0})
            told["joint_count"] += count
    return [found[key] for key in sorted(found)]


#: what stands between a rule's sentence and what it finds here
HERE = " Here: "


def without_here(written: str) -> tuple[str, str]:
    """Part what an answer says into the rule's sentence and what it found here; that is empty where it says nothing."""
    says, _, here = written.partition(HERE)
    return says, here.removesuffix(".")
