"""An answer in its JSON form, whole or brief, without what belongs to the question as it was sent; and what was judged.

What is told of a finding is written once, and kept with it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple, TypeVar

import orjson

from splicewright.catalogue import Catalogue
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.choice.makeup import MakeUp
from splicewright.choice.matching import Match, Option, met_text, met_texts
from splicewright.choice.reasons import Refusals, test_plain, written_refusals
from splicewright.engine import Finding, FindingSet, Statement
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts
from splicewright.question.model import Conductor, Question, so_many
from splicewright.question.read import ParsedQuestion
from splicewright.remedies.remedy_rendering import Remedy
from splicewright.rulebook import Rulebook
from splicewright.rulebook.model import Concern, ConcernCase, Need

Plain = dict[str, Any]
_Made = TypeVar("_Made")
_REMEDIES = b"\x1d"  # a mark that no JSON text has
_NO_REFUSALS = Refusals(b"", frozenset())
Met = Callable[[Option], bytes]  # writes how an option meets a demand


def option_plain(option: Option, rank: int, made_up: MakeUp, derived: FindingSet, *, brief: bool) -> Plain:
    """Write one option; whole with what it meets and how it is made up."""
    met = [] if brief else [partial(met_text, demand) for demand in derived.demands]
    found: Plain = orjson.loads(_option(option, rank, made_up, met, brief=brief))
    return found


def _option(option: Option, rank: int, made_up: MakeUp, met: Iterable[Met], *, brief: bool) -> bytes:
    written: Plain = {"connector": option.connector.id, "method": option.connector.method, "rank": rank}
    if brief:
        return orjson.dumps({**written, "fill": {"basis": option.fill.basis}})
    written["fill"] = option.fill.to_dict()
    written["meets"] = entries([text(option) for text in met])
    written["preferred"] = entries(map(statement_text, option.preferred))
    written["make_up"] = entries(made_up.texts(option.connector))
    return orjson.dumps(written)


@dataclass(frozen=True, slots=True)
class Body:
    """A written answer without what belongs to the question as it was sent: the bytes before and after that."""

    outcome: str
    head: bytes  # `"answer":"…","outcome":"…"`
    tail: bytes  # `"referrals":[…],…`
    work: int = 0  # that looking for its remedies was
    judged: tuple[JudgedConcern, ...] = ()  # what `judged` is written from
    remedies: tuple[Remedy, ...] = ()  # what stands where the tail has a mark

    def spliced(self, written_id: bytes | None, own: Own) -> bytes:
        """Give the whole answer. `written_id` is the id as JSON text."""
        first = b'{"id":' + written_id + b"," if written_id else b"{"
        tail = self.tail.replace(_REMEDIES, own.remedies)
        return b"".join((first, self.head, b",", own.known, b",", tail, b"}"))


class Own(NamedTuple):
    """What of an answer points into the question as it was sent, in JSON text."""

    known: bytes  # `"assumed":{…},"judged":[…]`
    remedies: bytes  # `[…]`


def write_body(
    asked: ParsedQuestion, canonical: bytes, match: Match, rules: CompiledRules, remedies: tuple[Remedy, ...] = ()
) -> Body:
    """Write an answer, whole or brief as it was asked for, its parts in the order of the contract.

    `canonical` is the question in its canonical form.
    """
    brief = asked.explain == "brief"
    question, derived, catalogue = asked.question, match.derived, match.index.catalogue
    shown = match.options[: asked.limit]
    made_up = MakeUp(question.joint, () if brief or not shown else derived.steps)
    met = [] if brief or not shown else [met_texts(match.index, demand) for demand in derived.demands]
    refused = _NO_REFUSALS if brief or match.derived.blocked else _refusals(match, rules)
    head = {"answer": address(canonical, rules.rulebook, catalogue), "outcome": match.outcome}
    bars = [finding_text(bar, brief=brief) for bar in derived.joint_bars]
    bars += [method_bar_text(bar, brief=brief) for bar in derived.method_bars]
    tail: Plain = {
        "referrals": entries([finding_text(referral, brief=brief) for referral in derived.referrals]),
        "bars": entries(bars),
    }
    if not brief:
        tail["findings"] = entries([finding_text(conclusion, brief=False) for conclusion in derived.conclusions])
    tail |= {
        "demands": len(derived.demands) if brief else entries(map(demand_text, derived.demands)),
        "options": entries([_option(one, rank, made_up, met, brief=brief) for rank, one in enumerate(shown, start=1)]),
        "more": len(match.options) - len(shown),
        "refusals": match.refused_count if brief else orjson.Fragment(b"[%b]" % refused.text),
        "remedies": orjson.Fragment(_REMEDIES),
        "cautions": entries([caution_text(caution, brief=brief) for caution in derived.cautions]),
    }
    if not brief:
        cited = sorted(_cited(derived, shown, made_up, refused))
        tail["rules"] = orjson.Fragment(b"{%b}" % b",".join([rules.citations[rule_id] for rule_id in cited]))
    tail["rulesets"] = {
        "code": rules.rulebook.code,
        "amendments": list(question.amendments),
        "digest": rules.rulebook.digest,
    }
    tail["catalogue"] = {"name": catalogue.name, "digest": catalogue.digest}
    judged = judge(question, derived, rules.rulebook.concerns)
    return Body(match.outcome, orjson.dumps(head)[1:-1], orjson.dumps(tail)[1:-1], 0, judged, remedies)


def remedies_text(remedies: Iterable[Remedy], asked: ParsedQuestion) -> bytes:
    """Write what would make a refused joint possible, for the question as it was sent."""
    return orjson.dumps([remedy.told(asked) for remedy in remedies])


def assumed_text(asked: ParsedQuestion) -> bytes:
    """Write what was assumed: each default under its pointer, or (brief) how many there were."""
    brief = asked.explain == "brief"
    return orjson.dumps(len(asked.assumed) if brief else dict(sorted(asked.assumed.items())))


def address(canonical: bytes, rulebook: Rulebook, catalogue: Catalogue) -> str:
    """Give the content address of an answer: of the question with its defaults, the rulesets and the catalogue."""
    content = canonical + orjson.dumps([rulebook.digest, catalogue.digest])
    return "sha256:" + hashlib.sha256(content).hexdigest()


def _refusals(match: Match, rules: CompiledRules) -> Refusals:
    key = (rules.rulebook.digest, *match.refusing)
    return written_refusals(match.index, key, lambda: match.because(rules.fill_words))


def _cited(derived: FindingSet, options: Iterable[Option], made_up: MakeUp, refused: Refusals) -> set[str]:
    cited = {one.rule.id for part in derived.always_told for one in part}
    for option in options:
        cited.update([one.rule.id for one in option.preferred])
        cited.update(made_up.rules(option.connector))
    cited.update(refused.rules)
    return cited


# --- findings -----------------------------------------------------------------------------------


def finding_plain(finding: Finding, *, brief: bool) -> Plain:
    """Write a finding: its rule, its sentence and (whole) what it rests on."""
    written: Plain = {"rule": finding.rule.id, "says": finding.says}
    return written if brief else {**written, "from": list(finding.rests_on)}


def caution_kind(finding: Finding) -> str:
    """Give `always` for a caution that holds of every joint, else `mind`."""
    return "mind" if finding.rule.when else "always"


def caution_plain(finding: Finding, *, brief: bool) -> Plain:
    """Write a caution: a finding with its kind."""
    written = finding_plain(finding, brief=brief)
    return {"rule": written.pop("rule"), "kind": caution_kind(finding), **written}


def caution_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a caution as JSON text."""
    text = _kept(finding, "caution", lambda: orjson.dumps(caution_plain(finding, brief=True)))
    return text if brief else _whole(text, finding)


