"""Every rule has spoken in a test and kept silent in another; the few that never keep silent are named by their kind.

A rule with patterns does both in its examples.
A rule that always holds is a step, words for a verdict of fill, a caution, or one that speaks of proposed splices.
Such a step shows in the make-up of one method and not in that of another, such words in one refusal and not in another.
What holds for every joint (cautions, and steps of every method) stands in every answer, which is shown instead.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import pytest

from splicewright.answering import Chooser, shipped_chooser
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.catalogue.model import Connector, Figure
from splicewright.choice.loaded_rules import CompiledRules, LoadedRules
from splicewright.operate.rule_examples import speaking
from splicewright.question.read import ParsedQuestion, read_question
from splicewright.rulebook import Rule
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.examples import PLAIN, example_proposal, example_question
from tests.cases import test_cases
from tests.rules.mutants import shipped


@dataclass(frozen=True)
class MadeUp:
    """The steps of one option: its code edition, its method, and the rules of its make-up."""

    code: str
    method: str
    rules: frozenset[str]


@functools.cache
def made_up() -> frozenset[MadeUp]:
    """Every make-up of every option for the first example on which each rule fires, and for the cases."""
    asked = [example_of(rule, code) for code, rule in shipped().values()]
    asked += [read_question({**PLAIN, **param.values[0]["question"]}) for param in test_cases.cases()]
    return frozenset(made for one in asked for made in _made_up(one))


def _made_up(asked: ParsedQuestion) -> Iterator[MadeUp]:
    """Make up each option as its listing says, and as it would be if the listing gave no figures."""
    for chooser in (shipped_chooser(), without_figures()):
        for option in chooser.answer(replace(asked, limit=100))["options"]:
            yield MadeUp(asked.question.code, option["method"], frozenset(step["rule"] for step in option["make_up"]))


def _without_figures(connector: Connector) -> Mapping[str, tuple[Figure, ...]]:
    return {name: of for name, of in connector.figures.items() if name not in ("strip", "torque")}


class _Silent(LoadedRules):
    """The shipped rules, with listings that name no length to strip and no torque."""

    def __init__(self) -> None:
        super().__init__(shipped_chooser().rulesets)
        catalogue = shipped_chooser().catalogue("shop")
        silent = (replace(connector, figures=_without_figures(connector)) for connector in catalogue.connectors)
        self.silent = ConnectorIndex(replace(catalogue, connectors=tuple(silent)))

    def rules(self, code: str, amendments: tuple[str, ...] = ()) -> CompiledRules:
        return shipped_chooser().holding.rules(code, amendments)

    def index(self, _name: str) -> ConnectorIndex:
        return self.silent


@functools.cache
def without_figures() -> Chooser:
    """Give a chooser whose listings name no length to strip and no torque."""
    chooser = Chooser()
    chooser.use(_Silent())
    return chooser


def example_of(rule: Rule, code: str) -> ParsedQuestion:
    return example_question(rule.fires[0], code)


def derived(asked: ParsedQuestion) -> set[str]:
    return {
        finding.rule.id for finding in shipped_chooser().engine(asked.question.code).derive(asked.question).findings
    }


def always(kind: str) -> list[tuple[str, Rule]]:
    return [(code, rule) for code, rule in shipped().values() if not rule.when and rule.effect.kind == kind]


def steps() -> list[tuple[str, Rule]]:
    return [(code, rule) for code, rule in shipped().values() if rule.effect.kind == "step"]


def test_rule_with_patterns_fires_on_one_example_and_is_silent_on_another() -> None:
    unproved = [
        rule.id
        for code, rule in shipped().values()
        if rule.when
        and not (
            any(rule.id in derived(example_question(partial, code)) for partial in rule.fires)
            and any(rule.id not in derived(example_question(partial, code)) for partial in rule.silent)
        )
    ]
    assert unproved == []


def test_rule_that_always_holds_is_a_step_a_caution_a_preference_words_for_fill_or_on_proposals() -> None:
    kinds = {rule.effect.kind for _, rule in shipped().values() if not rule.when}
    assert kinds == {"step", "caution", "prefer", "refuse", *OF_PROPOSALS}


def test_rule_on_proposals_speaks_of_one_example_and_not_of_another() -> None:
    def spoken(partials: Iterable[Mapping[str, Any]], code: str) -> set[str]:
        asked = [(example_question(partial, code), example_proposal(partial)) for partial in partials]
        return {rule for question, proposal in asked for rule in speaking(shipped_chooser(), question, proposal)}

    on_proposals = [(code, rule) for code, rule in shipped().values() if rule.effect.kind in OF_PROPOSALS]
    assert on_proposals
    assert [rule.id for code, rule in on_proposals if rule.id not in spoken(rule.fires, code)] == []
    assert [rule.id for code, rule in on_proposals if rule.id in spoken(rule.silent, code)] == []


@pytest.mark.slow
def test_every_step_stands_in_a_make_up() -> None:
    told = {(one.code, rule) for one in made_up() for rule in one.rules}
    assert [rule.id for code, rule in steps() if (code, rule.id) not in told] == []


@pytest.mark.slow
def test_step_of_some_methods_stands_in_the_make_up_of_one_of_them_and_of_no_other() -> None:
    for code, rule in steps():
        if rule.effect.methods:
            with_it = {one.method for one in made_up() if one.code == code and rule.id in one.rules}
            without = {one.method for one in made_up() if one.code == code and rule.id not in one.rules}
            assert with_it, rule.id
            assert with_it <= set(rule.effect.methods), rule.id
            assert without - set(rule.effect.methods), rule.id


@pytest.mark.slow
def test_step_of_every_method_that_always_holds_stands_in_every_make_up() -> None:
    for code, rule in always("step"):
        if not rule.effect.methods:
            assert all(rule.id in one.rules for one in made_up() if one.code == code), rule.id


def test_words_for_fill_stand_in_one_refusal_and_not_in_another() -> None:
    for code, rule in always("refuse"):
        refusals = shipped_chooser().answer(example_of(rule, code))["refusals"]
        told = {rule.id in {reason["rule"] for reason in refusal["because"]} for refusal in refusals}
        assert told == {True, False}, rule.id


def test_caution_that_always_holds_stands_in_every_answer() -> None:
    for code, rule in shipped().values():
        found = derived(example_of(rule, code))
        assert {one.id for of, one in always("caution") if of == code} <= found
