"""What was judged of a joint, concern by concern, and what was not: for want of a word, or of a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import orjson

from splicewright.engine import Finding, FindingSet
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Conductor, Question
from splicewright.reading import join
from splicewright.rulebook.model import Concern, ConcernCase, Need

NOT_STATED, NO_RULE = "not-stated", "no-rule"


@dataclass(frozen=True, slots=True)
class JudgedConcern:
    """Whether a concern was judged. `why` is empty where it was, else `not-stated` or `no-rule`.

    `leaf` is what to state, such as `circuit.amps`; `conductor` whose it is, where it is a conductor's.
    """

    concern: str
    article: str
    why: str = ""
    leaf: str = ""
    conductor: Conductor | None = None

    def to_dict(self, pointers: Mapping[Conductor, str]) -> dict[str, Any]:
        """Write it as JSON has it. `pointers` lead to conductors, each with a count of 1, in the question as sent."""
        written: dict[str, Any] = {"concern": self.concern, "judged": not self.why}
        if self.why:
            written["why"] = self.why
        if self.leaf:
            part, _, name = self.leaf.partition(".")
            within = f"/{part}" if self.conductor is None else pointers[replace(self.conductor, count=1)]
            written["asks"] = join(within, name)
        return {**written, "article": self.article}


def judge(question: Question, derived: FindingSet, concerns: Iterable[Concern]) -> tuple[JudgedConcern, ...]:
    """Tell of each concern that arises whether it was judged, in the order of the concerns."""
    arising: dict[str, list[Finding]] = {}
    for finding in derived.arising:
        arising.setdefault(_case(finding).concern, []).append(finding)
    facts = facts_of(question)
    return tuple(
        _judged(concern, arising[concern.id], question, facts)
        for concern in concerns
        if concern.id in arising and not (concern.of_connector and derived.blocked)
    )


def _case(finding: Finding) -> ConcernCase:
    case = finding.rule.effect.case
    assert case is not None
    return case


def _judged(concern: Concern, arising: Sequence[Finding], question: Question, facts: Facts) -> JudgedConcern:
    for finding in arising:
        for need in _case(finding).needs:
            for lacking in _lacking(need, finding, question, facts):
                return JudgedConcern(concern.id, _case(finding).article, NOT_STATED, need.leaf, lacking)
    without = dict.fromkeys(_case(finding).article for finding in arising if _case(finding).no_rule)
    if without:
        return JudgedConcern(concern.id, "; ".join(without), NO_RULE)
    return JudgedConcern(concern.id, concern.article)


def _lacking(need: Need, finding: Finding, question: Question, facts: Facts) -> Iterable[Conductor | None]:
    """Give whoever lacks a fact: conductors, or None for the question itself."""
    if not need.fact.startswith("conductor."):
        return () if _known(need.fact, facts.value(need.fact)) else (None,)
    matched = finding.conductors or range(len(question.joint.conductors))
    return [question.joint.conductors[at] for at in matched if not _known(need.fact, facts.value(need.fact, at))]


def _known(fact: str, value: object) -> bool:
    return value is not None and not (value is False and fact_kinds()[fact].reads)


def pointers_of(entering: Iterable[Conductor]) -> dict[Conductor, str]:
    """Give where each conductor of a question as sent first stands, by the conductor with a count of 1."""
    found: dict[Conductor, str] = {}
    for at, one in enumerate(entering):
        found.setdefault(replace(one, count=1), join("/joint/conductors", at))
    return found


def judged_plain(judged: Iterable[JudgedConcern], entering: Sequence[Conductor]) -> list[dict[str, Any]]:
    """Write what was judged, with pointers into the question as sent; `entering` are its conductors in that order."""
    found = tuple(judged)
    pointers = pointers_of(entering) if any(one.conductor for one in found) else {}
    return [one.to_dict(pointers) for one in found]


def judged_text(judged: Iterable[JudgedConcern], entering: Sequence[Conductor]) -> bytes:
    """Write the same as JSON text."""
    return orjson.dumps(judged_plain(judged, entering))
