from __future__ import annotations

import random

import pytest

from splicewright.engine import Engine, FindingSet
from splicewright.engine.finding_set import FindingTemplates
from splicewright.engine.finding_templates import KINDS
from tests.engine.made import question, rule, rulebook, single
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

REFER = rule(single(joint__count=2), rule_id="made/refer", kind="refer")
BAR = rule(single(joint__count=2), rule_id="made/bar", kind="bar")
METHOD = rule(single(joint__count=2), rule_id="made/method", kind="bar", methods=("lever",))


def derived(*rules: object) -> FindingSet:
    return Engine(rulebook(*rules)).derive(question())  # type: ignore[arg-type]


def test_each_kind_of_findings_is_told_when_it_is_first_asked_for_and_once(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[int] = []
    real = FindingTemplates.findings

    def findings(self: FindingTemplates, rules: int, *rest: object) -> object:
        told.append(rules)
        return real(self, rules, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(FindingTemplates, "findings", findings)
    found = derived(REFER, BAR)
    assert found.blocked == "refer"
    assert told == []
    assert [bar.rule for bar in found.joint_bars] == [bar.rule for bar in found.joint_bars] == [BAR]
    assert len(told) == 1


@pytest.mark.parametrize(
    ("rules", "blocked"),
    [((), None), ((METHOD,), None), ((BAR,), "barred"), ((REFER,), "refer"), ((BAR, REFER), "refer")],
)
def test_referrals_and_bars_on_the_joint_block_it(rules: tuple[object, ...], blocked: str | None) -> None:
    assert derived(*rules).blocked == blocked


def test_kinds_left_out_neither_are_told_nor_block() -> None:
    found = derived(REFER, BAR, METHOD).without("refer", "joint-bar")
    assert (found.blocked, found.referrals, found.joint_bars) == (None, (), ())
    assert [finding.rule for finding in found.findings] == [METHOD]


def test_all_findings_are_those_of_all_kinds() -> None:
    rng = random.Random(3)
    engine = Engine(random_rulebook(rng, 80))
    for _ in range(20):
        found = engine.derive(random_question(rng))
        assert len(found.kinds) == len(KINDS)
        assert sorted(map(id, found.findings)) == sorted(id(one) for kind in found.kinds for one in kind)
        assert [finding.rule.id for finding in found.findings] == sorted(finding.rule.id for finding in found.findings)
