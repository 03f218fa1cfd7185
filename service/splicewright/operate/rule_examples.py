"""Runs the examples of rules through the real parts, under a code edition with amendments or without."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from splicewright.answering.chooser import Chooser
from splicewright.choice.matching import speaks
from splicewright.engine import Engine, UnfitRulebook
from splicewright.faults import Fault
from splicewright.question.facts import facts_of
from splicewright.question.proposal import Proposal
from splicewright.question.read import ParsedQuestion
from splicewright.rulebook import Rule, Rulebook
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.examples import failing_examples, failing_proposals


def example_faults(
    rules: Iterable[Rule], code: str, chooser: Chooser, amendments: Sequence[str] = ()
) -> Iterator[Fault]:
    """Give a fault for each example of a rule that does not do as it says under a code edition with amendments."""
    rules = tuple(rules)
    fill_words = [rule for rule in rules if rule.effect.kind == "refuse"]
    on_proposals = [rule for rule in rules if rule.effect.kind in OF_PROPOSALS]
    derived = [rule for rule in rules if rule.effect.kind not in ("refuse", *OF_PROPOSALS)]
    stack = tuple(amendments)

    def under(asked: ParsedQuestion) -> ParsedQuestion:
        return replace(asked, question=replace(asked.question, amendments=stack)) if stack else asked

    yield from failing_examples(derived, code, lambda asked: _fired(chooser, under(asked)))
    yield from failing_examples(fill_words, code, lambda asked: _refusing(chooser, under(asked)))
    yield from failing_proposals(on_proposals, code, lambda asked, proposal: speaking(chooser, under(asked), proposal))


def lone_example_faults(rules: Iterable[Rule], code: str) -> Iterator[Fault]:
    """Give the same for rules whose rulebook is not whole, of those that rest on no condition and no connector."""
    for rule in rules:
        waits = any(pattern.scope == "condition" for pattern in rule.when)
        if waits or rule.effect.kind in ("refuse", *OF_PROPOSALS):
            continue
        try:
            engine = Engine(Rulebook(code, (rule,), ""))
        except UnfitRulebook:
            continue  # told where it is compiled
        yield from failing_examples([rule], code, partial(_fires_alone, engine, rule.id))
        engine.close()


def _fires_alone(engine: Engine, rule_id: str, asked: ParsedQuestion) -> set[str]:
    return {rule_id} if engine.firings(facts_of(asked.question)) else set()


def speaking(chooser: Chooser, asked: ParsedQuestion, proposal: Proposal) -> set[str]:
    """Give the ids of the rules that speak of a proposed splice which names its method only."""
    method = str(proposal.method)
    connectors = [
        connector for connector in chooser.catalogue(asked.question.catalogue).connectors if connector.method == method
    ]
    return {
        finding.rule.id
        for finding in chooser.holding.rules_of(asked.question).engine.derive(asked.question).findings
        if finding.rule.effect.kind in OF_PROPOSALS and speaks(finding.rule.effect, proposal, method, connectors)
    }


def _fired(chooser: Chooser, asked: ParsedQuestion) -> set[str]:
    engine = chooser.holding.rules_of(asked.question).engine
    return {finding.rule.id for finding in engine.derive(asked.question).findings}


def _refusing(chooser: Chooser, asked: ParsedQuestion) -> set[str]:
    answer = chooser.answer(asked)
    return {reason["rule"] for refusal in answer["refusals"] for reason in refusal["because"]}
