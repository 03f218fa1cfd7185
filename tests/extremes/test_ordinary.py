"""Three hundred ordinary joints, each sound: hardly any is barred or handed over, and few concerns have no rule."""

from __future__ import annotations

import functools
from collections import Counter
from pathlib import Path
from typing import Any

from splicewright.answering import shipped_chooser
from splicewright.answering.answer_json import NO_RULE, NOT_STATED
from splicewright.question.vocabulary import OVERCURRENT_DEVICE
from splicewright.yaml_text import read_yaml
from tests.extremes.hearing import BLOCKED

JOINTS = read_yaml((Path(__file__).parent / "ordinary.yaml").read_bytes()).value
MOST = len(JOINTS) // 100  # one in a hundred
#: Barred all the same, each with the reason that a licensed electrician would give.
BARRED = {
    "A bath fan's 18 AWG leads in its own wiring space": "NM cable is not for a place that is said to be damp; a bath "
    "fan's wiring space above the ceiling is dry, and asked so it has options.",
}
#: What is said where an answer asks for it.
SAID = {
    "room": True,
    "current_carrying": 3,
    "continuous": False,
    "overcurrent_device": next(iter(OVERCURRENT_DEVICE)),
    "insulation": ["USE-2"],
    "depth": {"value": 24, "unit": "in"},
    "wiring_age": "new",
}


def ask(question: dict[str, Any]) -> dict[str, Any]:
    return shipped_chooser().choose({**question, "explain": "full"})


@functools.cache
def answers() -> dict[str, dict[str, Any]]:
    return {joint["name"]: ask(joint["question"]) for joint in JOINTS}


def figures(circuit: dict[str, Any]) -> dict[str, Any]:
    """Give what a circuit's figures may be beside those that are said."""
    device = circuit.get("overcurrent_amps", 20)
    of_a_motor = circuit.get("serves") in ("motor", "pump")
    return {
        "amps": device // 2 if of_a_motor else 2,
        "overcurrent_amps": max(15, round(circuit.get("amps", 1) * 1.25)),
        "nameplate_amps": device,
        "volts": 12,
    }


def all_said(question: dict[str, Any], answer: dict[str, Any]) -> dict[str, Any]:
    """Give the answer once all that it asks for is said."""
    asked: dict[str, Any] = {
        **question,
        "joint": {"conductors": [{**each} for each in question["joint"]["conductors"]]},
    }
    asked["joint"] |= {key: value for key, value in question["joint"].items() if key != "conductors"}
    while any(one.get("why") == NOT_STATED for one in answer["judged"]):
        for one in answer["judged"]:
            if one.get("why") != NOT_STATED:
                continue
            *parts, leaf = one["asks"].strip("/").split("/")
            at: Any = asked
            for part in parts:
                at = at[int(part)] if isinstance(at, list) else at.setdefault(part, {})
            at[leaf] = {**SAID, **figures(asked.get("circuit", {}))}[leaf]
        answer = ask(asked)
    return answer


def without_a_rule(found: list[dict[str, Any]]) -> tuple[int, int]:
    """Give how many concerns arise, and of how many no rule here judges them."""
    whys = Counter(one.get("why", "") for answer in found for one in answer["judged"])
    return whys.total(), whys[NO_RULE]


def test_hardly_any_is_barred_or_handed_over() -> None:
    blocked = {name for name, answer in answers().items() if answer["outcome"] in BLOCKED}
    assert blocked == set(BARRED)
    assert len(blocked) <= MOST


def test_there_are_three_hundred_with_a_sentence_each() -> None:
    assert len({joint["name"] for joint in JOINTS}) == len(JOINTS) == 300


def test_nearly_all_of_them_have_a_connector() -> None:
    outcomes = [answer["outcome"] for answer in answers().values()]
    assert outcomes.count("no-connector") < len(JOINTS) // 20


def test_of_few_concerns_it_is_told_that_no_rule_here_judges_them() -> None:
    arising, unjudged = without_a_rule(list(answers().values()))
    assert arising > 10 * len(JOINTS)
    assert unjudged <= arising * 3 // 100


def test_of_few_concerns_no_rule_judges_them_once_all_is_said() -> None:
    said = [all_said(joint["question"], answers()[joint["name"]]) for joint in JOINTS]
    arising, unjudged = without_a_rule(said)
    assert {answer["outcome"] for answer in said if answer["outcome"] in BLOCKED} == {"barred"}
    assert sum(answer["outcome"] in BLOCKED for answer in said) <= MOST
    assert unjudged <= arising * 3 // 100
