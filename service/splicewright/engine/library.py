"""All that the library is asked: it decides each comparison at load, and chains conditions at each question.

The library is a set of C functions that crash or answer wrongly when called in another way than this one.
What is known of it is pinned in `tests/engine/test_library.py`.
"""

from __future__ import annotations

import itertools
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import durable_rules_engine as library
import orjson

from splicewright.engine.fact_encoding import Comparison, Tests, base36, distinct_names
from splicewright.engine.faults import LARGEST_NUMBER, MOST_CHAINED, MOST_PROPERTIES, RulebookTooLarge
from splicewright.engine.finding_set import numbers_of
from splicewright.engine.rule_groups import ConditionFilling, RulePatterns
from splicewright.question.fact_kinds import FactKind, fact_kinds

WARM_UP = "warm"  # the property, and the id, of the fact that fires the first rule of a session
RULE_LENGTH = 3  # of a rule's name
_ID_LENGTH = 4
_SID = "0"  # the one session
MANY = 1000  # facts put to the library at once
_REPEATED = 2  # what asserting a fact gives whose id is there already
_RULE = slice(len('{"'), len('{"') + RULE_LENGTH)  # where a firing's text has the rule
_ID = slice(_RULE.stop + len('":{"a":{"id":"'), _RULE.stop + len('":{"a":{"id":"') + _ID_LENGTH)


def rule_name(number: int) -> str:
    """Give a name for a rule by its number."""
    return base36(number, RULE_LENGTH)


