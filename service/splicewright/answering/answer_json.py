"""An answer in its JSON form, as much of it as was asked for, and what was judged.

What belongs to the question as it was sent (its id, defaults, pointers) is written for each question; all else once for
all that ask the same.
"""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import orjson

from splicewright.answering.finding_json import (
    FindingTexts,
    entries,
    order_of,
    placed,
    placed_pointers,
    statement_text,
    told_cautions,
)
from splicewright.catalogue import Catalogue
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.choice.matching import Match, Option, met_texts
from splicewright.choice.telling import MakeUp, Refusals, written_refusals
from splicewright.engine import Finding, FindingSet
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts
from splicewright.question.model import Conductor, Question
from splicewright.question.read import ParsedQuestion, assumed_plain, so_many
from splicewright.question.read_as import read_as_plain
from splicewright.remedies.remedy_rendering import Remedy
from splicewright.rulebook import Rulebook
from splicewright.rulebook.model import Concern, ConcernCase, Need
from splicewright.version import VERSION

Plain = dict[str, Any]
Met = Callable[[Option], bytes]  # writes how an option meets a demand
_REFUSALS, _REMEDIES = b"\x1e", b"\x1d"  # marks that no JSON text has
_NO_REFUSALS = Refusals(b"", frozenset())
#: Defaults that only say that something is not there.
_NOTHING_SPECIAL: tuple[Any, ...] = ("none", "plain", "sound", "splice", "general", "still", "ends", False, [])


class OptionTexts:
    """Writes the options of one joint."""

    def __init__(self, match: Match, include: Collection[str]) -> None:
        """Write as much of them as `include` names."""
        self._match, self._include = match, include

    @cached_property
    def made_up(self) -> MakeUp:
        """The work steps, of which only those with a figure are told where none are asked for."""
        derived = self._match.derived
        return MakeUp(self._match.joint, derived.steps if "make_up" in self._include else derived.figures)

    @cached_property
    def _met(self) -> list[Met]:
        if "meets" not in self._include:
            return []
        return [met_texts(self._match.index, demand) for demand in self._match.derived.demands]

    def option(self, option: Option, rank: int) -> bytes:
        """Write one."""
        connector, include = option.connector, self._include
        written: Plain = {**named(option), "rank": rank}
        written["fill"] = option.fill.to_dict(whole="fill" in include)
        written |= self.made_up.figures(connector, "strip", "torque")
        if "tool" in connector.attributes:
            written["tool"] = connector.attributes["tool"]
        if "rules" in include and "source" in connector.facts:
            written["source"] = connector.facts["source"]
        if self._met:
            written["meets"] = entries([met(option) for met in self._met])
        if "preferred" in include:
            written["preferred"] = entries(map(statement_text, option.preferred))
        if "make_up" in include:
            written["make_up"] = entries(self.made_up.texts(connector))
        return orjson.dumps(written)

    def cited(self, option: Option) -> Sequence[str]:
        """Give the ids of the rules that stand in what is written of an option."""
        preferred = [one.rule.id for one in option.preferred] if "preferred" in self._include else []
        return preferred + self.made_up.rules(option.connector) if "make_up" in self._include else preferred


def named(option: Option) -> Plain:
    """Write which connector an option is."""
    connector = option.connector
    return {"connector": connector.id, "name": connector.name, "method": connector.method}


@dataclass(frozen=True, slots=True)
class Body:
    """A written answer without what belongs to the question as it was sent: the bytes before and after that."""

    outcome: str
    head: bytes  # `"answer":"…","outcome":"…"`
    tail: bytes  # `"referrals":[…],…`, in marked text (see `finding_json`)
    refusals: bytes = b""  # what stands where the tail has a mark: half of an answer, which has no conductor's place
    work: int = 0  # that looking for its remedies was
    judged: tuple[JudgedConcern, ...] = ()  # what `judged` is written from
    rests_on: tuple[str, ...] = ()  # the leaves that decide it, as marked pointers
    remedies: tuple[Remedy, ...] = ()  # what stands where the tail has a mark


