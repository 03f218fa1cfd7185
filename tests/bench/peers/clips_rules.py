"""The rules in CLIPS: one fact for all single facts, one a conductor, one a condition concluded.

It is fed through its fact builders (its own parser takes ten times as long as all the matching), and a rule that fires
adds a few words to one text (asserting a finding for each, and reading those back, takes longer).
"""

from __future__ import annotations

import re
import weakref
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import clips
from clips._clips import ffi, lib

from splicewright.question.fact_kinds import Value, fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Pattern, Rule, Test
from tests.bench.peers.levels import filling, of_scope
from tests.oracle.plain import Fired
from tests.question.leaves import words_of

_OPERATORS = {"at-least": ">=", "at-most": "<=", "above": ">", "below": "<"}
_FLAGS = {True: "yes", False: "no"}
_WORD = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")


class Clips:
    """The rules in one CLIPS environment, reset for each question."""

    name = "CLIPS"
    tells_conditions = True

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._environment = clips.Environment()
        self._env = self._environment._env  # noqa: SLF001 - what fact builders take; it has no other name
        words = sorted({*_FLAGS.values(), *(str(word) for kind in fact_kinds().values() for word in words_of(kind))})
        self._environment.build('(defglobal ?*fired* = "")')
        # It never fires; its words stay known to CLIPS as long as it stands, so that they may be held from here.
        self._environment.build(f"(defrule words (never) => (create$ {' '.join(map(_word, words))}))")
        self._words = {word: self._symbol(word) for word in words}
        self._single = self._template("single", rules, "")
        self._conductor = self._template("conductor", rules, "(slot at)")
        for number, rule in enumerate(rules):
            self._environment.build(_defrule(number, rule))
        self._made = _Made(rules)
        self._number, self._several, self._text = (ffi.new("CLIPSValue *") for _ in range(3))
        self._list = lib.CreateMultifieldBuilder(self._env, 16)
        weakref.finalize(self, _dispose, self._environment, (self._single, self._conductor), self._list)

    def ask(self, facts: Facts) -> list[Fired]:
        env, builder = self._env, self._conductor.builder
        lib.Reset(env)
        self._fill(self._single, facts.single)
        lib.FBAssert(self._single.builder)
        for at, conductor in enumerate(facts.conductors):
            self._fill(self._conductor, conductor)
            self._number.integerValue = lib.CreateInteger(env, at)
            lib.FBPutSlot(builder, b"at", self._number)
            lib.FBAssert(builder)
        lib.Run(env, -1)
        lib.Eval(env, b"?*fired*", self._text)
        made = self._made
        return [made[each] for each in ffi.string(self._text.lexemeValue.contents).split(b";")[:-1]]

    def fired(self, answer: list[Fired]) -> Iterable[Fired]:
        return answer

    def _fill(self, template: _Template, facts: Mapping[str, Value]) -> None:
        words, put, builder = self._words, lib.FBPutSlot, template.builder
        for name, slot in template.slots:
            value = facts.get(name)
            if value is None:
                continue
            if isinstance(value, str):
                put(builder, slot, words[value])
            elif isinstance(value, bool):
                put(builder, slot, words[_FLAGS[value]])
            elif isinstance(value, int):
                self._number.integerValue = lib.CreateInteger(self._env, value)
                put(builder, slot, self._number)
            else:
                lib.MBReset(self._list)
                for word in value:
                    lib.MBAppend(self._list, words[word])
                self._several.multifieldValue = lib.MBCreate(self._list)
                put(builder, slot, self._several)

    def _symbol(self, word: str) -> Any:
        value = ffi.new("CLIPSValue *")
        value.lexemeValue = lib.CreateSymbol(self._env, word.encode())
        return value

    def _template(self, scope: str, rules: Sequence[Rule], more: str) -> _Template:
        names = sorted({test.name for rule in rules for one in of_scope(rule)[scope] for test in one.tests})
        kinds = ("multislot" if fact_kinds()[name].kind == "words" else "slot" for name in names)
        slots = " ".join(f"({kind} {name})" for kind, name in zip(kinds, names, strict=True))
        self._environment.build(f"(deftemplate {scope} {more} {slots})")
        return _Template(lib.CreateFactBuilder(self._env, scope.encode()), [(name, name.encode()) for name in names])


PEER = Clips


