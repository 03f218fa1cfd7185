"""Examples: partial questions laid over a plain one (two 12 AWG solid copper ends in a dry box)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from splicewright.question.model import Asked
from splicewright.question.read import read_question
from splicewright.reading import Refused
from splicewright.rulebook.loader import Fault
from splicewright.rulebook.model import Rule

PLAIN = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


def example_question(partial: Mapping[str, Any], code: str) -> Asked:
    """Lay a partial question over the plain one. Raises `Refused` where the result is no question.

    `conductor: {…}` changes the plain joint's conductors; `joint: {…}` replaces its parts.
    """
    joint = {**PLAIN["joint"], **partial.get("joint", {})}
    change = partial.get("conductor")
    if change is not None:
        joint["conductors"] = [{**one, **change} for one in joint["conductors"]]
    rest = {key: value for key, value in partial.items() if key not in ("joint", "conductor")}
    return read_question({**rest, "code": code, "joint": joint})


def edition_for(rule: Rule, editions: list[str]) -> str:
    """Give the newest code edition (of `editions`, such as `nfpa70-2023`) that the rule holds for."""
    first, last = rule.editions
    fitting = [
        code
        for code in editions
        if (rule.code in (None, code.partition("-")[0]))
        and (first is None or int(code.partition("-")[2]) >= first)
        and (last is None or int(code.partition("-")[2]) <= last)
    ]
    return max(fitting)


def failing_examples(rules: Iterable[Rule], code: str, fired: Callable[[Asked], set[str]]) -> Iterator[Fault]:
    """Run the examples of rules under one code edition and give a fault for each that does not do as it says.

    `fired` gives the ids of all rules that fire on a question.
    """
    for rule in rules:
        for wanted, partials in (("fires", rule.fires), ("silent", rule.silent)):
            for at, partial in enumerate(partials):
                says = _fault_of(rule.id, partial, code, fired, should_fire=wanted == "fires")
                if says:
                    yield Fault(rule.file, rule.line, rule.id, f"examples/{wanted}/{at}: {says}")


def _fault_of(
    rule_id: str,
    partial: Mapping[str, Any],
    code: str,
    fired: Callable[[Asked], set[str]],
    *,
    should_fire: bool,
) -> str | None:
    try:
        asked = example_question(partial, code)
    except Refused as error:
        return f"is no question: {error}"
    if (rule_id in fired(asked)) is should_fire:
        return None
    return "the rule is silent on it" if should_fire else "the rule fires on it"