def write_body(
    asked: ParsedQuestion, canonical: bytes, match: Match, rules: CompiledRules, remedies: tuple[Remedy, ...] = ()
) -> Body:
    """Write as much of an answer as was asked for, its parts in the order of the contract.

    `canonical` is the question in its canonical form.
    """
    include, question, derived, catalogue = asked.include, asked.question, match.derived, match.index.catalogue
    texts, options = FindingTexts(derived, proofs="proofs" in include), OptionTexts(match, include)
    shown = match.options[: asked.limit]
    with_refusals = "refusals" in include and not derived.blocked
    refused = _refusals(match, rules) if with_refusals else _NO_REFUSALS
    head = {"answer": address(asked, canonical, rules.rulebook, catalogue), "outcome": match.outcome}
    tail: Plain = {
        "counts": counts(match),
        "referrals": entries(map(texts.finding, derived.referrals)),
        "bars": entries(map(texts.finding, derived.joint_bars)),
    }
    if "method_bars" in include:
        tail["method_bars"] = entries(map(texts.method_bar, derived.method_bars))
    if "findings" in include:
        tail["findings"] = entries(map(texts.finding, derived.conclusions))
    if "demands" in include:
        tail["demands"] = entries(map(texts.demand, derived.demands))
    tail["options"] = entries([options.option(one, rank) for rank, one in enumerate(shown, start=1)])
    if "refusals" in include:
        tail["refusals"] = orjson.Fragment(b"[%b]" % _REFUSALS)
    tail["remedies"] = orjson.Fragment(_REMEDIES)
    tail["cautions"] = entries(texts.cautions(include))
    if "rules" in include:
        cited = {finding.rule.id for finding in _told(derived, include)} | refused.rules
        cited.update(*map(options.cited, shown))
        # A citation begins with its rule's id, so that they are sorted as ids are.
        tail["rules"] = orjson.Fragment(b"{%b}" % b",".join(sorted(map(rules.citations.__getitem__, cited))))
    tail |= used(question, rules, derived, catalogue, include)
    # Of a joint that is not to be made it is moot what was not judged; `judged` tells all the same.
    moot = derived.blocked and "judged" not in include
    judged = () if moot else judge(question, derived, rules.rulebook)
    # What was filled in is told of these leaves, or of all.
    deciding = () if "assumed" in include else _deciding(derived)
    rests_on = tuple(dict.fromkeys(itertools.chain.from_iterable(map(texts.at, deciding))))
    written = (orjson.dumps(head)[1:-1], orjson.dumps(tail)[1:-1], refused.text)
    return Body(match.outcome, *written, 0, judged, rests_on, remedies)


def counts(match: Match) -> Plain:
    """Write how many connectors may be used, how many not, and how much is asked of them."""
    found = {"options": len(match.options), "refused": match.refused_count, "demands": len(match.derived.demands)}
    if match.unproven_count:
        found["unproven"] = match.unproven_count
    return {**found, "not_carried": match.not_carried} if match.not_carried else found


def used(
    question: Question, rules: CompiledRules, derived: FindingSet, catalogue: Catalogue, include: Collection[str]
) -> Plain:
    """Write which rules and which catalogue were asked, and what amendments kept from speaking."""
    rulebook = rules.rulebook
    rulesets: Plain = {"code": rulebook.code, "amendments": list(rulebook.amendments)}
    listed: Plain = catalogue.named()
    amended: Plain = {}
    if rulebook.amendments:
        amended["amended"] = [one.to_dict() for one in rules.engine.amended(derived.facts)]
    if "digests" in include:
        rulesets["digest"], listed["digest"] = rulebook.digest, catalogue.digest
    elif question.catalogue == catalogue.digest:  # it stood in the request: nothing else tells which it is
        listed["digest"] = catalogue.digest
    return {**amended, "rulesets": rulesets, "catalogue": listed}


def address(asked: ParsedQuestion, canonical: bytes, rulebook: Rulebook, catalogue: Catalogue) -> str:
    """Give the content address of an answer: what was asked, by which rules, catalogue and software.

    `canonical` is what was asked, with its defaults.
    """
    decides = [rulebook.digest, catalogue.digest, VERSION, asked.limit, sorted(asked.include)]
    return "sha256:" + hashlib.sha256(canonical + orjson.dumps(decides)).hexdigest()


def _refusals(match: Match, rules: CompiledRules) -> Refusals:
    key = (rules.rulebook.digest, *match.refusing)
    return written_refusals(match.index, key, lambda: match.because(rules.fill_words))


def _told(derived: FindingSet, include: Collection[str]) -> Iterable[Finding]:
    yield from (*derived.referrals, *derived.joint_bars, *told_cautions(derived, include))
    if "method_bars" in include:
        yield from derived.method_bars
    if "findings" in include:
        yield from derived.conclusions
    if "demands" in include:
        yield from derived.demands


def _deciding(derived: FindingSet) -> Iterable[Finding]:
    """Give the findings that decide what an answer comes to."""
    if derived.blocked:
        return (*derived.referrals, *derived.joint_bars)
    return (*derived.method_bars, *derived.demands)


# --- the question as it was sent -----------------------------------------------------------------


def whole(asked: ParsedQuestion, body: Body) -> bytes:
    """Give the whole answer to a question as it was sent, but for its id."""
    order = order_of(asked)
    own: Plain = {
        "assumed": assumed_of(asked, placed_pointers(body.rests_on, order)),
        "judged": judged_plain(body.judged, asked.entering, every="judged" in asked.include),
    }
    if asked.read_as:
        own |= read_as_plain(asked.read_as)
    told = orjson.dumps([remedy.told(asked) for remedy in body.remedies])
    before, _, after = placed(body.tail, order, asked.assumed).replace(_REMEDIES, told).partition(_REFUSALS)
    return b"{%b,%b,%b%b%b}" % (body.head, orjson.dumps(own)[1:-1], before, body.refusals, after)


