"""An answer in its JSON form, whole or brief, without what belongs to the question as it was sent."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Any

import orjson

from splicewright.catalogue import Catalogue
from splicewright.choice.cache import Body
from splicewright.choice.findings import Derived
from splicewright.choice.holding import CompiledRules
from splicewright.choice.makeup import MakeUp
from splicewright.choice.matching import Match, Option, Refusal
from splicewright.choice.wording import listed_value, test_plain
from splicewright.engine import Finding
from splicewright.question.model import Asked
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


def option_plain(option: Option, rank: int, made_up: MakeUp, derived: Derived, *, brief: bool) -> Plain:
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
        "make_up": made_up.steps(option.connector),
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


def write_body(asked: Asked, canonical: bytes, match: Match, rules: CompiledRules, found_remedies: list[Plain]) -> Body:
    """Write an answer, whole or brief as it was asked for, its parts in the order of the contract.

    `canonical` is the question in its canonical form.
    """
    brief = asked.explain == "brief"
    question, derived, catalogue = asked.question, match.derived, match.index.catalogue
    shown = match.options[: asked.limit]
    made_up = MakeUp(question.joint, derived.steps)
    refusals = [] if brief else match.refusals(rules.fill_words)
    head = {"answer": address(canonical, rules.rulebook, catalogue), "outcome": match.outcome}
    tail: Plain = {
        "referrals": [finding_plain(one, brief=brief) for one in derived.referrals],
        "bars": bars_plain(derived, brief=brief),
    }
    if not brief:
        tail["findings"] = [finding_plain(one, brief=False) for one in derived.conclusions]
    tail |= {
        "demands": len(derived.demands) if brief else demands_plain(derived),
        "options": [option_plain(one, rank, made_up, derived, brief=brief) for rank, one in enumerate(shown, start=1)],
        "more": len(match.options) - len(shown),
        "refusals": match.refused_count if brief else refusals_plain(refusals),
        "remedies": found_remedies,
        "cautions": [finding_plain(one, brief=brief) for one in derived.cautions],
    }
    if not brief:
        cited = sorted(_cited(derived, tail["options"], refusals))
        tail["rules"] = {rule_id: {"source": rules.by_id[rule_id].source.plain()} for rule_id in cited}
    tail["rulesets"] = {
        "code": rules.rulebook.code,
        "amendments": list(question.amendments),
        "digest": rules.rulebook.digest,
    }
    tail["catalogue"] = {"name": catalogue.name, "digest": catalogue.digest}
    return Body(orjson.dumps(head)[1:-1], orjson.dumps(tail)[1:-1])


def assumed_text(asked: Asked) -> bytes:
    """Write what was assumed: each default under its pointer, or (brief) how many there were."""
    brief = asked.explain == "brief"
    return orjson.dumps(len(asked.assumed) if brief else dict(sorted(asked.assumed.items())))


def address(canonical: bytes, rulebook: Rulebook, catalogue: Catalogue) -> str:
    """Give the content address of an answer: of the question with its defaults, the rulesets and the catalogue."""
    content = canonical + orjson.dumps([rulebook.digest, catalogue.digest])
    return "sha256:" + hashlib.sha256(content).hexdigest()


def _cited(derived: Derived, options: list[Plain], refusals: Iterable[Refusal]) -> set[str]:
    cited = {one.rule.id for part in derived.always_told for one in part}
    for option in options:
        cited.update(one["rule"] for part in ("meets", "preferred", "make_up") for one in option[part])
    cited.update(reason.rule for one in refusals for reason in one.because)
    return cited
