"""Conditions are chained by the library, whatever of them there are, within what it takes."""

from __future__ import annotations

from collections.abc import Sequence

import orjson
import pytest

from splicewright.engine import library
from splicewright.engine.faults import MOST_PROPERTIES, RulebookTooLarge
from splicewright.engine.library import ConditionChain, LibrarySession
from splicewright.engine.rule_groups import concluded, read_patterns
from splicewright.rulebook.model import Rule
from tests.engine.made import condition, rule, single


class Chained:
    """A chain with its session: keeps the facts that it put, round by round."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.conditions = concluded(rules)
        patterns = read_patterns(rules, self.conditions)
        self.chain = ConditionChain(
            {at: pattern for at, pattern in enumerate(patterns) if pattern.concludes is not None}
        )
        self.rounds: list[list[str]] = []
        self._session = LibrarySession(self.chain.patterns)

    def ask(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        self.rounds.append(list(facts))
        return self._session.fired(facts)

    def held(self, *met: int) -> list[str]:
        """Give the words that hold where the other patterns of some rules are met."""
        _, held = self.chain.chained(sum(1 << at for at in met), self.ask)
        return [word for at, (_, word) in enumerate(self.conditions) if held >> at & 1]


def first(word: str) -> Rule:
    return rule(single(place__hazardous=True), concludes=("place", word))


def then(word: str, *of: str) -> Rule:
    return rule(*(condition(place=one) for one in of), concludes=("place", word))


def test_what_no_condition_stands_before_is_concluded_in_one_round() -> None:
    made = Chained([first("wet"), first("deep")])
    assert made.held(0, 1) == ["wet", "deep"]
    assert len(made.rounds) == 1


def test_nothing_is_asked_where_no_rule_can_fire() -> None:
    made = Chained([first("wet"), then("deep", "wet")])
    assert made.held(1) == []
    assert made.rounds == []


def test_conditions_follow_from_each_other_round_by_round() -> None:
    made = Chained([first("a"), then("b", "a"), then("c", "b"), then("d", "a", "c")])
    assert made.held(0, 1, 2, 3) == ["a", "b", "c", "d"]
    assert len(made.rounds) == 4
    assert made.held(0, 1, 3) == ["a", "b"]
    assert made.held(1, 2, 3) == []


def test_rules_that_fired_are_left_out_of_later_rounds() -> None:
    made = Chained([first("a"), rule(condition(place=["a", "b"]), concludes=("place", "b")), then("c", "b")])
    assert made.held(0, 1, 2) == ["a", "b", "c"]
    texts = [orjson.loads(f'{{"id":0{fact}}}') for (fact,) in made.rounds]
    props = [[prop for prop in text if prop != "id"] for text in texts]
    assert [len(each) for each in props] == [1 + 1, 1 + 1 + 1, 1 + 1 + 2]  # a gate, a rule, the conditions that hold


def test_two_patterns_on_conditions_need_two_different_ones() -> None:
    both = rule(condition(place=["a", "b"]), condition(place=["a", "b"]), concludes=("place", "c"))
    made = Chained([first("a"), first("b"), both])
    assert [made.held(0, 2), made.held(1, 2), made.held(0, 1, 2)] == [["a"], ["b"], ["a", "b", "c"]]


def test_rules_that_conclude_in_a_circle_come_to_an_end() -> None:
    made = Chained([first("a"), then("b", "a"), then("a", "b")])
    assert made.held(0, 1, 2) == ["a", "b"]
    assert made.held(1, 2) == []


def test_a_condition_of_many_words_holds_by_any_of_them() -> None:
    words = [f"w{at}" for at in range(300)]
    made = Chained([*map(first, words), rule(condition(place=words), concludes=("any", "so"))])
    assert [made.held(at, 300)[-1] for at in (0, 150, 299)] == ["so"] * 3
    assert made.held(300) == []


@pytest.mark.parametrize("count", [24, 25, 240, 990])
def test_as_many_conclusions_as_there_may_be_all_hold_at_once(count: int) -> None:
    words = [f"w{at}" for at in range(count // 2)]
    made = Chained([*map(first, words), *(then(f"{word}-then", word) for word in words)])
    assert len(made.held(*range(len(words) * 2))) == len(words) * 2
    assert len(made.rounds) == 2
    for fact in (fact for each in made.rounds for fact in each):
        assert len(orjson.loads(f'{{"id":0,"sid":0{fact}}}')) <= MOST_PROPERTIES


def test_rules_are_spread_over_facts_where_one_could_not_carry_them() -> None:
    made = Chained([first(f"w{at}") for at in range(990)])
    assert len(made.held(*range(990))) == 990
    ((*facts,),) = made.rounds
    assert len(facts) == 5
    made.held(3)
    assert len(made.rounds[-1]) == 1


def test_too_many_ways_to_conclude_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(library, "MOST_CHAINED", 5)
    words = ["a", "b", "c"]
    wide = rule(condition(place=words), rule_id="made/wide", concludes=("any", "so"))
    Chained([*map(first, words[:2]), wide])
    with pytest.raises(RulebookTooLarge, match=r"^made/wide: its conditions are one of more than 5 ways to conclude"):
        Chained([*map(first, words), wide])
