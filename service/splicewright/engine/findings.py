"""From firings to findings: one for each rule and wording, with what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from operator import attrgetter

from splicewright.engine.program import Condition, Firing
from splicewright.engine.proof import Given, Grounds
from splicewright.engine.wording import OpenTest, Template
from splicewright.rulebook.model import ListingTest, Rule


@dataclass(frozen=True, slots=True)
class Proof:
    """What one finding was derived from, written out only when it is asked for: a brief answer never asks."""

    firings: tuple[Firing, ...]
    grounds: Grounds
    concluded: Mapping[Condition, list[str]]  # condition -> ids of the rules that concluded it
    given: Given

    def lines(self) -> tuple[str, ...]:
        """Give the facts as `name: printed value` and the ids of the concluding rules, sorted."""
        grounds, single, conductors = self.grounds, self.given.single, self.given.conductors
        found = [line for name in grounds.single if (line := single[name])]
        if not (grounds.every or grounds.matched or self.firings[0].conditions):
            return tuple(found)
        for name in grounds.every:
            found += [line for lines in conductors if (line := lines[name])]
        for firing in self.firings:
            for conductor, names in zip(firing.conductors, grounds.matched, strict=True):
                lines = conductors[conductor]
                found += [line for name in names if (line := lines[name])]
            for condition in firing.conditions:
                found += self.concluded[condition]
        return tuple(sorted(set(found)))


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a rule says of a question.

    `says`, and `do` for a step, are the rule's words with their places filled. `tests` are those of a demand or a
    preference, their values coded. `conductors` are indexes into the question's conductors, of those matched.
    """

    rule: Rule
    says: str
    tests: tuple[ListingTest, ...]
    conductors: tuple[int, ...]
    do: str | None = None
    proof: Proof | None = field(default=None, repr=False, compare=False)

    @property
    def rests_on(self) -> tuple[str, ...]:
        """What it rests on: facts, and the rules that concluded the conditions matched. Empty where it always holds."""
        return self.proof.lines() if self.proof else ()


#: What a finding says, does and asks: firings that agree in it are one finding.
Words = tuple[str, str | None, "tuple[ListingTest, ...]"]


@dataclass(frozen=True, slots=True)
class Saying:
    """What of a rule's findings is known beforehand.

    `fixed` has the words where there is nothing to fill, `always` the finding where all of it is known.
    """

    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    grounds: Grounds
    fixed: Words | None
    always: Finding | None

    @classmethod
    def of(cls, rule: Rule) -> Saying:
        """Read a rule."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        fixed = says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests)
        words = (rule.says, effect.do, effect.tests)
        always = Finding(rule, rule.says, effect.tests, (), effect.do) if fixed and not rule.when else None
        return cls(says, do, tests, Grounds.of(rule), words if fixed else None, always)

    def words(self, firing: Firing, given: Given) -> Words:
        """Fill in what is to be filled. A test whose fact has no value is left out."""
        tests = [test.filled(firing, given) for test in self.tests]
        return (
            self.says.filled(firing, given),
            None if self.do is None else self.do.filled(firing, given),
            tuple([test for test in tests if test is not None]),
        )


@dataclass(frozen=True, slots=True)
class Settled:
    """What rules that always hold say, known before any question: their findings, and what they conclude."""

    findings: tuple[Finding, ...]
    concluded: Mapping[Condition, list[str]]  # condition -> ids of the rules that conclude it

    @classmethod
    def of(cls, firings: Iterable[Firing], sayings: Mapping[str, Saying]) -> Settled:
        """Read the firings of rules that always hold; those with places to fill are left to each question."""
        found = [sayings[one.rule.id].always for one in firings]
        findings = tuple(one for one in found if one is not None)
        concluded: dict[Condition, list[str]] = {}
        for one in findings:
            if one.rule.effect.concludes is not None:
                concluded.setdefault(one.rule.effect.concludes, []).append(one.rule.id)
        return cls(findings, concluded)


_RULE_ID = attrgetter("rule.id")


def findings_of(
    firings: Iterable[Firing], sayings: Mapping[str, Saying], given: Given, settled: Settled
) -> tuple[Finding, ...]:
    """Give the findings for all firings of a question, by rule id, then words, those of `settled` among them.

    `sayings` is by rule id. `firings` has none of the rules in `settled`.
    """
    of_rules: dict[str, list[Firing]] = {}
    for firing in firings:
        of_rules.setdefault(firing.rule.id, []).append(firing)
    concluded: dict[Condition, list[str]] = {key: list(ids) for key, ids in settled.concluded.items()}
    for rule_id, alike in of_rules.items():
        condition = alike[0].rule.effect.concludes
        if condition is not None:
            concluded.setdefault(condition, []).append(rule_id)
    found: list[Finding] = list(settled.findings)
    for rule_id, alike in of_rules.items():
        saying = sayings[rule_id]
        if saying.fixed is not None:
            found.append(_finding(saying.fixed, alike, saying.grounds, concluded, given))
        else:
            groups: dict[Words, list[Firing]] = {}
            for firing in alike:
                groups.setdefault(saying.words(firing, given), []).append(firing)
            each = [_finding(words, same, saying.grounds, concluded, given) for words, same in groups.items()]
            found += sorted(each, key=_order) if len(each) > 1 else each
    found.sort(key=_RULE_ID)
    return tuple(found)


def _order(finding: Finding) -> tuple[str, str, str]:
    return finding.says, finding.do or "", repr(finding.tests)


def _finding(
    words: Words,
    firings: list[Firing],
    grounds: Grounds,
    concluded: Mapping[Condition, list[str]],
    given: Given,
) -> Finding:
    says, do, tests = words
    conductors: tuple[int, ...] = ()
    if firings[0].conductors:
        conductors = tuple(sorted({conductor for firing in firings for conductor in firing.conductors}))
    proof = Proof(tuple(firings), grounds, concluded, given)
    return Finding(firings[0].rule, says, tests, conductors, do, proof)
