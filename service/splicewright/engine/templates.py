"""Fills a rule's words and the values of its demands from the facts that it fired on.

`{conductor.size}` is of the conductor that the first pattern on conductors matched, `{conductor.2.size}` of
the second pattern's; `{condition.place}` is the word of a matched condition; all else are single facts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from splicewright.engine.firings import Firing
from splicewright.question.fact_kinds import Value
from splicewright.question.facts import Facts
from splicewright.rulebook.model import FactValue, ListingTest

NOT_STATED = "not stated"
_PLACE = re.compile(r"\{([a-z_]+\.[a-z0-9_.]+)\}")
_NUMBERED = re.compile(r"conductor\.([1-9][0-9]?)\.(.+)")


@dataclass(frozen=True, slots=True)
class Place:
    """A fact named in a rule. Of a conductor, `slot` counts its pattern among those on conductors from 0."""

    name: str
    slot: int | None

    @classmethod
    def read(cls, name: str) -> Place:
        """Read a name as rules write it."""
        numbered = _NUMBERED.fullmatch(name)
        if numbered:
            return cls(f"conductor.{numbered[2]}", int(numbered[1]) - 1)
        return cls(name, 0 if name.startswith("conductor.") else None)

    def text(self, firing: Firing, facts: Facts) -> str:
        """Print the fact's value, or that it was not stated."""
        scope, _, key = self.name.partition(".")
        if scope == "condition":
            return next((word for found, word in firing.conditions if found == key), NOT_STATED)
        if self.slot is None:
            return facts.text(self.name) or NOT_STATED
        if self.slot >= len(firing.conductors):
            return NOT_STATED
        return facts.text(self.name, firing.conductors[self.slot]) or NOT_STATED

    def coded(self, firing: Firing, facts: Facts) -> Value | None:
        """Give the fact's value as coded, or None where it has none."""
        if self.slot is None:
            return facts.value(self.name)
        if self.slot >= len(firing.conductors):
            return None
        return facts.value(self.name, firing.conductors[self.slot])


@dataclass(frozen=True, slots=True)
class Template:
    """A rule's words, cut at the places to be filled."""

    words: str
    parts: tuple[str | Place, ...]

    @classmethod
    def read(cls, words: str) -> Template:
        """Read a rule's words. What stands in braces but is no name is kept as it is."""
        cut = _PLACE.split(words)
        return cls(words, tuple(Place.read(part) if at % 2 else part for at, part in enumerate(cut)))

    @property
    def fixed(self) -> bool:
        """Whether there is no place to fill."""
        return len(self.parts) == 1

    def filled(self, firing: Firing, facts: Facts) -> str:
        """Give the words for one firing."""
        if len(self.parts) == 1:
            return self.words
        return "".join([part if isinstance(part, str) else part.text(firing, facts) for part in self.parts])


@dataclass(frozen=True, slots=True)
class OpenTest:
    """A test of a demand or a preference. `values` is None where none is taken from a fact."""

    test: ListingTest
    values: tuple[object, ...] | None

    @classmethod
    def read(cls, test: ListingTest) -> OpenTest:
        """Read a test."""
        if not any(isinstance(value, FactValue) for value in test.values):
            return cls(test, None)
        return cls(test, tuple(Place.read(one.fact) if isinstance(one, FactValue) else one for one in test.values))

    def filled(self, firing: Firing, facts: Facts) -> ListingTest | None:
        """Give the test with coded values, a list's word by word; None where a fact has no value."""
        if self.values is None:
            return self.test
        found: list[object] = []
        for value in self.values:
            known = value.coded(firing, facts) if isinstance(value, Place) else value
            if known is None:
                return None
            found += known if isinstance(known, tuple) else [known]
        return ListingTest(self.test.attribute, self.test.operator, tuple(found))
