from __future__ import annotations

import gc
import os
import random
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import durable_rules_engine as library
import pytest

from splicewright.engine import Engine, Firing
from splicewright.engine import session as driving
from splicewright.engine.compiler import compile_rulebook
from splicewright.engine.program import Sheet
from splicewright.engine.session import _MANY, Session
from splicewright.question.facts import Facts, facts_of
from tests.engine.made import condition, conductor, rule, rulebook, single
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

WET = rule(single(place__exposure="wet"), rule_id="made/wet", concludes=("place", "wet"))
SEAL = rule(condition(place="wet"), rule_id="made/seal")
PAIR = rule(conductor(material="copper"), conductor(material="aluminum"), rule_id="made/pair")
BOOK = rulebook(WET, SEAL, PAIR)
IN_THE_WET = Facts.of({"place.exposure": "wet"}, ())
FIRED = (Firing(SEAL, (), (("place", "wet"),)), Firing(WET))


class Spy:
    """Stands before the library: counts calls, and fails the nth of a kind."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.calls: list[tuple[str, Any]] = []
        self._fail: dict[str, int] = {}
        for name in ("create_ruleset", "delete_ruleset", "delete_state", "assert_fact", "assert_facts", "retract_facts",
                     "start_action_for_state", "complete_and_start_action"):  # fmt: skip
            monkeypatch.setattr(library, name, self._before(name, getattr(library, name)))

    def _before(self, name: str, real: Any) -> Any:
        def call(*arguments: Any) -> Any:
            self.calls.append((name, arguments[-1]))
            if self._fail.get(name) == self.count(name):
                raise KeyboardInterrupt(name)
            return real(*arguments)

        return call

    def fail(self, name: str, nth: int) -> None:
        self._fail[name] = nth

    def count(self, name: str) -> int:
        return sum(called == name for called, _ in self.calls)


@pytest.fixture
def spy(monkeypatch: pytest.MonkeyPatch) -> Spy:
    gc.collect()  # engines that other tests left give their sessions back before any is counted
    return Spy(monkeypatch)


@pytest.fixture
def forgetful(monkeypatch: pytest.MonkeyPatch) -> None:
    """Remember nothing, so that every fact reaches the library."""
    monkeypatch.setattr(driving, "_REMEMBERED_ROWS", 0)


def test_nothing_is_opened_before_the_first_question(spy: Spy) -> None:
    engine = Engine(BOOK)
    assert spy.calls == []
    engine.firings(IN_THE_WET)
    assert spy.count("create_ruleset") == 1


def test_all_questions_are_answered_from_one_session(spy: Spy) -> None:
    engine = Engine(BOOK)
    assert [engine.firings(IN_THE_WET) for _ in range(3)] == [FIRED] * 3
    assert spy.count("create_ruleset") == 1


def test_a_session_begins_with_a_fact_that_fires_a_rule(spy: Spy) -> None:
    Engine(BOOK).firings(IN_THE_WET)
    names = [name for name, _ in spy.calls]
    assert names[:4] == ["create_ruleset", "assert_fact", "start_action_for_state", "complete_and_start_action"]


def test_a_fact_that_a_condition_makes_possible_is_asserted_once(spy: Spy) -> None:
    other = rule(single(place__exposure=["wet", "damp"]), concludes=("place", "wet"))
    Engine(rulebook(WET, SEAL, other)).firings(IN_THE_WET)
    assert spy.count("assert_facts") == 2


def test_every_fact_is_retracted_after_its_question_in_the_order_of_assertion(spy: Spy) -> None:
    facts = Facts.of({"place.exposure": "wet"}, ({"conductor.material": "copper"}, {}))
    Engine(BOOK).firings(facts)
    retracted = [text for name, text in spy.calls if name == "retract_facts"]
    ids = [[f'{{"id":"000{at}","sid":"0"}}' for at in range(count)] for count in (3, 1)]
    assert retracted == [f"[{','.join(each)}]" for each in ids]


@pytest.mark.usefixtures("forgetful")
def test_the_session_holds_nothing_between_questions() -> None:
    session = Session(compile_rulebook(random_rulebook(random.Random(3), 60)))
    for seed in range(30):
        session.fired(facts_of(random_question(random.Random(seed))))
        assert library.get_facts(session._handle, "0") == "[]"
    session.close()


@pytest.mark.parametrize(
    ("call", "nth"),
    [
        ("assert_facts", 1),  # at the beginning
        ("assert_facts", 2),  # between two firings
        ("start_action_for_state", 2),
        ("complete_and_start_action", 2),
        ("complete_and_start_action", 3),
        ("retract_facts", 1),
    ],
)
def test_whatever_is_raised_within_a_question_leaves_the_next_a_new_session(spy: Spy, call: str, nth: int) -> None:
    engine = Engine(BOOK)
    spy.fail(call, nth)
    with pytest.raises(KeyboardInterrupt):
        engine.firings(IN_THE_WET)
    ended = [name for name, _ in spy.calls if name.startswith("delete")]
    assert ended == ["delete_state", "delete_ruleset"]
    assert engine.firings(IN_THE_WET) == FIRED


def test_what_is_raised_while_opening_gives_the_ruleset_back_without_deleting_its_state(spy: Spy) -> None:
    engine = Engine(BOOK)
    spy.fail("start_action_for_state", 1)
    with pytest.raises(KeyboardInterrupt):
        engine.firings(IN_THE_WET)
    assert [name for name, _ in spy.calls if name.startswith("delete")] == ["delete_ruleset"]
    assert engine.firings(IN_THE_WET) == FIRED


def test_a_ruleset_whose_state_cannot_be_deleted_is_given_back_all_the_same(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    spy.fail("delete_state", 1)
    with pytest.raises(KeyboardInterrupt):
        engine.close()
    assert spy.count("delete_ruleset") == 1


def test_a_fact_left_over_is_noticed_when_its_id_comes_again() -> None:
    session = Session(compile_rulebook(BOOK))
    session.fired(Facts.of({}))
    sheet = Sheet(compile_rulebook(BOOK), IN_THE_WET)
    (row,), (choice,) = sheet.begin()
    library.assert_fact(session._handle, sheet.written(row, choice, "0000"))
    with pytest.raises(RuntimeError, match="facts of an earlier question"):
        session.fired(IN_THE_WET)
    assert [rule.id for _, _, fired in session.fired(IN_THE_WET) for rule in fired.rules] == ["made/wet", "made/seal"]
    session.close()


@pytest.mark.parametrize("value", [12.5, 1e-05, float("nan"), "10", None.__class__, 2**80])
def test_a_value_that_is_no_whole_number_never_reaches_the_library(spy: Spy, value: Any) -> None:
    engine = Engine(rulebook(rule(single(joint__count=("above", 2)))))
    with pytest.raises((TypeError, ValueError), match=r"joint\.count"):
        engine.firings(Facts.of({"joint.count": value}, ()))
    assert spy.count("assert_facts") == 0
    assert len(engine.firings(Facts.of({"joint.count": 3}, ()))) == 1


def test_a_question_of_very_many_facts_gives_its_memory_back(spy: Spy) -> None:
    book = rulebook(*(rule(conductor(count=at), conductor(count=("above", at))) for at in range(36)))
    engine = Engine(book)
    conductors = tuple({"conductor.count": at} for at in range(36))
    firings = engine.firings(Facts.of({}, conductors))
    assert len(conductors) * (len(conductors) - 1) > _MANY
    assert len(firings) == 36 * 35 / 2
    assert spy.count("delete_ruleset") == 1


# --- what is remembered ---------------------------------------------------------------------------------------------


def test_the_library_is_not_asked_twice_about_the_same_fact(spy: Spy) -> None:
    engine = Engine(BOOK)
    assert [engine.firings(IN_THE_WET) for _ in range(2)] == [FIRED] * 2
    assert spy.count("assert_facts") == 2  # the wet place, then the condition that it concludes


def test_the_library_is_not_asked_about_facts_that_no_comparison_tells_apart(spy: Spy) -> None:
    engine = Engine(rulebook(rule(single(joint__count=("above", 2)))))
    fired = [len(engine.firings(Facts.of({"joint.count": count}, ()))) for count in (1, 0, 3, 4, 2)]
    assert fired == [0, 0, 1, 1, 0]
    assert spy.count("assert_facts") == 3  # below 2, above it, and 2 itself


def test_what_was_not_told_to_the_end_is_not_remembered(spy: Spy) -> None:
    engine = Engine(BOOK)
    spy.fail("complete_and_start_action", 2)
    with pytest.raises(KeyboardInterrupt):
        engine.firings(IN_THE_WET)
    (session,) = engine._sessions.values()
    assert (session._known, session._alike) == ({}, {})


def test_each_rulebook_remembers_for_itself() -> None:
    wet, dry = (Engine(rulebook(rule(single(place__exposure=word), rule_id="made/one"))) for word in ("wet", "dry"))
    assert [len(engine.firings(IN_THE_WET)) for engine in (wet, dry, wet, dry)] == [1, 0, 1, 0]


@pytest.mark.parametrize("rows", [0, 1, 7, 60])
def test_remembering_is_bounded_and_changes_no_firing(monkeypatch: pytest.MonkeyPatch, rows: int) -> None:
    book = random_rulebook(random.Random(6), 60)
    asked = [facts_of(random_question(random.Random(seed))) for seed in range(60)]
    expected = [Engine(book).firings(facts) for facts in asked[:20]]
    monkeypatch.setattr(driving, "_REMEMBERED_ROWS", rows)
    engine = Engine(book)
    found = [engine.firings(facts) for facts in (*asked, *asked)]
    assert found[:20] == expected
    assert found[60:] == found[:60]
    (session,) = engine._sessions.values()
    assert max(len(session._known), len(session._alike)) <= rows


# --- closing ----------------------------------------------------------------------------------------------------------


def test_closing_deletes_the_state_before_the_ruleset(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    engine.close()
    assert [name for name, _ in spy.calls if name.startswith("delete")] == ["delete_state", "delete_ruleset"]


def test_closing_twice_or_before_the_first_question_does_nothing(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.close()
    engine.firings(IN_THE_WET)
    engine.close()
    engine.close()
    assert spy.count("delete_ruleset") == 1


def test_a_closed_engine_answers_from_a_new_session() -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    engine.close()
    assert engine.firings(IN_THE_WET) == FIRED


def test_an_engine_that_nobody_holds_gives_its_session_back(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    del engine
    gc.collect()
    assert spy.count("delete_ruleset") == 1


def test_opening_and_closing_keeps_memory_flat() -> None:
    book = random_rulebook(random.Random(1), 80)
    facts = facts_of(random_question(random.Random(1)))

    def reload(times: int) -> None:
        for _ in range(times):
            engine = Engine(book)
            engine.firings(facts)
            engine.close()

    reload(10)
    before = resident()
    reload(60)  # of some 0.8 MB each
    assert resident() - before < 4_000


@pytest.mark.usefixtures("forgetful")
def test_many_questions_keep_memory_flat() -> None:
    engine = Engine(random_rulebook(random.Random(1), 80))
    facts = [facts_of(random_question(random.Random(seed))) for seed in range(100)]

    def ask(times: int) -> None:
        for _ in range(times):
            for each in facts:
                engine.firings(each)

    ask(10)
    before = resident()
    ask(40)
    assert resident() - before < 4_000  # a fact takes 12, and some 40,000 were asserted
    engine.close()


def resident() -> int:
    """Give the resident memory in kB."""
    with open("/proc/self/statm", encoding="ascii") as status:  # noqa: PTH123 - shorter than a Path
        return int(status.read().split()[1]) * 4


# --- threads and forks ------------------------------------------------------------------------------------------------


@contextmanager
def switching_often() -> Iterator[None]:
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        yield
    finally:
        sys.setswitchinterval(usual)


@pytest.mark.parametrize("rows", [0, 100, 20_000])
def test_eight_threads_all_get_right_answers(monkeypatch: pytest.MonkeyPatch, rows: int) -> None:
    monkeypatch.setattr(driving, "_REMEMBERED_ROWS", rows)
    engine = Engine(random_rulebook(random.Random(4), 60))
    asked = [facts_of(random_question(random.Random(seed))) for seed in range(40)]
    expected = [engine.firings(facts) for facts in asked]
    wrong: list[int] = []

    def ask(seed: int) -> None:
        order = random.Random(seed).sample(range(40), 40) * 3
        wrong.extend(at for at in order if engine.firings(asked[at]) != expected[at])

    with switching_often():
        threads = [threading.Thread(target=ask, args=(seed,)) for seed in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert wrong == []
    engine.close()


def in_a_fork(work: Any) -> str:
    """Run `work` in a forked process and give the text that it returned."""
    reading, writing = os.pipe()
    process = os.fork()
    if not process:
        try:
            os.write(writing, str(work()).encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as pipe:
        text = pipe.read()
    os.waitpid(process, 0)
    return text


def test_an_engine_made_before_a_fork_answers_in_parent_and_child() -> None:
    engine = Engine(BOOK)
    assert in_a_fork(lambda: engine.firings(IN_THE_WET) == FIRED) == "True"
    assert engine.firings(IN_THE_WET) == FIRED


def test_a_child_opens_a_session_of_its_own() -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    assert in_a_fork(lambda: engine.firings(IN_THE_WET) == FIRED and len(engine._sessions)) == "2"
    assert engine.firings(IN_THE_WET) == FIRED


def test_a_child_answers_though_its_parent_was_forked_within_a_question() -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    (session,) = engine._sessions.values()
    with session._lock:
        assert in_a_fork(lambda: engine.firings(IN_THE_WET) == FIRED) == "True"


def test_closing_in_a_child_leaves_the_parents_session_alone() -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    (session,) = engine._sessions.values()
    with session._lock:
        assert in_a_fork(engine.close) == "None"
    assert engine.firings(IN_THE_WET) == FIRED
