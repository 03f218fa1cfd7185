"""An answer in its JSON form, whole or brief, without what belongs to the question as it was sent."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

import orjson

from splicewright.answering.cache import Body
from splicewright.catalogue import Catalogue
from splicewright.choice.json_fragments import (
    caution_text,
    demand_text,
    entries,
    finding_plain,
    finding_text,
    method_bar_text,
)
from splicewright.choice.judging import judge
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.choice.makeup import MakeUp
from splicewright.choice.matching import Match, Option, met_text, met_texts
from splicewright.choice.reasons import Refusals, written_refusals
from splicewright.engine import FindingSet
from splicewright.question.model import ParsedQuestion
from splicewright.rulebook import Rulebook

__all__ = ["address", "assumed_text", "finding_plain", "option_plain", "write_body"]

Plain = dict[str, Any]
_NO_REFUSALS = Refusals(b"", frozenset())
Met = Callable[[Option], bytes]  # writes how an option meets a demand


def option_plain(option: Option, rank: int, made_up: MakeUp, derived: FindingSet, *, brief: bool) -> Plain:
    """Write one option; whole with what it meets and how it is made up."""
    met = [] if brief else [partial(met_text, demand) for demand in derived.demands]
    found: Plain = orjson.loads(_option(option, rank, made_up, met, brief=brief))
    return found


def _option(option: Option, rank: int, made_up: MakeUp, met: Iterable[Met], *, brief: bool) -> bytes:
    written: Plain = {"connector": option.connector.id, "method": option.connector.method, "rank": rank}
    if brief:
        return orjson.dumps({**written, "fill": {"basis": option.fill.basis}})
    written["fill"] = option.fill.to_dict()
    written["meets"] = entries([text(option) for text in met])
    written["preferred"] = entries([finding_text(one, brief=True) for one in option.preferred])
    written["make_up"] = entries(made_up.texts(option.connector))
    return orjson.dumps(written)


def write_body(
    asked: ParsedQuestion, canonical: bytes, match: Match, rules: CompiledRules, found_remedies: list[Plain]
) -> Body:
    """Write an answer, whole or brief as it was asked for, its parts in the order of the contract.

    `canonical` is the question in its canonical form.
    """
    brief = asked.explain == "brief"
    question, derived, catalogue = asked.question, match.derived, match.index.catalogue
    shown = match.options[: asked.limit]
    made_up = MakeUp(question.joint, derived.steps)
    met = [] if brief or not shown else [met_texts(match.index, demand) for demand in derived.demands]
    refused = _NO_REFUSALS if brief or match.derived.blocked else _refusals(match, rules)
    head = {"answer": address(canonical, rules.rulebook, catalogue), "outcome": match.outcome}
    bars = [finding_text(bar, brief=brief) for bar in derived.joint_bars]
    bars += [method_bar_text(bar, brief=brief) for bar in derived.method_bars]
    tail: Plain = {
        "referrals": entries([finding_text(referral, brief=brief) for referral in derived.referrals]),
        "bars": entries(bars),
    }
    if not brief:
        tail["findings"] = entries([finding_text(conclusion, brief=False) for conclusion in derived.conclusions])
    tail |= {
        "demands": len(derived.demands) if brief else entries(map(demand_text, derived.demands)),
        "options": entries([_option(one, rank, made_up, met, brief=brief) for rank, one in enumerate(shown, start=1)]),
        "more": len(match.options) - len(shown),
        "refusals": match.refused_count if brief else orjson.Fragment(b"[%b]" % refused.text),
        "remedies": found_remedies,
        "cautions": entries([caution_text(caution, brief=brief) for caution in derived.cautions]),
    }
    if not brief:
        cited = sorted(_cited(derived, shown, made_up, refused))
        tail["rules"] = orjson.Fragment(b"{%b}" % b",".join([rules.citations[rule_id] for rule_id in cited]))
    tail["rulesets"] = {
        "code": rules.rulebook.code,
        "amendments": list(question.amendments),
        "digest": rules.rulebook.digest,
    }
    tail["catalogue"] = {"name": catalogue.name, "digest": catalogue.digest}
    judged = judge(question, derived, rules.rulebook.concerns)
    return Body(match.outcome, orjson.dumps(head)[1:-1], orjson.dumps(tail)[1:-1], judged=judged)


def assumed_text(asked: ParsedQuestion) -> bytes:
    """Write what was assumed: each default under its pointer, or (brief) how many there were."""
    brief = asked.explain == "brief"
    return orjson.dumps(len(asked.assumed) if brief else dict(sorted(asked.assumed.items())))


def address(canonical: bytes, rulebook: Rulebook, catalogue: Catalogue) -> str:
    """Give the content address of an answer: of the question with its defaults, the rulesets and the catalogue."""
    content = canonical + orjson.dumps([rulebook.digest, catalogue.digest])
    return "sha256:" + hashlib.sha256(content).hexdigest()


def _refusals(match: Match, rules: CompiledRules) -> Refusals:
    key = (rules.rulebook.digest, *match.refusing)
    return written_refusals(match.index, key, lambda: match.because(rules.fill_words))


def _cited(derived: FindingSet, options: Iterable[Option], made_up: MakeUp, refused: Refusals) -> set[str]:
    cited = {one.rule.id for part in derived.always_told for one in part}
    for option in options:
        cited.update([one.rule.id for one in option.preferred])
        cited.update(made_up.rules(option.connector))
    cited.update(refused.rules)
    return cited
