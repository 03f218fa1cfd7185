"""Which given facts a rule rests on in the end."""

from __future__ import annotations

from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.rule_dependencies import given_behind

BEHIND = given_behind(load_rulebook("nfpa70-2023"))


def test_rule_rests_on_the_facts_it_tests() -> None:
    assert BEHIND["access/never-inside-a-raceway"] == {"place.enclosure"}


def test_measure_stands_for_the_facts_it_is_made_from() -> None:
    assert {"conductor.size", "circuit.overcurrent_amps"} <= BEHIND["ratings/small-conductor-behind-too-large-a-device"]


def test_condition_stands_for_the_facts_behind_all_rules_that_conclude_it() -> None:
    assert {"place.exposure", "place.site", "conductor.insulation"} <= BEHIND["environment/insulation-not-for-wet"]


def test_every_rule_rests_on_given_facts_only() -> None:
    measures = {name for name, kind in fact_kinds().items() if kind.reads}
    assert not [name for names in BEHIND.values() for name in names & measures]
    assert {rule.id for rule in load_rulebook("nfpa70-2023").rules} == BEHIND.keys()
