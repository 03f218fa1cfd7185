"""What must hold for an answer as a whole: its outcome, what it tells, its sentences and its proofs."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator

import orjson

from splicewright.json_pointer import value_at
from splicewright.question.fact_kinds import fact_kinds
from splicewright.reports.words import value_text
from tests.choice.case import GROUNDING, Case, Plain

_HERE = re.compile(r" Here: .+\Z")
_FACTS = ("referrals", "bars", "method_bars", "findings", "demands", "cautions")


def outcome(case: Case) -> Iterator[str]:
    """Check that the outcome says what the answer holds."""
    answer = case.answer
    expected = "options" if answer["options"] else "no-connector"
    if answer["referrals"] or answer["bars"]:
        expected = "refer" if answer["referrals"] else "barred"
        if answer["options"] or answer["refusals"]:
            yield "has options or refusals though the joint is barred or handed over"
    if answer["outcome"] != expected:
        yield f"outcome is {answer['outcome']}, not {expected}"
    if answer["remedies"] and expected not in ("barred", "no-connector"):
        yield "has remedies though the joint may be made, or is handed over"


def short_circuits(case: Case) -> Iterator[str]:
    """Check that what may never meet is barred (or handed over for another reason)."""
    roles = case.roles
    circuits = {conductor["circuit"] for conductor in case.conductors if conductor["role"] not in GROUNDING}
    wrong = (
        {"ungrounded", "grounded"} <= roles
        or (roles & {"ungrounded", "grounded"} and roles & set(GROUNDING))
        or (roles & {"equipment-grounding", "grounding-electrode"} and "isolated-grounding" in roles)
        or (_feeds(case) and "control" in roles and roles & {"grounded", *GROUNDING})
        or (len(circuits) > 1 and not _shared_neutral(case, circuits))
    )
    if wrong and case.answer["outcome"] not in ("barred", "refer"):
        yield f"roles {sorted(roles)} of circuits {sorted(circuits)} meet unbarred"
    unsound = {conductor["condition"] for conductor in case.conductors} - {"sound"}
    if unsound and case.answer["outcome"] not in ("barred", "refer"):
        yield f"an end that is {sorted(unsound)} is joined"


def _shared_neutral(case: Case, circuits: set[str]) -> bool:
    """Say whether these are the neutrals of the legs of one multiwire circuit: one conductor, so to speak."""
    return case.leaf("circuit", "multiwire") and case.roles == {"grounded"} and len(circuits) <= 3


def _feeds(case: Case) -> bool:
    """Say whether the circuit feeds loads, so that a conductor called control is a switch leg and hot."""
    return case.leaf("circuit", "kind") in ("branch", "feeder", "luminaire")


def everything_told(case: Case) -> Iterator[str]:
    """Check that every connector is an option or refused, each once, and that each refusal has reasons in words."""
    answer = case.answer
    told = sorted(one["connector"] for one in answer["options"] + answer["refusals"])
    if answer["outcome"] in ("options", "no-connector") and told != sorted(case.connectors):
        yield f"connectors told: {told}"
    if [option["rank"] for option in answer["options"]] != list(range(1, answer["counts"]["options"] + 1)):
        yield "options are not counted from 1 to their number"
    for one in answer["options"] + answer["refusals"]:
        if one["method"] != case.connectors[one["connector"]].method:
            yield f"{one['connector']} is told to join by {one['method']}"
    for refusal in answer["refusals"]:
        if not refusal["because"] or not all(len(reason["says"].split()) > 5 for reason in refusal["because"]):
            yield f"{refusal['connector']} is refused without a reason in words"


def sentences(case: Case) -> Iterator[str]:
    """Check that every sentence is its rule's, with its places filled, and that every rule cited has a source."""
    cited = {"": ""}
    for entry in _entries(case.answer):
        rule = case.rules.get(entry["rule"])
        if rule is None:
            yield f"{entry['rule']} is no rule"
            continue
        cited[rule.id] = ""
        if "says" in entry and not filled(rule.says).fullmatch(_HERE.sub("", entry["says"])):
            yield f"{rule.id} says {entry['says']!r}"
        if "do" in entry and not filled(str(rule.effect.do)).fullmatch(entry["do"]):
            yield f"{rule.id} asks to do {entry['do']!r}"
        for text in (entry.get("says", ""), entry.get("do", ""), entry.get("how", "")):
            if re.search(r"[{}]|\bNone\b", text):
                yield f"{rule.id} has a place that was not filled: {text!r}"
    del cited[""]
    if set(cited) != set(case.answer["rules"]):
        yield f"rules cited and rules told differ in {sorted(set(cited) ^ set(case.answer['rules']))}"
    for rule_id, told in case.answer["rules"].items():
        source = told["source"]
        if source["kind"] == "published" and not (source["document"] and source["section"] and source["obtained"]):
            yield f"{rule_id} has no source"


