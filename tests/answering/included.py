"""What an answer has where less than everything is included, reckoned from the one that has everything."""

from __future__ import annotations

import copy
from collections.abc import Collection, Iterator
from typing import Any

Plain = dict[str, Any]
_WHOLE_PARTS = ("method_bars", "findings", "demands", "refusals")
_OF_OPTIONS = ("meets", "preferred", "make_up")
_BRIEF_FILL = ("basis", "spare_ports")
#: Defaults that only say that something is not there.
_ABSENT = ("none", "plain", "sound", "splice", "general", "still", "ends", False, [])
_ALWAYS = "De-energize, lock out, test dead. Listing, code, a licensed electrician decide."


def reduced(full: Plain, include: Collection[str]) -> Plain:
    """Take out of an answer that has everything what `include` does not name; its address stays that of the other."""
    answer = copy.deepcopy(full)
    answer["assumed"] = _assumed(full, include)
    answer["judged"] = _judged(full, include)
    cautions = full["cautions"]
    if "cautions" not in include:
        blocked = full["outcome"] in ("refer", "barred")
        cautions = [one for one in cautions if one["kind"] == "always" or not blocked]
        minds = [{key: one[key] for key in ("rule", "kind")} for one in cautions if one["kind"] == "mind"]
        answer["cautions"] = [*minds, {"kind": "always", "says": _ALWAYS}]
    for option in answer["options"]:
        _reduce_option(option, include)
    for remedy in answer["remedies"]:
        _reduce_remedy(remedy, include)
    for name in _WHOLE_PARTS:
        if name not in include:
            del answer[name]
    if "digests" not in include:
        del answer["rulesets"]["digest"], answer["catalogue"]["digest"]
    if "rules" in include:
        cited = {*_cited(answer), *(one["rule"] for one in cautions)}
        answer["rules"] = {rule: told for rule, told in answer["rules"].items() if rule in cited}
    else:
        del answer["rules"]
    return answer if "proofs" in include else _without_proofs(answer)


def _without_proofs(value: Any) -> Any:
    """Leave out what findings rest on, at any depth; `from` of a default is a word."""
    if isinstance(value, dict):
        return {key: _without_proofs(one) for key, one in value.items() if key != "from" or isinstance(one, str)}
    return [_without_proofs(one) for one in value] if isinstance(value, list) else value


def _assumed(full: Plain, include: Collection[str]) -> Plain:
    assumed: Plain = full["assumed"]
    if "assumed" in include:
        return assumed
    parts = ("referrals", "bars") if full["outcome"] in ("refer", "barred") else ("method_bars", "demands")
    on = {pointer for part in parts for one in full[part] for pointer in one.get("at", ())}
    return {at: filled for at, filled in assumed.items() if at in on and filled["value"] not in _ABSENT}


def _judged(full: Plain, include: Collection[str]) -> list[Plain]:
    if "judged" in include:
        return list(full["judged"])
    if full["outcome"] in ("refer", "barred"):
        return []
    return [{key: told for key, told in one.items() if key != "article"} for one in full["judged"] if "why" in one]


def _reduce_option(option: Plain, include: Collection[str]) -> None:
    for name in _OF_OPTIONS:
        if name not in include:
            del option[name]
    if "fill" not in include:
        option["fill"] = {key: option["fill"][key] for key in _BRIEF_FILL if key in option["fill"]}


def _reduce_remedy(remedy: Plain, include: Collection[str]) -> None:
    if "questions" not in include:
        for name in ("question", "questions", "conductors", "then"):
            remedy.pop(name, None)
    if "rules" not in include:
        remedy.pop("sources", None)
        for one in remedy.get("listing", ()):
            del one["rules"]


def _cited(answer: Plain) -> Iterator[str]:
    for part in ("referrals", "bars", *_WHOLE_PARTS[:3]):
        yield from (one["rule"] for one in answer.get(part, ()))
    for option in answer["options"]:
        yield from (one["rule"] for part in ("preferred", "make_up") for one in option.get(part, ()))
    yield from (reason["rule"] for refusal in answer.get("refusals", ()) for reason in refusal["because"])
