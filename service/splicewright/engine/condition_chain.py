"""Chains conditions: which rules conclude what, round by round, until nothing new follows. The library decides.

A round puts one fact: it has a property for each condition that holds, and one for each rule that concludes something,
whose other patterns are met, and that has not fired yet. The library's rules say what fires on it. The first round is
of the rules that test no condition, each later one of those that test a condition which is new: nothing else can fire.
What one fact may carry, and what the library's stack takes, is bounded: many rules are spread over several facts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.engine.fact_encoding import distinct_names
from splicewright.engine.faults import MOST_CHAINED, MOST_PROPERTIES, RulebookTooLarge
from splicewright.engine.fired_rules import numbers_of
from splicewright.engine.library_session import WARM_UP, rule_name
from splicewright.engine.rule_groups import ConditionFilling, RulePatterns

_BEHIND_A_GATE = 24  # patterns; together with the gates, no more wait at once than the library's stack of 64 takes
_GATES = 30  # of one fact

Fired = Sequence[tuple[int, str]]  # numbers of facts, with the names of the rules that fire on them


@dataclass(slots=True)
class _Sheet:
    """What one fact of a round may carry: its gates, and rules and conditions by number with their properties."""

    gates: list[str] = field(default_factory=list)
    behind: int = _BEHIND_A_GATE  # the last gate
    rules: dict[int, str] = field(default_factory=dict)
    conditions: dict[int, str] = field(default_factory=dict)

    def takes(self, rule: int, choice: ConditionFilling) -> bool:
        """Say whether one more pattern finds room."""
        more = (rule not in self.rules) + sum(place not in self.conditions for place in choice.places)
        count = 2 + _GATES + len(self.rules) + len(self.conditions)
        return count + more <= MOST_PROPERTIES and (self.behind < _BEHIND_A_GATE or len(self.gates) < _GATES)


@dataclass(frozen=True, slots=True)
class _Form:
    """How one fact of a round is written: what always stands in it, and each rule and condition, behind commas."""

    gates: str
    rules: int  # as bits
    texts: tuple[tuple[int, str], ...]  # of rules, by bit
    conditions: tuple[tuple[int, str], ...]

    def written(self, waiting: int, held: int) -> str:
        """Write the fact of a round."""
        rules = [text for bit, text in self.texts if waiting & bit]
        return "".join([self.gates, *rules, *[text for bit, text in self.conditions if held & bit]])


class ConditionChain:
    """The rules that conclude, as the library reads them, and the facts that are put to them."""

    def __init__(self, rules: Mapping[int, RulePatterns]) -> None:
        """Take the rules that conclude, by number. Raises RulebookTooLarge, naming the rule."""
        self.concluding = sum(1 << number for number in rules)
        self.patterns: dict[str, dict[str, Any]] = {}
        self._concluded: dict[str, tuple[int, int]] = {}  # by name: the rule and its condition, as bits
        sheets: list[_Sheet] = []
        names = distinct_names("abcdefgh", WARM_UP)
        for number, rule in rules.items():
            concludes = 1 << (rule.concludes or 0)
            for choice in rule.choices:
                if len(self.patterns) >= MOST_CHAINED:
                    raise RulebookTooLarge(
                        rule.rule.id,
                        f"its conditions are one of more than {MOST_CHAINED} ways to conclude; share conditions",
                    )
                name = rule_name(len(self.patterns))
                self.patterns[name] = _pattern(sheets, number, choice, names)
                self._concluded[name] = (1 << number, concludes)
        self._unconditional = sum(
            1 << number for number, rule in rules.items() if () in [x.places for x in rule.choices]
        )
        self._testing = {
            place: sum(1 << number for number, rule in rules.items() if any(place in x.places for x in rule.choices))
            for place in range(max((rule.concludes or 0 for rule in rules.values()), default=0) + 1)
        }
        self._forms = [_form(sheet) for sheet in sheets]

    def chained(self, met: int, ask: Callable[[Sequence[str]], Fired]) -> tuple[int, int]:
        """Give the rules that fire, of those of which all other patterns are met, and the conditions that then hold.

        `ask` puts facts to a session of the library over `patterns`.
        """
        fired = held = 0
        waiting = met & self._unconditional
        while waiting:
            before = held
            for _, name in ask([form.written(waiting, held) for form in self._forms if form.rules & waiting]):
                rule, condition = self._concluded[name]
                fired |= rule
                held |= condition
            waiting = 0
            for place in numbers_of(held & ~before):
                waiting |= self._testing[place]
            waiting &= met & ~fired
        return fired, held


def _pattern(sheets: list[_Sheet], rule: int, choice: ConditionFilling, names: Iterator[str]) -> dict[str, Any]:
    """Write a rule with one choice of conditions: its gate, its own property, and that of each condition."""
    if not sheets or not sheets[-1].takes(rule, choice):
        sheets.append(_Sheet())
    sheet = sheets[-1]
    if sheet.behind == _BEHIND_A_GATE:
        sheet.gates.append(next(names))
        sheet.behind = 0
    sheet.behind += 1
    props = [sheet.gates[-1], _named(sheet.rules, rule, names)]
    props += [_named(sheet.conditions, place, names) for place in choice.places]
    return {"$and": [{prop: 1} for prop in props]}


def _named(known: dict[int, str], number: int, names: Iterator[str]) -> str:
    if number not in known:
        known[number] = next(names)
    return known[number]


def _form(sheet: _Sheet) -> _Form:
    return _Form(
        "".join(map(_text, sheet.gates)),
        sum(1 << number for number in sheet.rules),
        tuple((1 << number, _text(prop)) for number, prop in sheet.rules.items()),
        tuple((1 << place, _text(prop)) for place, prop in sheet.conditions.items()),
    )


def _text(prop: str) -> str:
    return f',"{prop}":1'
