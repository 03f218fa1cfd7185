"""Every small change of one rule that a slip of the hand could make: its conditions, and what it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.question.vocabulary import SIGNS
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.model import Effect, FactValue, ListingTest, Operator, Pattern, Rule, Test
from tests.rules.domain import beside, known_with, same, stepped

Concluded = Mapping[str, tuple[str, ...]]  # condition -> the words that some rule concludes for it

_TURNED: dict[str, Operator] = {"at-least": "below", "below": "at-least", "at-most": "above", "above": "at-most"}


@dataclass(frozen=True)
class Mutant:
    """A rule with one thing changed, and what was changed."""

    rule: Rule
    what: str


# --- when ----------------------------------------------------------------------------


def of_when(rule: Rule, concluded: Concluded) -> Iterator[Mutant]:
    """Give every mutant of a rule's conditions, leaving out those that no question could tell from the rule."""
    for at, pattern in enumerate(rule.when):
        here = f"when/{at}"
        if not _holds_anyway(rule, pattern):
            without = (*rule.when[:at], *rule.when[at + 1 :])
            yield Mutant(replace(rule, when=without), f"{here}: {_told(pattern)} dropped")
        for place, test in enumerate(pattern.tests):
            others = (pattern.tests[:place], pattern.tests[place + 1 :])
            words = concluded.get(test.name.partition(".")[2], ()) if pattern.scope == "condition" else ()
            for changed, what in _of_test(test, words, alone=len(pattern.tests) == 1):
                if not same((test,), changed, words, _known(rule, test)):
                    mutated = pattern._replace(tests=(*others[0], *changed, *others[1]))
                    yield Mutant(
                        replace(rule, when=(*rule.when[:at], mutated, *rule.when[at + 1 :])),
                        f"{here}/{test.name}: {what}",
                    )


def _known(rule: Rule, test: Test) -> frozenset[str]:
    """Give the facts that have a value wherever the other tests of a rule are true; of a conductor, of the same one."""
    of_rule = {each.name for pattern in rule.when for each in pattern.tests if each is not test}
    beside = {each.name for pattern in rule.when if test in pattern.tests for each in pattern.tests if each is not test}
    found = known_with(beside if test.name.startswith("conductor.") else of_rule)
    return frozenset(name for name in found if name.startswith("conductor.") <= test.name.startswith("conductor."))


def _holds_anyway(rule: Rule, pattern: Pattern) -> bool:
    """Tell whether a pattern of single facts holds wherever the others do; one of a conductor asks for a conductor."""
    return pattern.scope == "single" and all(same((test,), (), known=_known(rule, test)) for test in pattern.tests)


def _of_test(test: Test, words: tuple[str, ...], *, alone: bool) -> Iterator[tuple[tuple[Test, ...], str]]:
    if not alone:
        yield (), f"{_comparison(test)} dropped"
    kind = fact_kinds().get(test.name)
    yield from _turned(test, words or kind.words if kind else words)
    if kind is None or kind.words:
        known = words or (kind.words if kind else ())
        yield from _words_changed(test, known)
    elif kind.kind != "flag":
        for value in test.values:
            for moved in stepped(test.name, int(value)):
                values = tuple(moved if each == value else each for each in test.values)
                yield (test._replace(values=values),), f"{value} moved to {moved}"


def _words_changed(test: Test, known: Sequence[str]) -> Iterator[tuple[tuple[Test, ...], str]]:
    """Leave out each word in turn; add each word that stands next to one of them in the vocabulary's order."""
    if test.operator == "other-than":
        return
    if len(test.values) > 1:
        for word in test.values:
            rest = tuple(each for each in test.values if each != word)
            yield (test._replace(values=rest),), f"{word} left out"
    at = {known.index(str(word)) for word in test.values}
    for place in sorted({each + by for each in at for by in (-1, 1)} - at):
        if 0 <= place < len(known):
            yield (test._replace(values=(*test.values, known[place])),), f"{known[place]} let in"