def with_id(answer: bytes, written: bytes | None) -> bytes:
    """Give an answer with the id of its question, as JSON text, if it has one."""
    return answer if written is None else b'{"id":%b,%b' % (written, answer[1:])


def assumed_of(asked: ParsedQuestion, rests_on: Iterable[str]) -> Plain:
    """Write what was filled in: all of it, or what the answer rests on and what is not merely absent."""
    found: Iterable[tuple[str, Any]] = asked.assumed.items()
    if "assumed" not in asked.include:
        on = set(rests_on)
        found = [
            (at, value) for at, value in found if at in asked.told_by or (at in on and value not in _NOTHING_SPECIAL)
        ]
    return assumed_plain(dict(found), told_by=asked.told_by)


# --- what was judged -----------------------------------------------------------------------------

_Arising = tuple[ConcernCase, Finding]
NOT_STATED, NO_RULE = "not-stated", "no-rule"


class JudgedConcern(NamedTuple):
    """Whether a concern was judged. `why` is empty where it was, else `not-stated` or `no-rule`.

    `leaf` is what to state, such as `circuit.amps`; `conductor` whose it is, where it is a conductor's.
    """

    concern: str
    article: str
    why: str = ""
    leaf: str = ""
    conductor: Conductor | None = None

    def to_dict(self, pointers: Mapping[Conductor, str], *, with_article: bool = True) -> dict[str, Any]:
        """Write it as JSON has it. `pointers` lead to conductors, each with a count of 1, in the question as sent."""
        written: dict[str, Any] = {"concern": self.concern}
        if self.why:
            written["why"] = self.why
        if self.leaf:
            part, _, name = self.leaf.partition(".")
            within = f"/{part}" if self.conductor is None else pointers[so_many(self.conductor, 1)]
            written["asks"] = f"{within}/{name}"  # no leaf has a name that a pointer would escape
        return {**written, "article": self.article} if with_article else written


def judge(question: Question, derived: FindingSet, rulebook: Rulebook) -> tuple[JudgedConcern, ...]:
    """Tell of each concern that arises whether it was judged, in the order of the concerns.

    One whose rules an amendment withdrew, all of them, is judged by no rule.
    """
    arising: dict[str, list[_Arising]] = {}
    for finding in derived.arising:
        case = finding.rule.effect.case
        assert case is not None
        arising.setdefault(case.concern, []).append((case, finding))
    facts = derived.facts
    blocked = derived.blocked
    withdrawn = rulebook.withdrawn if rulebook.amended else frozenset[str]()
    return tuple(
        [
            _judged(concern, arising[concern.id], question, facts, withdrawn)
            for concern in rulebook.concerns
            if concern.id in arising and not (concern.of_connector and blocked)
        ]
    )


def _judged(
    concern: Concern, arising: Sequence[_Arising], question: Question, facts: Facts, withdrawn: frozenset[str]
) -> JudgedConcern:
    for case, finding in arising:
        for need in case.needs:
            for lacking in _lacking(need, finding, question, facts):
                return JudgedConcern(concern.id, case.article, NOT_STATED, need.leaf, lacking)
    without = dict.fromkeys(
        [case.article for case, _ in arising if case.no_rule or (withdrawn and withdrawn.issuperset(case.settled_by))]
    )
    if without:
        return JudgedConcern(concern.id, "; ".join(without), NO_RULE)
    return JudgedConcern(concern.id, concern.article)


def _lacking(need: Need, finding: Finding, question: Question, facts: Facts) -> Iterable[Conductor | None]:
    """Give whoever lacks a fact: conductors, or None for the question itself."""
    fact = need.fact
    if not fact.startswith("conductor."):
        return () if _known(fact, facts.single.get(fact)) else (None,)
    matched = finding.conductors or range(len(facts.conductors))
    return [question.joint.conductors[at] for at in matched if not _known(fact, facts.conductors[at].get(fact))]


def _known(fact: str, value: object) -> bool:
    return value is not None and not (value is False and fact_kinds()[fact].reads)


def pointers_of(entering: Iterable[Conductor]) -> dict[Conductor, str]:
    """Give where each conductor of a question as sent first stands, by the conductor with a count of 1."""
    found: dict[Conductor, str] = {}
    for at, one in enumerate(entering):
        found.setdefault(so_many(one, 1), f"/joint/conductors/{at}")
    return found


def judged_plain(
    judged: Iterable[JudgedConcern], entering: Sequence[Conductor], *, every: bool = True
) -> list[dict[str, Any]]:
    """Write what was judged with its article, or (not `every`) only what was not, with pointers into the question.

    `entering` are its conductors in that order.
    """
    found = tuple([one for one in judged if every or one.why])
    pointers = pointers_of(entering) if any(one.conductor for one in found) else {}
    return [one.to_dict(pointers, with_article=every) for one in found]