def statement_text(said: Finding | Statement) -> bytes:
    """Write a rule and what it says as JSON text."""
    return _kept(said, "brief", lambda: orjson.dumps({"rule": said.rule.id, "says": said.says}))


def finding_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a finding as JSON text."""
    text = statement_text(finding)
    return text if brief else _whole(text, finding)


def method_bar_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a bar on methods (brief: without its sentence, which explains refusals)."""
    methods = _kept(finding, "methods", lambda: orjson.dumps({"method": list(finding.rule.effect.methods)}))
    if not brief:
        return _and_more(finding_text(finding, brief=False), methods)
    return _and_more(orjson.dumps({"rule": finding.rule.id}), methods)


def demand_text(finding: Finding) -> bytes:
    """Write what is asked of a connector: entries with commas between them, one for each attribute asked for."""

    def write() -> list[bytes]:
        return [orjson.dumps({"attribute": test.attribute, "test": test_plain(test)}) for test in finding.tests]

    written = finding_text(finding, brief=False)
    return b",".join([_and_more(written, test) for test in _kept(finding, "tests", write)])


def _whole(text: bytes, finding: Finding) -> bytes:
    """Add to an object what a finding rests on, which alone differs from question to question."""
    return b'%b,"from":%b}' % (text[:-1], orjson.dumps(finding.rests_on))


