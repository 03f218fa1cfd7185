"""Faults that only show when rules are seen together."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.rulebook import read_rulebook
from splicewright.rulebook.lint import lint

HEAD = "ruleset: environment\nabout: What the place asks.\nrules:\n"
RULE = """\
  - id: {id}
    when: [{when}]
    {effect}
    says: {says}
    source: common-practice
    examples:
      fires: [{{}}]
      silent: [{{place: {{exposure: damp}}}}]
"""


def rule(rule_id: str, when: str, effect: str, says: str = "So it is.") -> str:
    return RULE.format(id=rule_id, when=when, effect=effect, says=says)


def linted(tmp_path: Path, *rules: str) -> list[str]:
    (tmp_path / "practice").mkdir(exist_ok=True)
    (tmp_path / "practice" / "environment.yaml").write_text(HEAD + "".join(rules), encoding="utf-8")
    return [str(fault) for fault in lint(read_rulebook(tmp_path, "nfpa70-2023"))]


def test_sound_chain_has_no_fault(tmp_path: Path) -> None:
    first = rule("buried", "{place: {exposure: buried}}", "conclude: {place: wet}")
    second = rule("asks", "{condition: {place: wet}}", "demand: {sealed: true}")
    assert linted(tmp_path, first, second) == []


def test_condition_that_nothing_tests_is_a_fault(tmp_path: Path) -> None:
    (found,) = linted(tmp_path, rule("buried", "{place: {exposure: buried}}", "conclude: {place: wet}"))
    assert "no rule tests the condition {place: wet}" in found
    assert found.startswith("practice/environment.yaml:4: environment/buried:")


def test_condition_that_nothing_concludes_names_the_nearest(tmp_path: Path) -> None:
    first = rule("buried", "{place: {exposure: buried}}", "conclude: {place: wet}")
    second = rule("asks", "{condition: {place: wet}}", "caution: true")
    third = rule("typo", "{condition: {place: wett}}", "caution: true")
    (found,) = linted(tmp_path, first, second, third)
    assert "did you mean 'wet'?" in found


def test_cycle_is_a_fault_of_each_rule_in_it(tmp_path: Path) -> None:
    one = rule("one", "{condition: {place: wet}}", "conclude: {place: sealed}")
    two = rule("two", "{condition: {place: sealed}}", "conclude: {place: wet}")
    assert sum("from itself" in found for found in linted(tmp_path, one, two)) == 2


@pytest.mark.parametrize(
    ("when", "effect", "says", "wanted"),
    [
        ("{place: {exposure: wet}}", "caution: true", "A {conductor.size} end.", "no conductor pattern"),
        (
            "{place: {exposure: wet}}",
            "caution: true",
            "It is {place.exposur}.",
            "did you mean 'place.exposure'?",
        ),
        ("{place: {exposure: wet}}", "caution: true", "At {circuit.volts}.", "may be absent"),
        (
            "{place: {exposure: wet}}",
            "demand: {volts: {at-least: {fact: circuit.volts}}}",
            "So.",
            "may be absent",
        ),
        ("{conductor: {count: 1}}", "caution: true", "A {conductor.2.size} end.", "no conductor pattern"),
    ],
)
def test_sentence_names_only_facts_that_have_a_value(
    tmp_path: Path, when: str, effect: str, says: str, wanted: str
) -> None:
    (found,) = linted(tmp_path, rule("one", when, effect, f"'{says}'"))
    assert wanted in found


def test_rule_without_a_near_miss_is_a_fault(tmp_path: Path) -> None:
    text = rule("one", "{place: {exposure: wet}}", "caution: true").replace(
        "silent: [{place: {exposure: damp}}]", "silent: []"
    )
    (found,) = linted(tmp_path, text)
    assert "needs a near miss" in found


def test_keys_stand_in_one_order(tmp_path: Path) -> None:
    text = rule("one", "{place: {exposure: wet}}", "caution: true").replace("    says: So it is.\n", "")
    text = text.replace("    source: common-practice\n", "    source: common-practice\n    says: So it is.\n")
    (found,) = linted(tmp_path, text)
    assert "the keys of a rule stand in one order" in found


def test_rule_on_proposals_needs_a_near_miss_though_it_always_holds(tmp_path: Path) -> None:
    text = """\
  - id: strands
    when: always
    defect: {sign: stray-strands}
    says: A strand outside carries nothing.
    source: common-practice
    examples: {fires: [{proposal: {method: lever, signs: [stray-strands]}}]}
"""
    (found,) = linted(tmp_path, text)
    assert "examples: needs a near miss on which the rule is silent" in found