def _turned(test: Test, known: Sequence[str]) -> Iterator[tuple[tuple[Test, ...], str]]:
    if test.operator in _TURNED:
        operator = _TURNED[test.operator]
        yield (test._replace(operator=operator),), f"{test.operator} turned to {operator}"
    elif test.operator == "other-than":
        yield (test._replace(operator="any-of"),), "other-than turned to equal"
    elif known:
        rest = tuple(word for word in known if word not in test.values)
        if rest:
            yield (test._replace(values=rest),), f"{_comparison(test)} turned to every other word"
    elif isinstance(test.values[0], bool):
        yield (test._replace(values=(not test.values[0],)),), f"{test.values[0]} turned"
    else:
        yield tuple(test._replace(operator="other-than", values=(each,)) for each in test.values), "turned to others"


def _told(pattern: Pattern) -> str:
    return ", ".join(f"{test.name} {_comparison(test)}" for test in pattern.tests)


def _comparison(test: Test) -> str:
    return f"{test.operator} {', '.join(map(str, test.values))}"


# --- what it does --------------------------------------------------------------------


def of_effect(rule: Rule, concluded: Concluded) -> Iterator[Mutant]:
    """Give every mutant of what a rule concludes, asks, prefers or bars."""
    effect = rule.effect
    if effect.concludes:
        key, word = effect.concludes
        for other in (*(each for each in concluded[key] if each != word), "nothing"):
            yield _doing(rule, effect._replace(concludes=(key, other)), f"conclude: {word} turned to {other}")
    if effect.kind == "bar" and len(effect.methods) > 1:
        for method in effect.methods:
            rest = tuple(each for each in effect.methods if each != method)
            yield _doing(rule, effect._replace(methods=rest), f"bar: {method} left out")
    yield from _of_proposals(rule)
    for at, test in enumerate(effect.tests):
        before, after = effect.tests[:at], effect.tests[at + 1 :]
        if len(effect.tests) > 1:
            yield _doing(rule, effect._replace(tests=(*before, *after)), f"{effect.kind}/{test.attribute} dropped")
        for changed, what in _of_listing_test(test, ATTRIBUTES[test.attribute]):
            yield _doing(
                rule,
                effect._replace(tests=(*before, changed, *after)),
                f"{effect.kind}/{test.attribute}: {what}",
            )


def _of_proposals(rule: Rule) -> Iterator[Mutant]:
    effect = rule.effect
    if effect.kind in OF_PROPOSALS and effect.methods:
        yield _doing(rule, effect._replace(methods=()), f"{effect.kind}: methods dropped")
    if effect.sign:
        known = list(SIGNS)
        other = known[(known.index(effect.sign) + 1) % len(known)]
        yield _doing(rule, effect._replace(sign=other), f"defect: {effect.sign} turned to {other}")
    if effect.said and effect.said[1] is not None:
        word, wanted = effect.said
        yield _doing(rule, effect._replace(said=(word, not wanted)), f"defect: {word} {wanted} turned")
        yield _doing(rule, effect._replace(said=(word, None)), f"defect: {word} whatever it says")


def _doing(rule: Rule, effect: Effect, what: str) -> Mutant:
    return Mutant(replace(rule, effect=effect), what)


def _of_listing_test(test: ListingTest, kind: FactKind) -> Iterator[tuple[ListingTest, str]]:
    words = [each for each in test.values if not isinstance(each, FactValue)]
    if len(words) > 1:
        for word in words:
            yield test._replace(values=tuple(each for each in words if each != word)), f"{word} left out"
    if test.operator in _TURNED:
        yield test._replace(operator=_TURNED[test.operator]), f"{test.operator} turned"
    elif test.operator == "other-than":
        yield test._replace(operator="any-of"), "other-than turned to equal"
    elif kind.kind == "flag":
        yield test._replace(values=(not test.values[0],)), f"{test.values[0]} turned"
    elif words:
        rest = tuple(each for each in kind.words if each not in words)
        operator = "includes-any" if kind.kind == "words" else test.operator
        yield test._replace(operator=operator, values=rest), f"{words} turned to every other word"
    if kind.kind not in ("flag", "word", "words"):
        for value in words:
            if kind.kind == "size":
                yield from ((test._replace(values=(to,)), f"{value} moved to {to}") for to in beside(int(value)))
                continue
            for by in (-1, 1):
                yield test._replace(values=(value + by * _STEPS[kind.kind],)), f"{value} moved {by:+} step"


_STEPS = {"volts": 1, "count": 1, "temperature": 9, "length": 2540}