def _and_more(text: bytes, more: bytes) -> bytes:
    """Add to an object, which is not empty, what stands in another one."""
    return b"%b,%b" % (text[:-1], more[1:])


def _kept(finding: Finding | Statement, name: str, write: Callable[[], _Made]) -> _Made:
    kept = finding.kept
    found: _Made | None = kept.get(name)
    if found is None:
        found = kept[name] = write()
    return found


def entries(texts: Iterable[bytes]) -> orjson.Fragment:
    """Put texts into a list, those that are empty left out."""
    return orjson.Fragment(b"[%b]" % b",".join(filter(None, texts)))


# --- what was judged -----------------------------------------------------------------------------

_Arising = tuple[ConcernCase, Finding]
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
        if not self.why:
            return {"concern": self.concern, "judged": True, "article": self.article}
        written: dict[str, Any] = {"concern": self.concern, "judged": False, "why": self.why}
        if self.leaf:
            part, _, name = self.leaf.partition(".")
            within = f"/{part}" if self.conductor is None else pointers[so_many(self.conductor, 1)]
            written["asks"] = f"{within}/{name}"  # no leaf has a name that a pointer would escape
        written["article"] = self.article
        return written


def judge(question: Question, derived: FindingSet, concerns: Iterable[Concern]) -> tuple[JudgedConcern, ...]:
    """Tell of each concern that arises whether it was judged, in the order of the concerns."""
    arising: dict[str, list[_Arising]] = {}
    for finding in derived.arising:
        case = finding.rule.effect.case
        assert case is not None
        arising.setdefault(case.concern, []).append((case, finding))
    facts = derived.facts
    blocked = derived.blocked
    return tuple(
        [
            _judged(concern, arising[concern.id], question, facts)
            for concern in concerns
            if concern.id in arising and not (concern.of_connector and blocked)
        ]
    )


def _judged(concern: Concern, arising: Sequence[_Arising], question: Question, facts: Facts) -> JudgedConcern:
    for case, finding in arising:
        for need in case.needs:
            for lacking in _lacking(need, finding, question, facts):
                return JudgedConcern(concern.id, case.article, NOT_STATED, need.leaf, lacking)
    without = dict.fromkeys([case.article for case, _ in arising if case.no_rule])
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
        found.setdefault(so_many(one, 1), f"/joint/conductors/{at}")
    return found


def judged_plain(judged: Iterable[JudgedConcern], entering: Sequence[Conductor]) -> list[dict[str, Any]]:
    """Write what was judged, with pointers into the question as sent; `entering` are its conductors in that order."""
    found = tuple(judged)
    pointers = pointers_of(entering) if any(one.conductor for one in found) else {}
    return [one.to_dict(pointers) for one in found]


def judged_text(judged: Iterable[JudgedConcern], entering: Sequence[Conductor]) -> bytes:
    """Write the same as JSON text."""
    return orjson.dumps(judged_plain(judged, entering))
