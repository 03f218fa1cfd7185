"""One proposed splice in, one verdict out, in its JSON form."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import orjson

from splicewright.answering.answer_json import (
    OptionTexts,
    address,
    assumed_of,
    judge,
    judged_plain,
    used,
)
from splicewright.answering.chooser import Chooser
from splicewright.answering.finding_json import Order, order_of, placed, placed_pointers, told_cautions
from splicewright.answering.process_choosers import chooser_here
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.makeup import judged_of
from splicewright.inspection.model import Judged, Point
from splicewright.inspection.read import Check, read_check
from splicewright.question.read_as import read_as_plain
from splicewright.work import JOINT, KIND, PROPOSAL, Budget

Plain = dict[str, Any]
_UNJUDGED = "No rule speaks of this here, so it was not judged; see that the connector named is the one in place."


def check_splice(
    given: Any,
    chooser: Chooser | None = None,
    *,
    explain: str = "full",
    include: Sequence[str] = (),
    budget: Budget | None = None,
) -> dict[str, Any]:
    """Check a proposed splice (the shape of POST /v1/checks): a question with a `proposal`.

    Raises `Refused` with every problem, each with its JSON Pointer. `explain` and `include` are for one that says
    neither. What it costs is counted on a budget; raises what the `watch` of that raises.

    The shape of the answer is described in `api/shapes/checks.py` and printed in `openapi/openapi.yaml`. `verdict` is
    `unsound` where anything speaks against the splice, else `unproven` where anything that a rule asks is not said,
    else `sound`.
    """
    asking, given = (chooser or chooser_here()).with_own_catalogue(given, budget)
    holding = asking.holding
    check = read_check(given, holding, explain=explain, include=include)
    question = check.asked.question
    if budget is not None:
        budget.lasts(PROPOSAL + JOINT + KIND * len(question.joint.conductors))
    rules = holding.rules_of(question)
    standing = ProposalMatch(check, holding.match(question), rules.fill_words)
    return write_check(check, rules, standing, judged_of(standing))


def write_check(check: Check, rules: CompiledRules, standing: ProposalMatch, judged: Judged) -> Plain:
    """Write the answer to a check; its shape is told at `check_splice`."""
    asked, derived = check.asked, standing.derived
    question, include, catalogue = asked.question, asked.include, standing.match.index.catalogue
    order, options = order_of(asked), OptionTexts(standing.match, include)
    concerns = judge(question, derived, rules.rulebook)
    rests_on = [pointer for point in judged.points for pointer in point.at]
    beside = [
        (rank, one) for rank, one in enumerate(standing.match.options, start=1) if one.connector is not check.connector
    ]
    shown = beside[: asked.limit]

    def points(standing: Any) -> list[Plain]:
        return [_point(point, order, check) for point in judged.of(standing)]

    def texts(found: Iterable[bytes]) -> list[Plain]:
        plain: list[Plain] = orjson.loads(placed(b"[%b]" % b",".join(found), order, asked.assumed))
        return plain

    written: Plain = {} if asked.id is None else {"id": asked.id}
    written |= {
        "answer": address(asked, _canonical(check), rules.rulebook, catalogue),
        "verdict": judged.verdict,
        "assumed": assumed_of(asked, placed_pointers(rests_on, order)),
        "judged": judged_plain(concerns, asked.entering, every="judged" in include),
        **read_as_plain(check.read_as),
        "counts": {"confirmed": len(judged.of("confirmed")), "options": len(beside)},
        "proposed": _proposed(check, standing),
        "violations": points("violation"),
        "unproven": points("unproven"),
    }
    if "confirmed" in include:
        written["confirmed"] = points("confirmed")
    written |= {
        "unjudged": [{"about": where, "said": line, "says": _UNJUDGED} for where, line in judged.unjudged],
        "options": [orjson.loads(options.option(one, rank)) for rank, one in shown],
        "cautions": texts(standing.texts.cautions(include)),
        "referrals": texts(map(standing.texts.finding, derived.referrals)),
    }
    if "rules" in include:
        told = [*judged.of("violation"), *judged.of("unproven")]
        told += judged.of("confirmed") if "confirmed" in include else []
        cited = {rule for point in told for rule in point.rules}
        cited.update(one.rule.id for part in (told_cautions(derived, include), derived.referrals) for one in part)
        cited.update(rule for _, option in shown for rule in options.cited(option))
        written["rules"] = {rule: rules.by_id[rule].cited() for rule in sorted(cited)}
    return written | used(question, rules, derived, catalogue, include)


def _canonical(check: Check) -> bytes:
    return check.asked.question.canonical() + b" proposal " + check.proposal.canonical()


def _proposed(check: Check, standing: ProposalMatch) -> Plain:
    """Write what is proposed; with its fill where the connector takes these conductors."""
    if check.connector is None:
        return {"method": check.method}
    written: Plain = {"connector": check.connector.id, "name": check.connector.name, "method": check.method}
    if "rules" in check.asked.include and "source" in check.connector.facts:
        written["source"] = check.connector.facts["source"]
    if standing.option is not None:
        written["fill"] = standing.option.fill.to_dict(whole="fill" in check.asked.include)
    return written


def _point(point: Point, order: Order, check: Check) -> Plain:
    written: Plain = {"rule": point.rule, "says": point.says}
    asks = point.about if point.standing == "unproven" else ""
    said = [point.about] if point.about and not asks else []
    if pointers := list(dict.fromkeys((*said, *placed_pointers(point.at, order)))):
        written["at"] = pointers
    if asks:
        written["asks"] = asks
    if point.connectors:
        written["connectors"] = list(point.connectors)
    if point.compared:
        written["compared"] = point.compared.to_dict()
    if point.how is not None:
        written["how"] = point.how
    if "proofs" in check.asked.include:
        written["from"] = [proof.to_dict(order, check.asked.assumed) for proof in point.rests_on]
    return written
