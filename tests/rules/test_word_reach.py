"""No bar and no referral of a code is silenced unheard: of a word that it leaves out it tells why.

Held to it are the leaves whose words a rule could leave out by an oversight: what a conductor, a circuit or a place is
called.
"""

from __future__ import annotations

import functools

import pytest

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, load_rulebook
from splicewright.rulebook.excuses import unexcused
from splicewright.rulebook.word_tests import left_out

LEAVES = ("circuit.kind", "circuit.serves", "conductor.role", "place.wiring", "place.enclosure")
#: Words of two natures: a rule on conductors for grounding need not excuse those that carry current, nor the other way.
NATURES = {
    "conductor.role": (
        ("ungrounded", "grounded", "control"),
        ("equipment-grounding", "isolated-grounding", "grounding-electrode", "bonding"),
    ),
}


@functools.cache
def rules() -> dict[str, Rule]:
    """Each bar and referral of a code by its id."""
    every = (rule for code in sorted(CODES) for rule in load_rulebook(code).rules)
    return {rule.id: rule for rule in every if rule.code and rule.effect.kind in ("bar", "refer")}


def in_scope(rule: Rule, leaf: str) -> list[str]:
    """The words of a leaf that are of one nature with some that the rule lists."""
    listed = set(fact_kinds()[leaf].words) - set(left_out(rule, leaf))
    natures = NATURES.get(leaf, (fact_kinds()[leaf].words,))
    return [word for nature in natures if listed & set(nature) for word in nature]


@pytest.mark.parametrize("rule_id", sorted(rules()))
def test_word_that_a_rule_excuses_is_excused_with_why(rule_id: str) -> None:
    rule = rules()[rule_id]
    unheard = {leaf: [word for word in unexcused(rule, leaf) if word in in_scope(rule, leaf)] for leaf in LEAVES}
    told = "; ".join(f"{leaf}: {', '.join(words)}" for leaf, words in unheard.items() if words)
    assert told == "", f"{rule.file}:{rule.line}: {rule.id} leaves out, with no excuse, {told}"


def test_each_role_is_of_one_nature() -> None:
    for leaf, natures in NATURES.items():
        assert sorted(word for nature in natures for word in nature) == sorted(fact_kinds()[leaf].words)
