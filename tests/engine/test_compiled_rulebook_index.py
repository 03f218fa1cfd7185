"""The tables say what the library says when it is asked directly, value by value."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from typing import Any

import pytest

from splicewright.engine.compiled_rulebook import BitmapIndex
from splicewright.engine.fact_encoding import Comparison, Tests, coded, comparisons_of
from splicewright.engine.faults import LARGEST_NUMBER
from splicewright.engine.library import decide
from splicewright.question.fact_kinds import FactKind, Value, fact_kinds
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook, model
from splicewright.rulebook.model import Pattern, Rule
from tests.engine import made
from tests.engine.library import Raw, rule
from tests.engine.made import conductor, single
from tests.engine.test_fact_encoding import UNFIT
from tests.oracle.plain import matches
from tests.oracle.rulebooks import random_rulebook
from tests.question.leaves import words_of

VALUES = 10_000  # drawn for each leaf that is a number or a list; of the others all are asked
_A_RULESET = 40  # tests: no more can hold at once


def asked_by(pattern: Pattern) -> Tests:
    return frozenset(comparisons_of("made/rule", test) for test in pattern.tests)


def index(*patterns: Pattern) -> BitmapIndex:
    asked = {bit: asked_by(pattern) for bit, pattern in enumerate(patterns)}
    return BitmapIndex(asked, decide(asked.values()))


def matching(patterns: Sequence[Pattern], facts: dict[str, Any]) -> list[int]:
    bits = index(*patterns).matching(facts)
    return [at for at in range(len(patterns)) if bits >> at & 1]


def shipped_rules() -> list[Rule]:
    return [one for code in CODES for one in load_rulebook(code).derived]


def leaves(rules: Iterable[Rule]) -> dict[str, list[Pattern]]:
    """Give for each fact the patterns that test it, with no more than those tests; each differing one once."""
    found: dict[str, dict[tuple[model.Test, ...], None]] = {}
    for one in rules:
        for pattern in one.when:
            for name in {test.name for test in pattern.tests if pattern.scope != "condition"}:
                tests = tuple(test for test in pattern.tests if test.name == name)
                found.setdefault(name, {})[tests] = None
    return {name: [Pattern("single", tests) for tests in each] for name, each in found.items()}


SHIPPED = leaves(shipped_rules())
GENERATED = leaves(rule for seed in range(6) for rule in random_rulebook(random.Random(seed), 200).rules)


class Asked:
    """The library, asked directly which patterns on one leaf a value passes: a fact has its value, or its words."""

    def __init__(self, kind: FactKind, patterns: Sequence[Pattern]) -> None:
        self._kind = kind
        self._raws = [
            (at, Raw({f"r{one}": rule(self._pattern(pattern)) for one, pattern in enumerate(some)}))
            for at in range(0, len(patterns), _A_RULESET)
            for some in [patterns[at : at + _A_RULESET]]
        ]

    def _pattern(self, pattern: Pattern) -> dict[str, Any]:
        return {"$and": [{"g": 1}, *(self._test(test) for test in pattern.tests)]}

    def _test(self, test: model.Test) -> dict[str, Any]:
        """Write a test; any of several values is a disjunction of the library, by which a rule may fire repeatedly."""
        each = [self._comparison(one) for one in comparisons_of("made/rule", test)]
        return each[0] if len(each) == 1 else {"$or": each}

    def _comparison(self, comparison: Comparison) -> dict[str, Any]:
        return {f"w{comparison.value}": 1} if self._kind.kind == "words" else comparison.written("v")

    def matching(self, value: Value | None) -> int:
        facts: dict[str, int] = {"g": 1}
        if isinstance(value, tuple):
            facts |= {f"w{coded(self._kind, word)}": 1 for word in value}
        elif value is not None:
            facts["v"] = coded(self._kind, value)
        found: set[int] = set()
        for at, raw in self._raws:
            raw.put("x", **facts)
            found |= {at + int(name[1:]) for fired in raw.fire() for name in fired}
            raw.take("x")
        return sum(1 << at for at in found)


def values(kind: FactKind, patterns: Sequence[Pattern], rng: random.Random, count: int) -> Iterable[Value | None]:
    """Give random values: words, lists, flags; numbers of all sizes, mostly close to those that patterns test."""
    limits = sorted({coded(kind, value) for pattern in patterns for test in pattern.tests for value in test.values})
    for _ in range(count):
        if rng.random() < 0.01:
            yield None
        elif kind.kind == "words":
            yield tuple(rng.sample(words_of(kind), rng.randint(0, len(words_of(kind)[:4]))))
        elif kind.kind == "word":
            yield rng.choice(kind.words)
        elif kind.kind == "flag":
            yield rng.random() < 0.5
        else:
            near = rng.choice(limits) + rng.choice((0, 1, -1, rng.randint(-50, 50)))
            far = rng.randint(-(10 ** rng.randint(1, 15)), 10 ** rng.randint(1, 15))
            yield rng.choice((near, near, far, LARGEST_NUMBER, -LARGEST_NUMBER))


def disagreements(name: str, patterns: Sequence[Pattern], seed: int, table: BitmapIndex | None = None) -> list[Any]:
    kind, rng = fact_kinds()[name], random.Random(seed)
    table, library = table or index(*patterns), Asked(kind, patterns)
    every = {"word": (None, *kind.words), "flag": (None, True, False)}
    asked = every.get(kind.kind) or dict.fromkeys(values(kind, patterns, rng, VALUES))
    return [
        value for value in asked if table.matching({} if value is None else {name: value}) != library.matching(value)
    ]


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_table_says_what_the_library_says_of_every_leaf_of_the_shipped_rules(name: str) -> None:
    assert disagreements(name, SHIPPED[name], 1) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(GENERATED))
def test_table_says_what_the_library_says_of_every_leaf_of_generated_rules(name: str) -> None:
    assert disagreements(name, GENERATED[name], 2) == []


def test_table_that_differs_for_one_value_is_noticed() -> None:
    patterns = [single(joint__count=("above", 2))]
    assert set(disagreements("joint.count", patterns, 3, index(single(joint__count=("above", 3))))) == {3}


@pytest.mark.parametrize("seed", range(3))
def test_whole_patterns_match_as_the_plain_evaluator_says(seed: int) -> None:
    rng = random.Random(seed)
    patterns = [p for one in random_rulebook(rng, 150).rules for p in one.when if p.scope == "conductor"]
    table = index(*patterns)
    limits = leaves([Rule("r", None, None, tuple(patterns), None, "", None)])  # type: ignore[arg-type]
    for _ in range(500):
        facts = {
            name: value
            for name, some in limits.items()
            if (value := next(iter(values(fact_kinds()[name], some, rng, 1)))) is not None and rng.random() < 0.9
        }
        bits = table.matching(facts)
        assert [bool(bits >> at & 1) for at in range(len(patterns))] == [
            matches(pattern, facts) for pattern in patterns
        ]


def test_a_list_must_pass_each_test_of_a_pattern_though_by_different_words() -> None:
    both = Pattern(
        "single",
        (made.tested("place.corrosion", "chemical"), made.tested("place.corrosion", ["salt-air", "fertilizer"])),
    )
    asked = [(), ("chemical",), ("salt-air",), ("chemical", "salt-air"), ("fertilizer", "chemical")]
    found = [matching([both, single(place__exposure="wet")], {"place.corrosion": each}) for each in asked]
    assert found == [[], [], [], [0], [0]]


def test_a_list_passes_a_test_by_any_of_its_words_and_an_empty_one_by_none() -> None:
    patterns = [single(place__corrosion="chemical"), single(place__corrosion=["chemical", "salt-air"])]
    asked: list[tuple[str, ...]] = [(), ("salt-air",), ("salt-air", "chemical")]
    assert [matching(patterns, {"place.corrosion": each}) for each in asked] == [[], [1], [0, 1]]


def test_two_operators_on_one_number_must_both_hold() -> None:
    between = Pattern("single", (made.tested("joint.count", ("above", 2)), made.tested("joint.count", ("below", 5))))
    assert [count for count in range(8) if matching([between], {"joint.count": count})] == [3, 4]


def test_a_pattern_keeps_its_bit_where_what_it_does_not_test_is_absent() -> None:
    patterns = [single(place__exposure="wet"), single(joint__count=("other-than", 2)), single(place__hazardous=False)]
    assert matching(patterns, {}) == []
    assert matching(patterns, {"joint.count": 3}) == [1]
    assert matching([*patterns, Pattern("single", ())], {}) == [3]


@pytest.mark.parametrize(("name", "value", "error"), UNFIT)
def test_a_value_of_another_kind_is_never_looked_up(name: str, value: Any, error: type[Exception]) -> None:
    kind = fact_kinds()[name]
    wanted: Any = words_of(kind)[:1] or ((True,) if kind.kind == "flag" else (2,))
    with pytest.raises(error, match=name):
        index(Pattern("single", (model.Test(name, "any-of", wanted),))).matching({name: value})


def test_facts_that_no_pattern_tests_may_have_any_value() -> None:
    assert matching([single(joint__count=2)], {"joint.count": 2, "place.exposure": object()}) == [0]


def test_more_comparisons_than_the_librarys_stack_takes_are_all_decided() -> None:
    table = index(*(conductor(size=("at-least", limit)) for limit in range(0, 400, 2)))
    found = [table.matching({"conductor.size": size}).bit_count() for size in (-1, 0, 1, 199, 398, 10**9)]
    assert found == [0, 1, 1, 100, 200, 200]


def test_nothing_stands_where_there_is_no_pattern() -> None:
    assert BitmapIndex({}, decide([])).matching({"joint.count": 2}) == 0