class _Template:
    """A fact builder and the slots that some rule tests."""

    def __init__(self, builder: Any, slots: list[tuple[str, bytes]]) -> None:
        self.builder = builder
        self.slots = slots


def _dispose(_environment: clips.Environment, templates: Iterable[_Template], words: Any) -> None:
    """Give back what must go before its environment, which is kept until now."""
    for template in templates:
        lib.FBDispose(template.builder)
    lib.MBDispose(words)


class _Made(dict[bytes, Fired]):
    """Firings by what a rule wrote: its number, the conductors, and the words of the conditions."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        super().__init__()
        self._rules = rules

    def __missing__(self, written: bytes) -> Fired:
        number, *rest = written.decode().split()
        rule = self._rules[int(number)]
        scopes = of_scope(rule)
        count = len(scopes["conductor"])
        keys = [filling(one)[0][0] for one in scopes["condition"]]
        fired = (rule.id, tuple(map(int, rest[:count])), tuple(zip(keys, rest[count:], strict=True)))
        self[written] = fired
        return fired


def _defrule(number: int, rule: Rule) -> str:
    scopes = of_scope(rule)
    left: list[str] = []
    if scopes["single"]:
        left.append(f"(single {_slots([test for one in scopes['single'] for test in one.tests], 's')})")
    for at, one in enumerate(scopes["conductor"]):
        others = "".join(f"&~?conductor{other}" for other in range(at))
        left.append(f"(conductor (at ?conductor{at}{others}) {_slots(one.tests, f'c{at}-')})")
    left += [_condition(scopes["condition"], at) for at in range(len(scopes["condition"]))]
    bound = [f"?conductor{at}" for at in range(len(scopes["conductor"]))]
    bound += [f"?word{at}" for at in range(len(scopes["condition"]))]
    written = " ".join([f'"{number}"', *(f'" " {name}' for name in bound), '";"'])
    right = f"(bind ?*fired* (str-cat ?*fired* {written}))"
    if rule.effect.concludes:
        key, word = rule.effect.concludes
        right += f" (assert (condition {_word(key)} {_word(word)}))"
    return f"(defrule rule{number} {' '.join(left)} => {right})"


def _condition(patterns: Sequence[Pattern], at: int) -> str:
    """Write a pattern on conditions; of an earlier one of the same key it must match another word."""
    pairs = filling(patterns[at])
    key = pairs[0][0]
    others = "".join(f"&~?word{other}" for other in range(at) if filling(patterns[other])[0][0] == key)
    return f"(condition {_word(key)} ?word{at}&{'|'.join(f'{_word(word)}{others}' for _, word in pairs)})"


def _slots(tests: Sequence[Test], prefix: str) -> str:
    by_name: dict[str, list[Test]] = {}
    for test in tests:
        by_name.setdefault(test.name, []).append(test)
    return " ".join(f"({name} {_constraint(some, f'{prefix}{at}')})" for at, (name, some) in enumerate(by_name.items()))


def _constraint(tests: Sequence[Test], variable: str) -> str:
    """Write all tests of one slot as one constraint. A slot without a value holds `nil`, or nothing for words."""
    if fact_kinds()[tests[0].name].kind == "words":
        among = (" ".join(f"(member$ {_word(word)} ?{variable})" for word in test.values) for test in tests)
        return f"$?{variable}" + "".join(f"&:(or {each} FALSE)" for each in among)
    if len(tests) == 1 and tests[0].operator == "any-of":
        return "|".join(map(_word, tests[0].values))
    if len(tests) == 1 and tests[0].operator == "other-than":
        return f"~{_word(tests[0].values[0])}&~nil"
    return f"?{variable}" + "".join(f"&:{_predicate(test, variable)}" for test in tests)


def _predicate(test: Test, variable: str) -> str:
    if test.operator == "any-of":
        return f"(or {' '.join(f'(eq ?{variable} {_word(value)})' for value in test.values)} FALSE)"
    if test.operator == "other-than":
        return f"(neq ?{variable} {_word(test.values[0])} nil)"
    return f"(and (integerp ?{variable}) ({_OPERATORS[test.operator]} ?{variable} {test.values[0]}))"


def _word(value: str | int | bool) -> str:
    if isinstance(value, bool):
        return _FLAGS[value]
    if isinstance(value, str) and not _WORD.fullmatch(value):
        raise ValueError(f"{value!r} is no plain word to CLIPS")
    return str(value)