def _entries(answer: Plain) -> Iterator[Plain]:
    for part in _FACTS:
        yield from answer[part]
    for option in answer["options"]:
        for part in ("meets", "preferred", "make_up"):
            yield from option[part]
    for refusal in answer["refusals"]:
        yield from refusal["because"]


@functools.lru_cache(maxsize=4096)
def filled(words: str) -> re.Pattern[str]:
    """Give what a rule's words look like once filled: any text in their places, but that there was none."""
    fixed = re.split(r"\{[a-z_0-9.]+\}", words)
    return re.compile(r"(?!not stated)\S(?:.*\S)?".join(re.escape(one) for one in fixed))


def proofs(case: Case) -> Iterator[str]:
    """Check that every finding rests on facts that were given or assumed, on measures of them, or on findings."""
    concluded = {finding["rule"] for finding in case.answer["findings"]}
    for part in _FACTS:
        for one in case.answer[part]:
            rule = case.rules[one["rule"]]
            if rule.when and not one["from"]:
                yield f"{rule.id} rests on nothing"
            told = [orjson.dumps([proof.get("fact"), proof.get("rule"), proof.get("value")]) for proof in one["from"]]
            if len(set(told)) != len(told):
                yield f"{rule.id} rests on {one['from']}, not each once"
            for proof in one["from"]:
                yield from _ground(case, rule.id, proof, one["from"], concluded)
    yield from _circles(case)


def _ground(case: Case, rule_id: str, proof: Plain, rests_on: list[Plain], concluded: set[str]) -> Iterator[str]:
    if "rule" in proof:
        if proof["rule"] not in concluded:
            yield f"{rule_id} rests on {proof['rule']}, which was not found"
        return
    name, told = proof["fact"], value_text(proof["value"], " and ")
    kind = fact_kinds().get(name)
    if kind is None or not kind.reads:
        if f"{name}: {told}" not in case.lines.get(name, ()):
            yield f"{rule_id} rests on {name}: {told!r}, which was neither given nor assumed"
        yield from _placed(case, rule_id, proof)
        return
    for read in kind.reads:
        if case.told_by_all(read) and not any(other.get("fact") == read for other in rests_on):
            yield f"{rule_id} rests on {name} without {read}"


def _placed(case: Case, rule_id: str, proof: Plain) -> Iterator[str]:
    """Check that a fact's pointers lead to what was given, or to a default, and that a default is told as one."""
    for pointer in proof["at"]:
        given = value_at(case.given, pointer) is not None
        if not given and pointer not in case.answer["assumed"]:
            yield f"{rule_id} points to {pointer}, where nothing is"
    if proof.get("assumed", False) != all(pointer in case.answer["assumed"] for pointer in proof["at"]):
        yield f"{rule_id} tells wrongly whether {proof['fact']} was assumed"


def _circles(case: Case) -> Iterator[str]:
    left = {
        finding["rule"]: {proof["rule"] for proof in finding["from"] if "rule" in proof}
        for finding in case.answer["findings"]
    }
    while founded := {rule_id for rule_id, needs in left.items() if not needs & left.keys()}:
        left = {rule_id: needs for rule_id, needs in left.items() if rule_id not in founded}
    if left:
        yield f"{sorted(left)} rest on each other"


def cautions(case: Case) -> Iterator[str]:
    """Check that what is always said was said."""
    told = {caution["rule"] for caution in case.answer["cautions"]}
    always = {rule.id for rule in case.rules.values() if rule.effect.kind == "caution" and not rule.when}
    if not always or always - told:
        yield f"the usual cautions lack {sorted(always - told)}"
