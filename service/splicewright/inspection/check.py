"""One proposed splice in, one verdict out, in its JSON form."""

from __future__ import annotations

from typing import Any

import orjson

from splicewright.answering.answer_json import address, caution_plain, finding_plain, judge, judged_plain, option_plain
from splicewright.answering.chooser import Chooser, shipped_chooser
from splicewright.choice.makeup import MakeUp
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.makeup import make_up_points
from splicewright.inspection.model import Judged, Point, judged
from splicewright.inspection.read import Check, read_check
from splicewright.question.read_as import read_as_plain

Plain = dict[str, Any]
_UNJUDGED = "No rule speaks of this here, so it was not judged; see that the connector named is the one in place."


def check_splice(given: Any, chooser: Chooser | None = None, *, explain: str = "full") -> dict[str, Any]:
    """Check a proposed splice (the shape of POST /v1/checks): a question with a `proposal`.

    Raises `Refused` with every problem, each with its JSON Pointer. `explain` is the default for one that does not say.

    The shape of the answer is described in `api/shapes/checks.py` and printed in `openapi/openapi.yaml`. `verdict` is
    `unsound` where anything speaks against the splice, else `unproven` where anything that a rule asks is not said,
    else `sound`.
    """
    holding = (chooser or shipped_chooser()).holding
    check = read_check(given, holding, explain=explain)
    question = check.asked.question
    standing = ProposalMatch(check, holding.match(question), holding.rules(question.code))
    points = [*standing.points(), *make_up_points(standing)]
    return write_check(check, standing, judged(points, check.proposal))


def write_check(check: Check, standing: ProposalMatch, judged: Judged) -> Plain:
    """Write the answer to a check; its shape is told at `check_splice`."""
    brief = check.asked.explain == "brief"
    question, derived, catalogue = check.asked.question, standing.derived, standing.match.index.catalogue
    written: Plain = {} if check.asked.id is None else {"id": check.asked.id}
    written |= {
        "answer": address(_canonical(check), standing.rules.rulebook, catalogue),
        "verdict": judged.verdict,
        "judged": judged_plain(judge(question, derived, standing.rules.rulebook.concerns), check.asked.entering),
        "proposed": _proposed(check, standing, brief=brief),
        "violations": [_point(one, brief=brief) for one in judged.of("violation")],
        "unproven": [_point(one, brief=brief) for one in judged.of("unproven")],
        "confirmed": len(judged.of("confirmed"))
        if brief
        else [_point(one, brief=False) for one in judged.of("confirmed")],
        "unjudged": [{"about": where, "said": line, "says": _UNJUDGED} for where, line in judged.unjudged],
        **_options(check, standing, brief=brief),
        "assumed": len(check.asked.assumed) if brief else dict(sorted(check.asked.assumed.items())),
        **read_as_plain(check.read_as),
        "cautions": [caution_plain(caution, brief=brief) for caution in derived.cautions],
        "referrals": [finding_plain(referral, brief=brief) for referral in derived.referrals],
    }
    if not brief:
        by_id = standing.rules.by_id
        written["rules"] = {rule: {"source": by_id[rule].source.to_dict()} for rule in sorted(_cited(judged, written))}
    written["rulesets"] = {
        "code": standing.rules.rulebook.code,
        "amendments": list(question.amendments),
        "digest": standing.rules.rulebook.digest,
    }
    written["catalogue"] = {"name": catalogue.name, "digest": catalogue.digest}
    return written


def _canonical(check: Check) -> bytes:
    proposal = orjson.dumps(check.proposal.to_dict(), option=orjson.OPT_SORT_KEYS)
    return check.asked.question.canonical() + b" proposal " + proposal


def _proposed(check: Check, standing: ProposalMatch, *, brief: bool) -> Plain:
    """Write what is proposed; with its fill where the connector takes these conductors."""
    if check.connector is None:
        return {"method": check.method}
    written: Plain = {"connector": check.connector.id, "method": check.method}
    if standing.option is None:
        return written
    fill = standing.option.fill
    return {**written, "fill": {"basis": fill.basis} if brief else fill.to_dict()}


def _point(point: Point, *, brief: bool) -> Plain:
    written: Plain = {"rule": point.rule, "says": point.says}
    if point.about:
        written["asks" if point.standing == "unproven" else "about"] = point.about
    if brief:
        return written
    if point.connectors:
        written["connectors"] = list(point.connectors)
    if point.compared:
        written["compared"] = point.compared.to_dict()
    if point.how is not None:
        written["how"] = point.how
    return {**written, "from": list(point.rests_on)}


def _options(check: Check, standing: ProposalMatch, *, brief: bool) -> Plain:
    """Write the sound options beside what is proposed, at most as many as asked for."""
    derived = standing.derived
    ranked = enumerate(standing.match.options, start=1)
    beside = [(rank, one) for rank, one in ranked if one.connector is not check.connector]
    shown = beside[: check.asked.limit]
    made_up = MakeUp(standing.match.joint, derived.steps)
    options = [option_plain(one, rank, made_up, derived, brief=brief) for rank, one in shown]
    return {"options": options, "more": len(beside) - len(shown)}


def _cited(judged: Judged, written: Plain) -> set[str]:
    cited = {rule for point in judged.points for rule in point.rules}
    cited.update(one["rule"] for part in ("cautions", "referrals") for one in written[part])
    for option in written["options"]:
        cited.update(one["rule"] for part in ("meets", "preferred", "make_up") for one in option[part])
    return cited
