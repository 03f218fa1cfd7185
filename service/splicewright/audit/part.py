"""A part of an entry that is judged, and waived, on its own: a question, a proposal, a joint of a job, a box."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from splicewright.audit.finding import Judgement
from splicewright.audit.verdicts import Verdict
from splicewright.reading import Refused


@dataclass(frozen=True)
class Part:
    """What was judged. The pointers of `judged` go into the entry, as does its own."""

    pointer: str
    joint: str | None  # its id
    known_by: str  # what tells it from others of its file, wherever it stands
    judged: tuple[Judgement, ...]
    waive: Any = None  # as given
    code: Any = None  # the code edition, as given
    asked: Any = None  # the question, with what is laid under it
    verdict: Verdict | None = None


def invalid(error: Refused) -> tuple[Judgement, ...]:
    """Judge what a reader refused."""
    return tuple(Judgement("error", "input/invalid", one.says, one.pointer, waivable=False) for one in error.problems)


def moved(base: str, judged: Iterable[Judgement]) -> tuple[Judgement, ...]:
    """Move judgements from a part to the entry that it stands in."""
    return tuple(replace(one, pointer=base + one.pointer) for one in judged) if base else tuple(judged)
