"""An answer in its JSON form, whole or brief."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.choice.findings import Derived
from splicewright.choice.makeup import make_up
from splicewright.choice.matching import Option, Refusal
from splicewright.choice.wording import listed_value, test_plain
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.rulebook import Rulebook

Plain = dict[str, Any]


def finding_plain(finding: Finding, *, brief: bool) -> Plain:
    """Write a finding: its rule, its sentence and (whole) what it rests on."""
    written: Plain = {"rule": finding.rule.id, "says": finding.says}
    return written if brief else {**written, "from": list(finding.rests_on)}


def bars_plain(derived: Derived, *, brief: bool) -> list[Plain]:
    """Write the bars on the joint, then those on methods (brief: without their sentences, which explain refusals)."""
    methods = [{"rule": one.rule.id} if brief else finding_plain(one, brief=False) for one in derived.method_bars]
    return [finding_plain(one, brief=brief) for one in derived.joint_bars] + [
        {**written, "method": list(one.rule.effect.methods)}
        for written, one in zip(methods, derived.method_bars, strict=True)
    ]


def demands_plain(derived: Derived) -> list[Plain]:
    """Write what is asked of a connector; one entry for each attribute asked for."""
    return [
        {**finding_plain(one, brief=False), "attribute": test.attribute, "test": test_plain(test)}
        for one in derived.demands
        for test in one.tests
    ]


def option_plain(option: Option, rank: int, joint: Joint, derived: Derived, *, brief: bool) -> Plain:
    """Write one option; whole with what it meets and how it is made up."""
    written: Plain = {"connector": option.connector.id, "method": option.connector.method, "rank": rank}
    if brief:
        return {**written, "fill": {"basis": option.fill.basis}}
    written["fill"] = option.fill.plain()
    preferred = [{"rule": one.rule.id, "says": one.says} for one in option.preferred]
    meets = [
        {
            "rule": one.rule.id,
            "how": "; ".join(f"{t.attribute}: {listed_value(option.attributes, t.attribute)}" for t in one.tests),
        }
        for one in derived.demands
    ]
    return {
        **written,
        "meets": meets,
        "preferred": preferred,
        "make_up": make_up(option.connector, joint, derived.steps),
    }


def refusals_plain(refusals: Iterable[Refusal]) -> list[Plain]:
    """Write every refused connector with all of its reasons."""
    return [
        {
            "connector": one.connector.id,
            "method": one.connector.method,
            "because": [{"rule": reason.rule, "says": reason.says} for reason in one.because],
        }
        for one in refusals
    ]


def cited_rules(rulebook: Rulebook, body: Plain) -> Plain:
    """Give every rule that an answer cites, once, with its source."""
    cited = sorted(set(_rule_ids(body)))
    by_id = {rule.id: rule for rule in rulebook.rules}
    return {rule_id: {"source": by_id[rule_id].source.plain()} for rule_id in cited}


def _rule_ids(part: Any) -> Iterable[str]:
    if isinstance(part, dict):
        if isinstance(part.get("rule"), str):
            yield part["rule"]
        for name in part.get("from", ()):
            if "/" in name and ":" not in name:
                yield name
        for key, inner in part.items():
            if key not in ("from", "question"):
                yield from _rule_ids(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _rule_ids(inner)
