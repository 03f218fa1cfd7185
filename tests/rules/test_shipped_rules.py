"""Every shipped rule's examples, each a test of its own, and what must hold for the rules as a whole."""

from __future__ import annotations

import functools
from typing import Any

import pytest

from splicewright import shipped
from splicewright.answering import Chooser, shipped_chooser
from splicewright.operate.rule_check import check_rulesets
from splicewright.operate.rule_examples import speaking
from splicewright.question.vocabulary import CODES, METHODS
from splicewright.rulebook import Rule, load_rulebook
from splicewright.rulebook.effects import OF_PROPOSALS, VERDICTS
from splicewright.rulebook.examples import failing_examples, failing_proposals
from splicewright.rulebook.lint import lint


def newest() -> dict[str, tuple[str, Rule]]:
    """Each rule with the newest edition that it holds for."""
    return {rule.id: (code, rule) for code in sorted(CODES) for rule in load_rulebook(code).rules}


def fired(chooser: Chooser, code: str, kind: str) -> Any:
    if kind == "refuse":
        return lambda asked: {
            reason["rule"] for refusal in chooser.answer(asked)["refusals"] for reason in refusal["because"]
        }
    return lambda asked: {finding.rule.id for finding in chooser.engine(code).derive(asked.question).findings}


@pytest.mark.parametrize("rule_id", sorted(newest()))
def test_examples_of(rule_id: str) -> None:
    code, rule = newest()[rule_id]
    if rule.effect.kind in OF_PROPOSALS:
        spoke = functools.partial(speaking, shipped_chooser())
        assert list(failing_proposals([rule], code, spoke)) == []
        return
    assert list(failing_examples([rule], code, fired(shipped_chooser(), code, rule.effect.kind))) == []


@pytest.mark.parametrize("code", CODES)
def test_rulebook_has_no_fault(code: str) -> None:
    assert lint(load_rulebook(code)) == []


@pytest.mark.slow
def test_check_runs_every_example_of_every_edition() -> None:
    checked = check_rulesets(shipped.folder("rulesets"))
    assert checked.faults == ()
    assert set(checked.by_code) == set(CODES)
    assert checked.examples > 2 * len(checked.rules)


def test_there_are_words_for_every_verdict_of_fill() -> None:
    for code in CODES:
        told = [rule.effect.verdict for rule in load_rulebook(code).rules if rule.effect.kind == "refuse"]
        assert sorted(str(one) for one in told) == sorted(VERDICTS)


def test_every_method_is_closed_in_its_own_way() -> None:
    closed = {
        method
        for rule in load_rulebook("nfpa70-2023").rules
        if rule.effect.phase == "close"
        for method in rule.effect.methods
    }
    assert closed == set(METHODS)