class LibrarySession:
    """One ruleset in the library with its one session, opened when first asked. Not to be forked.

    Each rule is one pattern over one fact, so that the library never joins facts, which it retracts wrongly.
    """

    def __init__(self, patterns: Mapping[str, Mapping[str, Any]]) -> None:
        """Take the pattern of each rule, by a name of `RULE_LENGTH`, as the library reads it."""
        rules = {name: {"all": [{"a": pattern}]} for name, pattern in patterns.items()}
        self.definition = orjson.dumps({WARM_UP: {"all": [{"a": {WARM_UP: 1}}]}, **rules}).decode()
        self._lock = threading.Lock()
        self._handle: int | None = None
        self._state = 0

    def fired(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        """Give what fires when these facts are put: the number of a fact with the name of a rule, each.

        A fact is written as its properties, each with a comma before it: `,"a0":1,"b0":7`. Raises whatever the library
        raises; the session is opened anew then.
        """
        with self._lock:
            try:
                return self._put(facts)
            except BaseException:
                self._abandon()
                raise

    def close(self) -> None:
        """Give back what the library holds. What is asked later opens it anew."""
        with self._lock:
            self._abandon()

    def _put(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        handle = self._open() if self._handle is None else self._handle
        state = self._state
        ids = [base36(number, _ID_LENGTH) for number in range(len(facts))] if len(facts) > 1 else _FIRST
        texts = [f'{{"id":"{rule_id}","sid":"{_SID}"{fact}}}' for rule_id, fact in zip(ids, facts, strict=True)]
        fired: list[tuple[int, str]] = []
        if library.assert_facts(handle, _batch(texts))[0] == _REPEATED:
            raise RuntimeError("the session still holds facts of an earlier question")
        started = library.start_action_for_state(handle, state)
        echo: str | None = started[1] if started else None
        while echo is not None:
            fired.append((int(echo[_ID], 36), echo[_RULE]))
            echo = library.complete_and_start_action(handle, state)
        # In the order of writing: a place in the library's memory that several facts used is cleared with the last.
        library.retract_facts(handle, _batch(map(_retraction, ids)))
        if len(facts) > MANY:
            self._abandon()  # or it would keep the memory that they took
        return fired

    def _open(self) -> int:
        handle: int = library.create_ruleset("splicewright", self.definition)
        try:
            # Deleting a state in which no rule ever fired would take the process down: so one fires now.
            _, self._state = library.assert_fact(handle, f'{{"id":"{WARM_UP}","sid":"{_SID}","{WARM_UP}":1}}')
            library.start_action_for_state(handle, self._state)
            library.complete_and_start_action(handle, self._state)
            library.retract_fact(handle, _retraction(WARM_UP))
        except BaseException:
            library.delete_ruleset(handle)  # the state stays allocated: it may not be deleted yet
            raise
        self._handle = handle
        return handle

    def _abandon(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            try:
                library.delete_state(handle, _SID)  # first: what it holds is lost once the ruleset is gone
            finally:
                library.delete_ruleset(handle)


_FIRST = [base36(0, _ID_LENGTH)]


def _retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{{"id":"{fact_id}","sid":"{_SID}"}}'


def _batch(texts: Iterable[str]) -> str:
    return f"[{','.join(texts)}]"


# --- comparisons, decided at load ----------------------------------------------------------------

#: By fact: for each value tried, coded, None for no value, the comparisons that hold.
Decided = Mapping[str, Mapping[int | None, frozenset[Comparison]]]

_COMPARED_BEHIND_A_GATE = 50  # the library keeps those that hold on a stack of 64
_FACTS_AT_LOAD = 500  # put at once
_GATES_AT_LOAD = 400  # of one ruleset: the library's table of what a fact is tested for first has more places


def decide(patterns: Iterable[Tests]) -> Decided:
    """Have the library decide every comparison of these patterns for every value that it can tell apart."""
    of_facts: dict[str, set[Comparison]] = {}
    for comparison in itertools.chain.from_iterable(itertools.chain.from_iterable(patterns)):
        of_facts.setdefault(comparison.name, set()).add(comparison)
    values = {name: _values(fact_kinds()[name], made) for name, made in of_facts.items()}
    chunks = [
        (name, every[at : at + _COMPARED_BEHIND_A_GATE])
        for name, made in sorted(of_facts.items())
        for every in [sorted(made)]
        for at in range(0, len(every), _COMPARED_BEHIND_A_GATE)
    ]
    found: dict[str, dict[int | None, set[Comparison]]] = {
        name: {value: set() for value in tried} for name, tried in values.items()
    }
    for at in range(0, len(chunks), _GATES_AT_LOAD):
        for name, value, comparison in _decided(chunks[at : at + _GATES_AT_LOAD], values):
            found[name][value].add(comparison)
    return {name: {value: frozenset(held) for value, held in each.items()} for name, each in found.items()}


def _decided(
    chunks: Sequence[tuple[str, Sequence[Comparison]]], values: Mapping[str, Sequence[int | None]]
) -> Iterator[tuple[str, int | None, Comparison]]:
    """Give each comparison that holds, with the fact and its value. Each chunk stands behind a gate of its own."""
    names = distinct_names("vg", WARM_UP)
    prop = next(names)
    gates = list(itertools.islice(names, len(chunks)))
    rules = [(gate, one) for gate, (_, every) in zip(gates, chunks, strict=True) for one in every]
    patterns = {rule_name(at): {"$and": [{gate: 1}, one.written(prop)]} for at, (gate, one) in enumerate(rules)}
    facts = [(gate, name, value) for gate, (name, _) in zip(gates, chunks, strict=True) for value in values[name]]
    session = LibrarySession(patterns)
    try:
        for at in range(0, len(facts), _FACTS_AT_LOAD):
            some = facts[at : at + _FACTS_AT_LOAD]
            texts = [f',"{gate}":1' + ("" if value is None else f',"{prop}":{value}') for gate, _, value in some]
            for fact, rule in session.fired(texts):
                _, name, value = some[fact]
                yield name, value, rules[int(rule, 36)][1]
    finally:
        session.close()


def _values(kind: FactKind, comparisons: Iterable[Comparison]) -> list[int | None]:
    """Give the values that comparisons can tell apart: none, and all words, both flags, or a number of each interval.

    The intervals are told by the whole number that each begins with.
    """
    if kind.words:
        return [None, *range(1, len(kind.words) + 1)]
    if kind.kind == "flag":
        return [None, 0, 1]
    numbers = {comparison.value for comparison in comparisons}
    if kind.open:
        return [None, *sorted(numbers)]
    begins = {-LARGEST_NUMBER, *numbers, *(number + 1 for number in numbers if number < LARGEST_NUMBER)}
    return [None, *sorted(begins)]


# --- conditions, chained at each question --------------------------------------------------------

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


class _Form(NamedTuple):
    """How one fact of a round is written: what always stands in it, and each rule and condition, behind commas."""

    gates: str
    rules: int  # as bits
    texts: Mapping[int, str]  # of rules, by number
    conditions: int  # as bits
    condition_texts: Mapping[int, str]  # by place

    def written(self, waiting: int, held: int) -> str:
        """Write the fact of a round."""
        rules = [self.texts[number] for number in numbers_of(waiting & self.rules)]
        conditions = [self.condition_texts[place] for place in numbers_of(held & self.conditions)]
        return "".join([self.gates, *rules, *conditions])


class ConditionChain:
    """Which rules conclude what, round by round, until nothing new follows: rules and facts as the library reads them.

    A round puts one fact: it has a property for each condition that holds, and one for each rule that concludes
    something, whose other patterns are met, and that has not fired yet. The library's rules say what fires on it. The
    first round is of the rules that test no condition, each later one of those that test a condition which is new:
    nothing else can fire. What one fact may carry, and what the library's stack takes, is bounded: many rules are
    spread over several facts.
    """

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
        {number: _text(prop) for number, prop in sheet.rules.items()},
        sum(1 << place for place in sheet.conditions),
        {place: _text(prop) for place, prop in sheet.conditions.items()},
    )


def _text(prop: str) -> str:
    return f',"{prop}":1'
