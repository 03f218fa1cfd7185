"""Whether an extreme was heard, and whether its sound twin was judged: what each answer has to show."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.answering.answer_json import NO_RULE, JudgedConcern, pointers_of
from tests.extremes.asking import Told
from tests.extremes.extremes import Extreme
from tests.extremes.kept import kept

BLOCKED = ("barred", "refer")
STOPPED = (*BLOCKED, "no-connector")


def unheard(extreme: Extreme, told: Told) -> str | None:
    """Say what is wrong with the answer to an extreme: an option in silence, or a reason that is not kept."""
    found = told.judged.get(extreme.concern)
    if found is not None and found.why:
        return _wrong_reason(extreme, told, found)
    if told.outcome in STOPPED or told.all_meet(extreme.options):
        return None
    if kept().holds("sound_here", extreme, told.facts):
        return None
    if found is not None:
        return "options, and told as judged"
    return None if _may_be_absent(extreme, told) else "options, and not told of"


def not_judged(extreme: Extreme, told: Told) -> str | None:
    """Say what is wrong with the answer to a sound twin: not judged, or handed over."""
    found = told.judged.get(extreme.concern)
    if told.outcome == "refer" and not kept().holds("referred", extreme, told.facts):
        return "sound, and handed over"
    if found is None:
        return None if _may_be_absent(extreme, told) else "sound, and not told of"
    return _wrong_reason(extreme, told, found) if found.why else None


def _may_be_absent(extreme: Extreme, told: Told) -> bool:
    # What is asked of a connector is not told of where none is looked for.
    of_connector = extreme.concern == "fill" and told.outcome in BLOCKED
    return of_connector or kept().holds("does_not_arise", extreme, told.facts)


def _wrong_reason(extreme: Extreme, told: Told, found: JudgedConcern) -> str | None:
    plain: Mapping[str, Any] = found.to_dict(pointers_of(told.asked.entering))
    if found.why == NO_RULE:
        allowed = kept().articles.get(extreme.concern, frozenset())
        unkept = [one for one in found.article.split("; ") if one not in allowed]
        return f"no rule, which is not kept: {'; '.join(unkept)}" if unkept else None
    return None if _is_unsaid(found, told) else f"asks for {plain['asks']}, which is said"


def _is_unsaid(found: JudgedConcern, told: Told) -> bool:
    """Say whether the leaf that is asked for was really left out."""
    part, _, leaf = found.leaf.partition(".")
    asked_of = found.conductor or getattr(told.asked.question, part)
    return getattr(asked_of, leaf) is None
