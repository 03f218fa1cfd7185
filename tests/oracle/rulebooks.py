"""Random rulebooks over the whole vocabulary of facts, with conclusions that other rules build on."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import strategies as st

from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.rulebook.model import (
    Concern,
    ConcernCase,
    Effect,
    FactValue,
    Kind,
    ListingTest,
    Operator,
    Pattern,
    Rule,
    Rulebook,
    RuleSource,
    Scope,
    Test,
)
from splicewright.units import size, whole
from tests.oracle.questions import AMBIENTS, AMPS, DEPTHS, SIZES, VOLTS
from tests.question.leaves import words_of

MOST_CONDUCTOR_PATTERNS = 2
KEYS = ("place", "heat", "mix", "use")
WORDS = ("low", "middle", "high")
_ORDERED: tuple[Operator, ...] = ("at-least", "at-most", "above", "below")
_NUMBERS: dict[str, list[int]] = {
    "size": [size(text).area for text in SIZES],
    "volts": [whole(each, "V") for each in (*VOLTS, -120, 360)],
    "amps": [whole(each, "A") for each in AMPS],
    "length": [*(whole(each["value"], str(each["unit"])) for each in DEPTHS), -152_400, 152_400],
    "temperature": [*(whole(each["value"], str(each["unit"])) for each in AMBIENTS), -1350],
    "count": [0, 1, 2, 3, 4, 5, 6, 8, 12, 24],
}


def random_rulebook(rng: random.Random, rules: int) -> Rulebook:
    """Give a rulebook of so many rules, sorted by id, and a few concerns.

    A rule builds only on what a deeper level concludes; whether a concern arises, on what any of them does.
    """
    made = (_rule(rng, f"set-{rng.randint(0, 5)}/rule-{at:03}", rng.randint(0, 3)) for at in range(rules))
    concerns = tuple(_concern(rng, f"concern-{at}") for at in range(rng.randint(0, 3)))
    return Rulebook("nfpa70-2023", tuple(sorted(made, key=lambda rule: rule.id)), "generated", concerns=concerns)


def _concern(rng: random.Random, name: str) -> Concern:
    asks, effect = _words(rng), Effect("arise", case=ConcernCase(name, "1.1", no_rule=True))
    cases = tuple(
        Rule(f"concern/{name}/{at}", None, None, _when(rng, len(KEYS)), effect, asks, RuleSource(None))
        for at in range(1, rng.randint(2, 4))
    )
    return Concern(name, asks, "1.1", hurts=False, of_connector=rng.random() < 0.5, rules=cases)


def _when(rng: random.Random, level: int) -> tuple[Pattern, ...]:
    when = [_pattern(rng, _scope(rng, level), level) for _ in range(rng.choice((1, 1, 1, 2, 2, 3)))]
    while sum(one.scope == "conductor" for one in when) > MOST_CONDUCTOR_PATTERNS:
        when.pop()
    if rng.random() < 0.3:
        when.append(_pattern(rng, "single", level))
    return () if rng.random() < 0.03 else tuple(when)


def _rule(rng: random.Random, rule_id: str, level: int) -> Rule:
    when = _when(rng, level)
    roll = rng.random()
    if roll < 0.4:
        effect = Effect("conclude", concludes=(KEYS[level], rng.choice(WORDS)))
    elif roll < 0.6:
        effect = Effect("demand", tests=_demand(rng))
    elif roll < 0.7:
        effect = Effect("step", phase="strip", do=_words(rng))
    else:
        kinds: tuple[Kind, ...] = ("bar", "refer", "caution", "refuse")
        effect = Effect(rng.choice(kinds))
    return Rule(rule_id, None, None, when, effect, _words(rng), RuleSource(None))


def _scope(rng: random.Random, level: int) -> Scope:
    return rng.choice(("single", "single", "conductor", "conductor", "condition" if level else "single"))


def _pattern(rng: random.Random, scope: Scope, level: int) -> Pattern:
    if scope == "condition":
        chosen = rng.sample(WORDS, rng.randint(1, 2))
        return Pattern(scope, (Test(f"condition.{rng.choice(KEYS[:level])}", "any-of", tuple(chosen)),))
    names = [name for name in fact_kinds() if name.startswith("conductor.") == (scope == "conductor")]
    tests = (_test(rng, fact_kinds()[name]) for name in rng.sample(names, rng.choice((1, 1, 2, 3))))
    return Pattern(scope, tuple(tests))


def _test(rng: random.Random, kind: FactKind) -> Test:
    if kind.kind == "words":
        return Test(kind.name, "any-of", tuple(rng.sample(words_of(kind), rng.randint(1, 3))))
    if kind.kind == "word":
        if rng.random() < 0.2:
            return Test(kind.name, "other-than", (rng.choice(kind.words),))
        return Test(kind.name, "any-of", tuple(rng.sample(kind.words, rng.randint(1, min(4, len(kind.words))))))
    if kind.kind == "flag":
        return Test(kind.name, rng.choice(("any-of", "any-of", "other-than")), (rng.random() < 0.5,))
    numbers = _NUMBERS[kind.kind]
    if rng.random() < 0.2:
        return Test(kind.name, "any-of", tuple(rng.sample(numbers, rng.randint(1, 3))))
    return Test(kind.name, rng.choice((*_ORDERED, "other-than")), (rng.choice(numbers),))


def _demand(rng: random.Random) -> tuple[ListingTest, ...]:
    choices: tuple[ListingTest, ...] = (
        ListingTest("volts", "at-least", (FactValue("circuit.volts"),)),
        ListingTest("materials", "includes", (FactValue("conductor.material"),)),
        ListingTest("resists", "includes-all", (FactValue("place.corrosion"),)),
        ListingTest("sealed", "any-of", (True,)),
    )
    return tuple(rng.sample(choices, rng.randint(1, 2)))


def _words(rng: random.Random) -> str:
    places: list[Any] = ["", "", "", "{conductor.size}", "{conductor.2.role}", "{place.exposure}", "{circuit.volts}"]
    return f"Because of {rng.choice(places)}."


def rulebooks() -> st.SearchStrategy[Rulebook]:
    """Give rulebooks of 1 to 40 rules, one for each seed."""
    return st.builds(
        lambda seed, rules: random_rulebook(random.Random(seed), rules), st.integers(0, 2**32), st.integers(1, 40)
    )
