"""Every rule has spoken in a test and kept silent in another; the few that never keep silent are named by their kind.

A rule with patterns does both in its examples. A rule that always holds is a step, words for a verdict of fill, or a
caution. Such a step shows in the make-up of one method and not of another; such words in one answer and not in another.
What holds for every joint (cautions, and steps of every method) stands in every answer, which is shown instead.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from splicewright.choice import shipped_chooser
from splicewright.choice.makeup import make_up
from splicewright.question.model import Asked
from splicewright.rulebook import Rule
from splicewright.rulebook.examples import example_question
from tests.rules.mutants import shipped


@dataclass(frozen=True)
class MadeUp:
    """The steps of one option: its code edition, its method, and the rules of its make-up."""

    code: str
    method: str
    rules: frozenset[str]


@functools.cache
def made_up() -> frozenset[MadeUp]:
    """Every make-up of every option for the first example on which each rule fires."""
    return frozenset(one for code, rule in shipped().values() for one in _made_up(example_of(rule, code), code))


def _made_up(asked: Asked, code: str) -> list[MadeUp]:
    match = shipped_chooser().holding.match(asked.question)
    return [
        MadeUp(
            code,
            option.connector.method,
            frozenset(step["rule"] for step in make_up(option.connector, asked.question.joint, match.derived.steps)),
        )
        for option in match.options
    ]


def example_of(rule: Rule, code: str) -> Asked:
    return example_question(rule.fires[0], code)


def derived(asked: Asked) -> set[str]:
    return {one.rule.id for one in shipped_chooser().engine(asked.question.code).derive(asked.question)}


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


def test_rule_that_always_holds_is_a_step_a_caution_or_words_for_fill() -> None:
    kinds = {rule.effect.kind for _, rule in shipped().values() if not rule.when}
    assert kinds == {"step", "caution", "refuse"}


def test_every_step_stands_in_a_make_up() -> None:
    told = {(one.code, rule) for one in made_up() for rule in one.rules}
    assert [rule.id for code, rule in steps() if (code, rule.id) not in told] == []


def test_step_of_some_methods_stands_in_the_make_up_of_one_of_them_and_of_no_other() -> None:
    for code, rule in steps():
        if rule.effect.methods:
            with_it = {one.method for one in made_up() if one.code == code and rule.id in one.rules}
            without = {one.method for one in made_up() if one.code == code and rule.id not in one.rules}
            assert with_it, rule.id
            assert with_it <= set(rule.effect.methods), rule.id
            assert without - set(rule.effect.methods), rule.id


def test_step_of_every_method_that_always_holds_stands_in_every_make_up() -> None:
    for code, rule in always("step"):
        if not rule.effect.methods:
            assert all(rule.id in one.rules for one in made_up() if one.code == code), rule.id


def test_words_for_fill_stand_in_one_answer_and_not_in_another() -> None:
    words = always("refuse")
    cited = {
        rule.id: {
            reason["rule"]
            for one in shipped_chooser().answer(example_of(rule, code))["refusals"]
            for reason in one["because"]
        }
        for code, rule in words
    }
    for _, rule in words:
        assert rule.id in cited[rule.id]
        assert any(rule.id not in others for others in cited.values()), rule.id


def test_caution_that_always_holds_stands_in_every_answer() -> None:
    for code, rule in shipped().values():
        found = derived(example_of(rule, code))
        assert {one.id for of, one in always("caution") if of == code} <= found
