"""Why an answer is as it is: each finding that decides it as a tree down to what was given, and why not a connector.

For a connector that is refused, or not the best, only changes are told that were tried and make it an option.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from splicewright.answering.answer_json import used
from splicewright.answering.chooser import Chooser
from splicewright.answering.finding_json import FindingTexts, order_of
from splicewright.answering.process_choosers import chooser_here
from splicewright.catalogue import Connector
from splicewright.choice.loaded_rules import CompiledRules, LoadedRules
from splicewright.choice.matching import Match, Option
from splicewright.choice.telling import Reason, listed_value, test_plain
from splicewright.engine import Finding
from splicewright.question.changes import Change, changed, read_change
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.model import Question
from splicewright.question.read import ParsedQuestion, read_question
from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.work import JOINT, KIND, Budget

Plain = dict[str, Any]
MOST_TRIED = 100  # single changes put to the rules for one connector
MOST_TOLD = 12  # of those that make it an option
#: What decides whether a listing takes conductors, beside their sizes and count.
_OF_FILL = ("conductor.construction", "conductor.end", "conductor.material")
#: What a conductor is for and how many there are is nobody's to change to get a connector.
_KEPT = ("conductor.count", "conductor.role", "conductor.path", "conductor.circuit", "conductor.size")


class UnknownConnector(Refused):
    """The catalogue has no connector of the id that is asked about; `says` tells so."""

    def __init__(self, says: Says) -> None:
        super().__init__([Problem("", says.within("?connector: "))])
        self.says = says


def why(
    given: Any, chooser: Chooser | None = None, *, connector: str | None = None, budget: Budget | None = None
) -> Plain:
    """Tell why a question is answered as it is, and with `connector` why that one may be used or not.

    The shape is described in `api/shapes/why.py`. Raises `Refused` with every problem: where `given` is no valid
    question, and where no connector of its catalogue has that id.
    """
    asking, given = (chooser or chooser_here()).with_own_catalogue(given, budget)
    holding = asking.holding
    asked = read_question(given, unsaid=holding.unsaid)
    match, rules = holding.match(asked.question), holding.rules_of(asked.question)
    trees = _Trees(asked, match, rules)
    written: Plain = {} if asked.id is None else {"id": asked.id}
    written["outcome"] = match.outcome
    if match.options:
        written["best"] = match.options[0].connector.id
    written["findings"] = [trees.node(finding) for finding in _deciding(match)]
    if connector is not None:
        written["connector"] = _Standing(_named(connector, match), trees, holding, budget or Budget()).to_dict()
    return written | used(asked.question, rules, match.derived, match.index.catalogue, asked.include)


def _named(connector: str, match: Match) -> Connector:
    known = {one.id: one for one in match.index.catalogue.connectors}
    if connector not in known:
        raise UnknownConnector(not_allowed(connector, known, "unknown-name"))
    return known[connector]


def _deciding(match: Match) -> Sequence[Finding]:
    """Give what decides the outcome: what hands over or bars the joint, else what is asked and which methods go."""
    derived = match.derived
    if match.outcome == "refer":
        return derived.referrals
    return derived.joint_bars if match.outcome == "barred" else (*derived.method_bars, *derived.demands)


class _Trees:
    """Writes findings of one question with all that they rest on, followed down to what was given or assumed."""

    def __init__(self, asked: ParsedQuestion, match: Match, rules: CompiledRules) -> None:
        self.asked, self.match, self.rules = asked, match, rules
        self._texts, self._order = FindingTexts(match.derived, proofs=True), order_of(asked)

    def node(self, finding: Finding, above: tuple[str, ...] = ()) -> Plain:
        """Write a finding: its rule with its source, what it says, and under `from` facts and further findings."""
        rule = finding.rule
        return {
            "rule": rule.id,
            "does": rule.effect.kind,
            "says": finding.says,
            **rule.cited(),
            "from": list(self._behind(finding, (*above, rule.id))),
        }

    def _behind(self, finding: Finding, above: tuple[str, ...]) -> Iterator[Plain]:
        for proof in self._texts.proofs(finding):
            if proof.fact:
                yield proof.to_dict(self._order, self.asked.assumed)
            elif proof.told not in above:
                concluded = (one for one in self.match.derived.conclusions if one.rule.id == proof.told)
                yield from (self.node(one, above) for one in concluded)


class _Standing:
    """How one connector stands in an answer."""

    def __init__(self, connector: Connector, trees: _Trees, holding: LoadedRules, budget: Budget) -> None:
        self._connector, self._trees, self._holding, self._budget = connector, trees, holding, budget
        self._match = trees.match
        self._place = self._match.index.place(connector)

    def to_dict(self) -> Plain:
        """Write it."""
        connector, options = self._connector, self._match.options
        written: Plain = {"connector": connector.id, "name": connector.name, "method": connector.method}
        rank = next((at for at, one in enumerate(options, start=1) if one.connector is connector), None)
        if rank is not None:
            written |= {"standing": "option", "rank": rank, "preferred": self._preferred(options[rank - 1])}
            return written | ({} if rank == 1 else {"before_it": self._before(options[0], options[rank - 1])})
        if not self._match.carried >> self._place & 1:
            return written | {"standing": "not-carried"}
        if self._match.derived.blocked:
            return written | {"standing": "not-looked-at"} | self._changes(())
        reasons = self._reasons()
        written |= {"standing": "refused", "because": [self._reason(one) for one in reasons]}
        return written | self._changes(reasons)

    def _reasons(self) -> list[Reason]:
        return self._match.because(self._trees.rules.fill_words).get(self._place, [])

    def _preferred(self, option: Option) -> list[Plain]:
        return [{"rule": one.rule.id, "says": one.says} for one in option.preferred]

    def _before(self, best: Option, option: Option) -> list[Plain]:
        """Tell what the best option has that this one lacks."""
        has = {one.rule.id for one in option.preferred}
        return [one for one in self._preferred(best) if one["rule"] not in has]

    def _reason(self, reason: Reason) -> Plain:
        written: Plain = {"rule": reason.rule, "says": reason.says}
        if reason.here:
            written["here"] = reason.here
        derived = self._match.derived
        for finding in (*derived.demands, *derived.method_bars):
            if finding.rule.id == reason.rule and finding.says == reason.says:
                listed = self._connector.attributes
                if finding.tests:
                    written["asks"] = [
                        {
                            "attribute": test.attribute,
                            "test": test_plain(test),
                            "listed": listed_value(listed, test.attribute),
                        }
                        for test in finding.tests
                    ]
                return written | {"from": self._trees.node(finding)["from"]}
        return written | {"from": []}

    def _changes(self, reasons: Sequence[Reason]) -> Plain:
        """Try single changes of what the reasons rest on; tell how many, and which of them make it an option."""
        question, tried, told, untried = self._trees.asked.question, set[Question](), list[Plain](), 0
        for change, places in _single_changes(question, self._leaves(reasons)):
            altered = changed(question, [(change, places)])
            if altered == question or altered in tried:
                continue
            if len(tried) >= MOST_TRIED or not self._budget.lasts(JOINT + KIND * len(altered.joint.conductors)):
                untried += 1
                continue
            tried.add(altered)
            options = self._holding.match(altered).options
            rank = next((at for at, one in enumerate(options, start=1) if one.connector is self._connector), None)
            if rank is not None and len(told) < MOST_TOLD:
                told.append({"set": change.written, "says": self._said(change, places), "rank": rank})
        found: Plain = {"tried": len(tried), "changes": told}
        return {**found, "untried": untried} if untried else found

    def _leaves(self, reasons: Sequence[Reason]) -> list[str]:
        """Give the leaves that what stands in its way rests on."""
        derived, behind = self._match.derived, self._trees.rules.given_behind
        ids = [one.rule.id for one in (*derived.referrals, *derived.joint_bars)] if derived.blocked else []
        ids += [reason.rule for reason in reasons]
        words = {rule.id for rule in self._trees.rules.fill_words.values()}
        found = dict.fromkeys(itertools.chain.from_iterable(sorted(behind[rule_id]) for rule_id in ids))
        return [*found, *(leaf for leaf in _OF_FILL if words.intersection(ids) and leaf not in found)]

    def _said(self, change: Change, places: Iterable[int]) -> str:
        """Write a change in words: `place.exposure: damp`, `conductor 2 (18 AWG): end ferruled`."""
        ((part, leaves),) = change.written.items()
        told = ", ".join(f"{leaf.replace('_', ' ')} {_worded(value)}" for leaf, value in leaves.items())
        conductors = self._trees.asked.question.joint.conductors
        if part != "conductor":
            return f"{part}: {told}"
        if len(set(places)) == len(conductors):
            return f"every conductor: {told}"
        return "; ".join(f"the {conductors[at].size} {conductors[at].role}: {told}" for at in sorted(places))


def _worded(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(value) or "none"
    return str(value)


def _single_changes(question: Question, leaves: Iterable[str]) -> Iterator[tuple[Change, frozenset[int]]]:
    """Give each other word of each leaf, as a change: of a conductor's for each kind of conductor, then for all."""
    everywhere = range(len(question.joint.conductors))
    for name in leaves:
        part, _, leaf = name.partition(".")
        if name in _KEPT:
            continue
        for value in _other_values(name):
            try:
                change = read_change({part: {leaf: value}})
            except Refused:  # what only goes with other words
                continue
            if part != "conductor":
                yield change, frozenset()
                continue
            yield from ((change, frozenset([at])) for at in everywhere)
            if len(everywhere) > 1:
                yield change, frozenset(everywhere)


def _other_values(name: str) -> Sequence[Any]:
    kind = fact_kinds()[name]
    if kind.kind == "word":
        return kind.words
    if kind.kind == "words":
        return ([],)
    return (True, False) if kind.kind == "flag" else ()
