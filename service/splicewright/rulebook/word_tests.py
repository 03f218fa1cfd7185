"""How a rule's own tests stand to a word that a leaf of a question may have.

A word of a conductor's leaf is looked for in the measures of the whole joint with the same words too: one of
`conductor.role` in `joint.roles` and `joint.only_role`.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.rulebook.model import Pattern, Rule, Test

Word = str | bool
#: `needs`: a test lists the word. `allows`: tests only leave out others. `off`: the rule is silent whatever else the
#: joint has. `unless`: it is silent unless another conductor, or another word beside it, is one that a test asks for.
Stands = Literal["needs", "allows", "off", "unless"]


@dataclass(frozen=True, slots=True)
class WordEffect:
    """How a rule stands to a word, and the tests that decide it, in words."""

    stands: Stands
    tests: tuple[str, ...]


@functools.cache
def same_words(leaf: str) -> tuple[str, ...]:
    """Give the facts that hold a word of a leaf: itself, and the measures of it alone that have all its words."""
    kind = fact_kinds()[leaf]
    return (leaf, *(one.name for one in fact_kinds().values() if _same(kind, one)))


def _same(leaf: FactKind, other: FactKind) -> bool:
    return bool(leaf.words) and other.reads == (leaf.name,) and set(leaf.words) <= set(other.words)


def accepts(test: Test, word: Word) -> bool:
    """Tell whether a test on a word or a flag holds where the fact is this one."""
    return (word in test.values) is (test.operator == "any-of")


def standing(rule: Rule, leaf: str, word: Word) -> WordEffect | None:
    """Give how a rule stands to a word of a leaf; None where it tests nothing that holds the word."""
    found = list(_tests(rule, leaf))
    if not found:
        return None
    by_word = [(pattern, test, accepts(test, word)) for pattern, test in found]
    refused = [test for _, test, accepted in by_word if not accepted]
    if alone := [test for pattern, test, accepted in by_word if not accepted and _alone(pattern, test, leaf)]:
        return WordEffect("off", tuple(map(told, alone)))
    accepted = [test for _, test, accepted in by_word if accepted]
    if not accepted:
        return WordEffect("unless", tuple(map(told, refused)))
    listed = [test for test in accepted if test.operator == "any-of"]
    return WordEffect("needs" if listed else "allows", tuple(map(told, listed or accepted)))


def left_out(rule: Rule, leaf: str) -> tuple[str, ...]:
    """Give the words of a leaf for which a rule's own tests leave it silent, in the order of the vocabulary."""
    found = ((word, standing(rule, leaf, word)) for word in fact_kinds()[leaf].words)
    return tuple(word for word, stands in found if stands and stands.stands in ("off", "unless"))


def lists_only(rule: Rule, leaf: str) -> bool:
    """Tell whether a rule's tests of a leaf all list the words they ask for."""
    return all(test.operator == "any-of" for _, test in _tests(rule, leaf))


def _tests(rule: Rule, leaf: str) -> Iterator[tuple[Pattern, Test]]:
    names = same_words(leaf)
    return ((pattern, test) for pattern in rule.when for test in pattern.tests if test.name in names)


def _alone(pattern: Pattern, test: Test, leaf: str) -> bool:
    """Tell whether the rule is silent where the test refuses a word, whatever other conductors and words there are."""
    if pattern.scope == "conductor" or fact_kinds()[test.name].kind == "words":
        return False
    # Of a measure that the whole joint shares: another word of a second conductor makes it mixed.
    return test.name == leaf or (test.operator == "any-of" and "mixed" not in test.values)


def told(test: Test) -> str:
    """Write a test of words or of a flag: `place.enclosure: box, conduit-body`; any other by its fact alone."""
    if not all(isinstance(value, str | bool) for value in test.values):
        return test.name
    words = ", ".join(str(value).lower() if isinstance(value, bool) else str(value) for value in test.values)
    return f"{test.name}: {'other than ' if test.operator == 'other-than' else ''}{words}"
