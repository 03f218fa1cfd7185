from __future__ import annotations

import gc
from typing import Any

import durable_rules_engine as library
import pytest

from splicewright.engine import Engine, Firing
from splicewright.engine.library import MANY, LibrarySession, rule_name
from splicewright.question.facts import Facts
from tests.engine.made import condition, rule, rulebook, single
from tests.engine.spying import Spy, resident

FIRST, SECOND = rule_name(0), rule_name(1)
PATTERNS: dict[str, Any] = {FIRST: {"a0": 1}, SECOND: {"$gt": {"b0": 2}}}
BOTH = ',"a0":1,"b0":3'


@pytest.fixture
def spy(monkeypatch: pytest.MonkeyPatch) -> Spy:
    gc.collect()  # sessions that other tests left are given back before any is counted
    return Spy(monkeypatch)


def test_nothing_is_opened_before_the_first_fact(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    assert spy.calls == []
    session.fired([BOTH])
    assert spy.count("create_ruleset") == 1


def test_every_fact_is_told_with_every_rule_that_fires_on_it() -> None:
    session = LibrarySession(PATTERNS)
    fired = session.fired([BOTH, ',"c0":1', ',"a0":1', ',"b0":2', ',"b0":7'])
    assert sorted(fired) == [(0, FIRST), (0, SECOND), (2, FIRST), (4, SECOND)]
    assert session.fired([',"c0":1']) == []


def test_all_facts_are_put_to_one_session(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    assert [sorted(session.fired([BOTH])) for _ in range(3)] == [[(0, FIRST), (0, SECOND)]] * 3
    assert spy.count("create_ruleset") == 1


def test_every_rule_is_one_pattern_over_one_fact() -> None:
    assert LibrarySession({FIRST: {"a0": 1}}).definition == (
        '{"warm":{"all":[{"a":{"warm":1}}]},"000":{"all":[{"a":{"a0":1}}]}}'
    )


def test_a_session_begins_with_a_fact_that_fires_a_rule(spy: Spy) -> None:
    LibrarySession(PATTERNS).fired([BOTH])
    names = [name for name, _ in spy.calls]
    assert names[:4] == ["create_ruleset", "assert_fact", "start_action_for_state", "complete_and_start_action"]


def test_every_fact_is_retracted_in_the_order_of_assertion(spy: Spy) -> None:
    LibrarySession(PATTERNS).fired([BOTH, BOTH, ',"c0":1'])
    retracted = [text for name, text in spy.calls if name == "retract_facts"]
    assert retracted == ['[{"id":"0000","sid":"0"},{"id":"0001","sid":"0"},{"id":"0002","sid":"0"}]']


def test_the_session_holds_nothing_between_questions(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    for _ in range(3):
        session.fired([BOTH, BOTH])
        assert library.get_facts(spy.handle, "0") == "[]"
    session.close()


@pytest.mark.parametrize(
    ("call", "nth"),
    [
        ("assert_facts", 1),
        ("start_action_for_state", 2),
        ("complete_and_start_action", 2),
        ("complete_and_start_action", 3),
        ("retract_facts", 1),
    ],
)
def test_whatever_is_raised_leaves_the_next_fact_a_new_session(spy: Spy, call: str, nth: int) -> None:
    session = LibrarySession(PATTERNS)
    spy.fail(call, nth)
    with pytest.raises(KeyboardInterrupt):
        session.fired([BOTH])
    assert spy.deletions() == ["delete_state", "delete_ruleset"]
    assert sorted(session.fired([BOTH])) == [(0, FIRST), (0, SECOND)]


def test_what_is_raised_within_a_question_leaves_the_next_a_right_answer(spy: Spy) -> None:
    wet = rule(single(place__exposure="wet"), rule_id="made/wet", concludes=("place", "wet"))
    seal = rule(condition(place="wet"), rule_id="made/seal", concludes=("place", "sealed"))
    engine, facts = Engine(rulebook(wet, seal)), Facts.of({"place.exposure": "wet"})
    expected = (Firing(seal, (), (("place", "wet"),)), Firing(wet))
    assert engine.firings(facts) == expected
    spy.fail("assert_facts", spy.count("assert_facts") + 2)  # in the second round
    with pytest.raises(KeyboardInterrupt):
        engine.firings(facts)
    assert engine.firings(facts) == expected


def test_what_is_raised_while_opening_gives_the_ruleset_back_without_deleting_its_state(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    spy.fail("start_action_for_state", 1)
    with pytest.raises(KeyboardInterrupt):
        session.fired([BOTH])
    assert spy.deletions() == ["delete_ruleset"]
    assert sorted(session.fired([BOTH])) == [(0, FIRST), (0, SECOND)]


def test_a_ruleset_whose_state_cannot_be_deleted_is_given_back_all_the_same(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    session.fired([BOTH])
    spy.fail("delete_state", 1)
    with pytest.raises(KeyboardInterrupt):
        session.close()
    assert spy.count("delete_ruleset") == 1


def test_a_fact_left_over_is_noticed_when_its_id_comes_again(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    session.fired([BOTH])
    library.assert_fact(spy.handle, '{"id":"0000","sid":"0","a0":1}')
    with pytest.raises(RuntimeError, match="facts of an earlier question"):
        session.fired([BOTH])
    assert sorted(session.fired([BOTH])) == [(0, FIRST), (0, SECOND)]
    session.close()


def test_very_many_facts_give_their_memory_back(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    assert len(session.fired([',"a0":1'] * (MANY + 1))) == MANY + 1
    assert spy.deletions() == ["delete_state", "delete_ruleset"]


def test_closing_deletes_the_state_before_the_ruleset(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    session.fired([BOTH])
    session.close()
    assert spy.deletions() == ["delete_state", "delete_ruleset"]


def test_closing_twice_or_before_the_first_fact_does_nothing(spy: Spy) -> None:
    session = LibrarySession(PATTERNS)
    session.close()
    session.fired([BOTH])
    session.close()
    session.close()
    assert spy.count("delete_ruleset") == 1


def test_a_closed_session_is_opened_anew() -> None:
    session = LibrarySession(PATTERNS)
    session.fired([BOTH])
    session.close()
    assert sorted(session.fired([BOTH])) == [(0, FIRST), (0, SECOND)]


def test_many_facts_keep_memory_flat() -> None:
    session = LibrarySession(PATTERNS)

    def ask(times: int) -> None:
        for _ in range(times):
            session.fired([BOTH])

    ask(2_000)
    before = resident()
    ask(40_000)
    assert resident() - before < 4_000  # a fact takes 12
    session.close()
