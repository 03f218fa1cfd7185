"""What an answer, a check or a box says, as judgements."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.answer_forms import without_here
from splicewright.audit.facts import pointer_of
from splicewright.audit.finding import Judgement
from splicewright.refusals import shown
from splicewright.remedies.patch import leaves_written
from splicewright.rulebook.concerns import PREFIX, concern_words

Plain = Mapping[str, Any]


def of_answer(answer: Plain, sent: Plain, within: str = "") -> Iterator[Judgement]:
    """Judge the answer to a question: bars are errors, referrals and the want of a connector warnings.

    What was not judged because something was not stated is a note; what every answer says is left out.
    The question stands in what was sent at the pointer `within`, and those of its answer lead from the root of that.
    """

    def at(found: Plain) -> str:
        return pointer_of(found.get("at", ()), sent)

    outcome = answer["outcome"]
    for referral in answer["referrals"]:
        yield Judgement("warning", referral["rule"], referral["says"], at(referral), waivable=False)
    hint = _hint(answer.get("remedies", ()))
    if outcome == "barred":
        for bar in answer["bars"]:
            yield Judgement("error", bar["rule"], bar["says"], at(bar), hint)
    if outcome == "no-connector":
        yield Judgement("warning", "answer/no-connector", _why_none(answer), f"{within}/joint", hint)
    yield from notes(answer)


def notes(answer: Plain) -> Iterator[Judgement]:
    """Give what was taken for another way to write a word, and what was not judged because something was not stated."""
    for one in answer.get("read_as", ()):
        says = f"{shown(one['sent'])} was read as {_value(one['taken'])}."
        yield Judgement("note", "input/read-as", says, one["pointer"])
    for one in answer["judged"]:
        if "asks" in one:
            asks = concern_words().get(one["concern"], one["concern"]).rstrip(".")
            leaf = one["asks"].rpartition("/")[2]
            says = f"Not judged, since {leaf} is not stated: {asks[:1].lower()}{asks[1:]} ({one['article']})."
            yield Judgement("note", f"{PREFIX}/{one['concern']}", says, one["asks"])


def _hint(remedies: Any) -> str | None:
    """Word the first of the changes that were tried and lead to options."""
    for remedy in remedies:
        if "patch" in remedy:
            leaves = [f"{leaf}: {_value(value)}" for leaf, value in leaves_written(remedy["patch"])]
            return f"may be made with {' and '.join(leaves)}"
        if "jumpers" in remedy:
            return f"may be made as {len(remedy['joints'])} joints tied by jumpers"
    return None


def _value(value: Any) -> str:
    if isinstance(value, Mapping) and "unit" in value:
        return f"{value['value']:g} {value['unit']}"
    if isinstance(value, list):
        return ", ".join(map(_value, value))
    return "yes" if value is True else "no" if value is False else str(value)


def _why_none(answer: Plain) -> str:
    """Tell why no connector is left, by those that were refused for the fewest reasons."""
    among = "that the question keeps to" if answer["counts"].get("not_carried") else "of the catalogue"
    says, refusals = f"No connector {among} may make this joint.", answer["refusals"]
    if not refusals:
        return says
    fewest = min(len(refusal["because"]) for refusal in refusals)
    nearest = [refusal for refusal in refusals if len(refusal["because"]) == fewest]
    reasons = Counter(without_here(reason["says"])[0] for one in nearest for reason in one["because"])
    first = [reason for reason, _ in sorted(reasons.items(), key=lambda pair: (-pair[1], pair[0]))[:2]]
    return f"{says} Nearest come {', '.join(sorted({one['method'] for one in nearest})[:3])}: {' '.join(first)}"


def of_box(answer: Plain) -> Iterator[Judgement]:
    """Judge what a box's fill says of the box itself, not of its joints."""
    if answer["fits"] is False:
        yield Judgement("error", "box/too-small", _short(answer), "/box")
    for problem in answer["problems"]:
        yield Judgement("error", "box/falls-short", f"{problem['pointer']} {problem['says']}.", problem["pointer"])
    for referral in answer["referrals"]:
        yield Judgement("warning", "box/handed-over", referral["says"], waivable=False)
    yield from notes(answer)


def _short(answer: Plain) -> str:
    smallest = answer["smallest"][:1]
    would = f"; the smallest standard box that does is {smallest[0]['name']}" if smallest else ""
    return f"The box has {answer['volume']['in3']} in3, and {answer['required']['in3']} in3 are required{would}."


def of_check(checked: Plain, question: Plain) -> Iterator[Judgement]:
    """Judge a check: violations are errors, what is unproven or referred warnings, notes as in an answer."""
    first = next(iter(checked["options"]), None)
    instead = f"may be made with {first['connector']} ({first['method']})" if first else None
    referred = {referral["rule"] for referral in checked["referrals"]}
    for violation in checked["violations"]:
        pointer = pointer_of(violation.get("at", ()), question)
        of_connector = pointer in ("/proposal/connector", "/proposal/method")
        yield Judgement("error", violation["rule"], violation["says"], pointer, instead if of_connector else None)
    for one in checked["unproven"]:
        pointer = one.get("asks") or pointer_of(one.get("at", ()), question)
        yield Judgement("warning", one["rule"], one["says"], pointer, waivable=one["rule"] not in referred)
    yield from notes(checked)
