"""The engine says what the plain evaluator says, whatever the order of what it is given."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.engine import Engine
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.model import Rulebook
from tests.oracle.agreement import Case, cases, difference, main, order_matters, rules_order_matters
from tests.oracle.plain import evaluate
from tests.oracle.questions import questions, random_given, random_question
from tests.oracle.rulebooks import random_rulebook, rulebooks
from tests.question.leaves import words_of


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_engine_agrees_with_plain_evaluator_on_generated_and_shipped_rulebooks(seed: int) -> None:
    assert [says for engine, case in cases(1000, seed) if (says := difference(engine, case))] == []


@pytest.mark.slow
@pytest.mark.parametrize("code", CODES)
def test_engine_agrees_with_plain_evaluator_on_shipped_rulebook(code: str) -> None:
    rng, rulebook = random.Random(7), load_rulebook(code)
    engine = Engine(rulebook)
    put = (Case(rulebook, replace(random_question(rng), code=code)) for _ in range(100))
    assert [says for case in put if (says := difference(engine, case))] == []
    engine.close()


@settings(max_examples=100, deadline=None)
@given(rulebooks(), questions())
def test_engine_agrees_with_plain_evaluator_on_any_rulebook_and_question(
    rulebook: Rulebook, question: Question
) -> None:
    engine = Engine(rulebook)
    assert difference(engine, Case(rulebook, question)) == ""
    engine.close()


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_order_of_conductors_changes_no_finding(seed: int) -> None:
    rng = random.Random(seed)
    assert [says for engine, case in cases(400, 10 + seed) if (says := order_matters(engine, case, rng))] == []


@settings(max_examples=40, deadline=None)
@given(rulebooks(), questions(), st.randoms(use_true_random=False))
def test_order_of_rules_changes_no_finding(rulebook: Rulebook, question: Question, rng: random.Random) -> None:
    assert rules_order_matters(Case(rulebook, question), rng) == ""


def test_a_question_leaves_nothing_behind_for_the_next() -> None:
    rng = random.Random(5)
    rulebook = random_rulebook(rng, 40)
    engine = Engine(rulebook)
    asked = [facts_of(random_question(rng)) for _ in range(50)]
    first = [engine.firings(facts) for facts in asked]
    assert [engine.firings(facts) for facts in reversed(asked)] == first[::-1]
    engine.close()


def test_generated_concerns_arise_of_some_questions_and_not_of_others() -> None:
    rng = random.Random(6)
    arose = Counter[bool]()
    for _ in range(20):
        rulebook = random_rulebook(rng, 20)
        engine = Engine(rulebook)
        arose.update(bool(engine.derive(random_question(rng)).arising) for _ in range(10) if rulebook.concerns)
        engine.close()
    assert min(arose[True], arose[False]) > 10


def test_a_rule_that_differs_is_noticed() -> None:
    rng = random.Random(3)
    rulebook = random_rulebook(rng, 40)
    asked = [random_question(rng) for _ in range(20)]
    fired = {one[0] for question in asked for one in evaluate(rulebook.rules, facts_of(question))}
    dropped = next(rule for rule in rulebook.rules if rule.id in fired)
    engine = Engine(replace(rulebook, rules=tuple(rule for rule in rulebook.rules if rule is not dropped)))
    assert any("only the plain one" in difference(engine, Case(rulebook, question)) for question in asked)
    engine.close()


def test_the_command_prints_what_it_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--cases", "40", "--seed", "2"]) == 0
    assert capsys.readouterr().out.startswith("40 cases, 0 mismatches, ")


def test_the_command_fails_and_shows_the_first_mismatch(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tests.oracle.agreement.evaluate", lambda *_: {("never/fired", (), ())})
    assert main(["--cases", "3"]) == 1
    printed = capsys.readouterr().out
    assert printed.count("never/fired") >= 1
    assert "3 cases, 3 mismatches, " in printed


@pytest.mark.slow
def test_the_generated_questions_are_valid_and_use_every_word() -> None:
    rng = random.Random(0)
    from_text = [read_question(given_by_caller).question for given_by_caller in (random_given(rng) for _ in range(400))]
    seen = {leaf for question in from_text for leaf in _leaves(question)}
    assert _every_word() <= seen
    assert _every_word() <= {leaf for _ in range(400) for leaf in _leaves(random_question(rng))}


def _leaves(question: Question) -> set[tuple[str, object]]:
    facts = facts_of(question)
    pairs = [*facts.single.items(), *(pair for conductor in facts.conductors for pair in conductor.items())]
    return {(name, word) for name, value in pairs for word in (value if isinstance(value, tuple) else (value,))}


def _every_word() -> set[tuple[str, object]]:
    given_facts = [kind for kind in fact_kinds().values() if not kind.reads]
    return {
        (kind.name, word) for kind in given_facts for word in (words_of(kind) if kind.kind != "flag" else (True, False))
    }
