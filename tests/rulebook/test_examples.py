"""Examples are partial questions over a plain one, and one that does not do as it says is a fault."""

from __future__ import annotations

from dataclasses import replace

from splicewright.rulebook.examples import example_question, failing_examples
from splicewright.rulebook.model import Effect, Rule, RuleSource

RULE = Rule(
    "environment/one",
    None,
    None,
    (),
    Effect("caution"),
    "So.",
    RuleSource(None),
    file="practice/environment.yaml",
    line=4,
)
CODE = "nfpa70-2023"


def test_plain_example_is_two_copper_ends_in_a_dry_box() -> None:
    question = example_question({}, CODE).question
    (conductor,) = question.joint.conductors
    assert (str(conductor.size), conductor.count, conductor.material, question.place.exposure) == (
        "12 AWG",
        2,
        "copper",
        "dry",
    )


def test_conductor_change_applies_to_the_plain_conductors() -> None:
    (conductor,) = example_question({"conductor": {"material": "aluminum"}}, CODE).question.joint.conductors
    assert (conductor.material, conductor.count) == ("aluminum", 2)


def test_example_on_which_the_rule_stays_silent_is_a_fault() -> None:
    (fault,) = failing_examples([replace(RULE, fires=({},))], CODE, lambda _asked: set())
    assert str(fault) == "practice/environment.yaml:4: environment/one: examples/fires/0: the rule is silent on it"


def test_near_miss_on_which_the_rule_fires_is_a_fault() -> None:
    (fault,) = failing_examples([replace(RULE, silent=({},))], CODE, lambda _asked: {"environment/one"})
    assert fault.says == "examples/silent/0: the rule fires on it"


def test_example_that_is_no_question_is_a_fault() -> None:
    (fault,) = failing_examples([replace(RULE, fires=({"place": {"exposure": "wett"}},))], CODE, lambda _asked: set())
    assert "did you mean 'wet'?" in fault.says
