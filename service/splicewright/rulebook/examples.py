"""Examples: partial questions laid over a plain one (two 12 AWG solid copper ends in a dry box).

Those of rules that speak of proposed splices hold a `proposal` too, which names a method, never a connector.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from splicewright.faults import Fault
from splicewright.question.facts import facts_of
from splicewright.question.proposal import Proposal, read_proposal
from splicewright.question.read import ParsedQuestion, read_question
from splicewright.refusals import Problem, Refused, Says
from splicewright.rulebook.model import Rule, Test

_COMPARED: Mapping[str, Callable[[Any, Any], bool]] = {
    "at-least": operator.ge,
    "at-most": operator.le,
    "above": operator.gt,
    "below": operator.lt,
    "other-than": operator.ne,
}
_BY_EDITION = {
    "code": "is each edition that the rule is for",
    "amendments": "are those that the rule is tried with",
}
PLAIN = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


def example_question(partial: Mapping[str, Any], code: str) -> ParsedQuestion:
    """Lay a partial question over the plain one. Raises `Refused` where the result is no question.

    `conductor: {…}` changes the plain joint's conductors; `joint: {…}` replaces its parts; `proposal` is left out.
    """
    given, change = partial.get("joint", {}), partial.get("conductor", {})
    conductors = given.get("conductors", PLAIN["joint"]["conductors"]) if isinstance(given, Mapping) else None
    wrong = [Problem(f"/{key}", f"{_BY_EDITION[key]}; leave it out") for key in _BY_EDITION if key in partial]
    wrong += [Problem("/joint", "must be a map of its parts")] if not isinstance(given, Mapping) else []
    wrong += [Problem("/conductor", "must be a map of a conductor's leaves")] if not isinstance(change, Mapping) else []
    if wrong:
        raise Refused(wrong)
    joint = {**PLAIN["joint"], **given}
    if change and isinstance(conductors, list):
        joint["conductors"] = [{**one, **change} if isinstance(one, Mapping) else one for one in conductors]
    rest = {key: value for key, value in partial.items() if key not in ("joint", "conductor", "proposal")}
    asked = read_question({**rest, "code": code, "joint": joint})
    if asked.read_as:  # rules are read by people who learn the words from them
        raise Refused([Problem(one.pointer, f"write {one.taken!r}, not {one.sent!r}") for one in asked.read_as])
    return asked


def example_proposal(partial: Mapping[str, Any]) -> Proposal:
    """Read the proposal of a partial question. Raises `Refused` where there is none, or it names a connector."""
    if "proposal" not in partial:
        raise Refused([Problem("/proposal", "is required: the rule speaks of proposed splices")])
    found = read_proposal(partial["proposal"])
    if found.connector is not None or found.method is None:
        raise Refused([Problem("/proposal/connector", "rules name no connector; write its method")])
    return found


def failing_examples(rules: Iterable[Rule], code: str, fired: Callable[[ParsedQuestion], set[str]]) -> Iterator[Fault]:
    """Run the examples of rules under one code edition and give a fault for each that does not do as it says.

    `fired` gives the ids of all rules that fire on a question.
    """

    def fires(rule: Rule, partial: Mapping[str, Any]) -> bool:
        if "proposal" in partial:
            raise Refused([Problem("/proposal", "is only for rules that speak of proposed splices")])
        return rule.id in fired(example_question(partial, code))

    return _failing(rules, code, fires)


def failing_proposals(
    rules: Iterable[Rule], code: str, spoke: Callable[[ParsedQuestion, Proposal], set[str]]
) -> Iterator[Fault]:
    """Do the same for rules on proposed splices. `spoke` gives the ids of those that speak of a proposal."""

    def fires(rule: Rule, partial: Mapping[str, Any]) -> bool:
        return rule.id in spoke(example_question(partial, code), example_proposal(partial))

    return _failing(rules, code, fires)


def _told(rule: Rule, partial: Mapping[str, Any], code: str) -> str:
    """Tell what keeps a rule silent, of the tests of single facts: `place.exposure is dry there`."""
    facts = facts_of(example_question(partial, code).question)
    for test in (test for pattern in rule.when if pattern.scope == "single" for test in pattern.tests):
        value = facts.value(test.name)
        if value is None or value == ():
            return f": {test.name} has no value there"
        if not _passes(test, value):
            return f": {test.name} is {facts.text(test.name)} there"
    return ""


def _passes(test: Test, value: Any) -> bool:
    wanted = test.values[0]
    if test.operator == "any-of":
        return any(one in test.values for one in (value if isinstance(value, tuple) else (value,)))
    return bool(_COMPARED[test.operator](value, wanted))


def _failing(rules: Iterable[Rule], code: str, fires: Callable[[Rule, Mapping[str, Any]], bool]) -> Iterator[Fault]:
    for rule in rules:
        for wanted, partials in (("fires", rule.fires), ("silent", rule.silent)):
            for at, partial in enumerate(partials):
                says = _fault_of(rule, partial, code, fires, should_fire=wanted == "fires")
                if says:
                    part = f"examples/{wanted}/{at}"
                    yield Fault(rule.file, rule.line_of(part), rule.id, says.within(f"{part}: "))


def _fault_of(
    rule: Rule,
    partial: Mapping[str, Any],
    code: str,
    fires: Callable[[Rule, Mapping[str, Any]], bool],
    *,
    should_fire: bool,
) -> Says | None:
    try:
        if fires(rule, partial) is should_fire:
            return None
    except Refused as error:
        nearest = error.problems[0].says.nearest if isinstance(error.problems[0].says, Says) else None
        return Says(f"is no question: {error}", "not-valid", nearest)
    says = f"the rule is silent on it{_told(rule, partial, code)}" if should_fire else "the rule fires on it"
    return Says(says, "not-valid")
