"""What is probably not meant in valid rules: near misses that prove nothing, demands nobody meets, copies, quarrels."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from splicewright.answering.chooser import Chooser
from splicewright.catalogue import Catalogue
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.engine import Engine
from splicewright.question.facts import facts_of
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Refused
from splicewright.rulebook import Rule, Rulebook
from splicewright.rulebook.attributes import OF_JOINT
from splicewright.rulebook.examples import example_question
from splicewright.rulebook.model import FactValue, ListingTest, Pattern


def notes_of_all(chooser: Chooser, laid: Iterable[tuple[str, Sequence[str]]], catalogue: Catalogue) -> list[RuleNote]:
    """Look through all rules of each code edition, and those of each amendment as it is `laid` last over one."""
    found: dict[RuleNote, None] = {}
    fit = chooser.holding.files.amendments.fit
    for code in CODES:
        found |= dict.fromkeys(rule_notes(chooser.holding.rulebook(code).rules, (), code, catalogue))
    for code, names in laid:
        own = fit[names[-1]].rules
        others = chooser.holding.rulebook(code, names[:-1]).rules
        found |= dict.fromkeys(rule_notes(own, others, code, catalogue))
    return sorted(found)


class RuleNote(NamedTuple):
    """One thing to look at again: where, what, and what to write instead."""

    file: str
    line: int
    rule: str
    says: str
    write: str

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        return self._asdict()


def rule_notes(rules: Sequence[Rule], others: Iterable[Rule], code: str, catalogue: Catalogue) -> Iterator[RuleNote]:
    """Look through rules that are valid. `others` are those beside them, `code` the edition that they are tried under.

    A near miss proves a test where the rule fires on it once that test is left out (judged for rules that wait for no
    condition), or where it is one thing of a question away from one on which the rule fires.
    """
    others = tuple(others)
    known = {_done(rule): rule.id for rule in others}
    index = ConnectorIndex(catalogue)
    leaving = [_Leaving.of(rule, index) for rule in others]
    for rule in rules:
        yield from _idle_misses(rule, code)
        yield from _unmet(rule, index)
        yield from _repeated(rule)
        same = known.setdefault(_done(rule), rule.id)
        if same != rule.id:
            says = f"does on the same joints what {same} does already"
            yield RuleNote(rule.file, rule.line, rule.id, says, f"leave it out, or write replaces: {same}")
        own = _Leaving.of(rule, index)
        for other in leaving:
            if own.contradicts(other):
                wider = "on the same joints" if own.when == other.when else "wherever the narrower of them fires"
                says = f"with {other.rule.id} it leaves no connector of the catalogue {catalogue.name}, {wider}"
                yield RuleNote(rule.file, rule.line, rule.id, says, "let them take different joints, or leave one out")
        leaving.append(own)


def _done(rule: Rule) -> tuple[Any, ...]:
    """Give what a rule does on which joints; a caution does what it says."""
    return rule.does, rule.says if rule.effect.kind == "caution" else None


def _idle_misses(rule: Rule, code: str) -> Iterator[RuleNote]:
    if any(pattern.scope == "condition" for pattern in rule.when) or rule.effect.kind in ("refuse", "defect", "ask"):
        return
    looser = list(_looser(rule))
    if rule.effect.kind == "tolerance" or not looser:
        return
    engines = [Engine(Rulebook(code, (one,), "")) for one in looser]
    try:
        for at, partial in enumerate(rule.silent):
            one_off = any(_differing(partial, other) == 1 for other in rule.fires)
            if not one_off and not _fires_once_looser(partial, code, engines):
                says = f"examples/silent/{at}: fails by more than one test, so that it proves none of them"
                write = "change one thing of a question on which the rule fires"
                yield RuleNote(rule.file, rule.line_of(f"examples/silent/{at}"), rule.id, says, write)
    finally:
        for engine in engines:
            engine.close()


def _repeated(rule: Rule) -> Iterator[RuleNote]:
    for group, partials in (("fires", rule.fires), ("silent", rule.silent)):
        for at, partial in enumerate(partials):
            if (first := partials.index(partial)) < at:
                part = f"examples/{group}/{at}"
                says = f"{part}: asks what examples/{group}/{first} asks already"
                yield RuleNote(rule.file, rule.line_of(part), rule.id, says, "leave it out, or ask something else")


def _fires_once_looser(partial: Mapping[str, Any], code: str, engines: Iterable[Engine]) -> bool:
    try:
        facts = facts_of(example_question(partial, code).question)
    except Refused:
        return True  # told as a fault
    return any(engine.firings(facts) for engine in engines)


def _differing(one: Any, other: Any) -> int:
    """Count the things in which two partial questions differ."""
    if isinstance(one, Mapping) or isinstance(other, Mapping):
        ours, theirs = (each if isinstance(each, Mapping) else {} for each in (one, other))
        return sum(_differing(ours.get(key), theirs.get(key)) for key in {*ours, *theirs})
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return sum(map(_differing, one, other))
    return int(one != other)


def _looser(rule: Rule) -> Iterator[Rule]:
    """Give the rule with each of its tests left out."""
    for at, pattern in enumerate(rule.when):
        for left_out in pattern.tests:
            tests = tuple(test for test in pattern.tests if test is not left_out)
            kept = (Pattern(pattern.scope, tests),) if tests else ()
            yield replace(rule, when=(*rule.when[:at], *kept, *rule.when[at + 1 :]))


class _Leaving(NamedTuple):
    """The connectors that a rule leaves where it fires, as bits of an index, and the patterns that it fires on.

    None where it takes none away. What a demand asks of the joint or by a fact of it may take away more.
    """

    rule: Rule
    left: int | None
    when: Counter[Pattern]

    @classmethod
    def of(cls, rule: Rule, index: ConnectorIndex) -> _Leaving:
        """Give what a bar on methods or a demand leaves of a catalogue."""
        left = None
        if rule.effect.kind == "bar" and rule.effect.methods:
            left = index.everything & ~index.of_methods(rule.effect.methods)
        elif rule.effect.kind == "demand":
            left = index.passing_all(_of_listing(rule))
        return cls(rule, left, Counter(rule.when))

    def contradicts(self, other: _Leaving) -> bool:
        """Tell whether one fires wherever the other does, and no connector is left by both while each leaves some."""
        if not self.left or not other.left or self.left & other.left:
            return False
        return self.when <= other.when or other.when <= self.when


def _of_listing(rule: Rule) -> list[ListingTest]:
    """Give the tests of a rule that a listing alone passes or fails."""
    return [
        test
        for test in rule.effect.tests
        if test.attribute not in OF_JOINT and not any(isinstance(value, FactValue) for value in test.values)
    ]


def _unmet(rule: Rule, index: ConnectorIndex) -> Iterator[RuleNote]:
    tests = _of_listing(rule)
    if rule.effect.kind in ("demand", "prefer") and tests and not index.passing_all(tests):
        asked = ", ".join(sorted({test.attribute for test in tests}))
        name = index.catalogue.name
        says = f"no connector of the catalogue {name} passes what it asks of {asked}"
        yield RuleNote(rule.file, rule.line, rule.id, says, "ask what some connector has, or bar the joint")
