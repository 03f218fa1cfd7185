from __future__ import annotations

import gc
import os
import random
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import durable_rules_engine as library
import pytest

from splicewright.engine import CompiledRulebook, Engine, Firing, QuestionTooLarge
from splicewright.engine.faults import MOST_PAIRS
from splicewright.question.facts import Facts, facts_of
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.model import Rule
from tests.engine.made import condition, conductor, rule, rulebook, single
from tests.engine.spying import Spy, resident
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

WET = rule(single(place__exposure="wet"), rule_id="made/wet", concludes=("place", "wet"))
SEAL = rule(condition(place="wet"), rule_id="made/seal")
PAIR = rule(conductor(material="copper"), conductor(material="aluminum"), rule_id="made/pair")
BOOK = rulebook(WET, SEAL, PAIR)
IN_THE_WET = Facts.of({"place.exposure": "wet"}, ())
FIRED = (Firing(SEAL, (), (("place", "wet"),)), Firing(WET))


@pytest.fixture
def spy(monkeypatch: pytest.MonkeyPatch) -> Spy:
    gc.collect()  # engines that other tests left give their sessions back before any is counted
    return Spy(monkeypatch)


def fired(*rules: Rule, facts: Facts) -> list[str]:
    return [firing.rule.id for firing in Engine(rulebook(*rules)).firings(facts)]


# --- what fires -------------------------------------------------------------------------------------------------------


def test_a_rule_for_refuse_is_left_out() -> None:
    left_out = [rule(kind="refuse", verdict="too-many"), rule(single(joint__count=2), kind="refuse")]
    assert fired(*left_out, facts=Facts.of({"joint.count": 2})) == []


def test_a_rule_that_always_holds_needs_no_fact() -> None:
    assert fired(rule(rule_id="made/always"), facts=Facts.of({})) == ["made/always"]


def test_what_always_holds_is_chained_on() -> None:
    always = rule(rule_id="made/always", concludes=("place", "wet"))
    assert fired(always, SEAL, facts=Facts.of({})) == ["made/always", "made/seal"]


def test_every_ordered_pair_of_conductors_is_a_firing_of_its_own() -> None:
    both = rule(conductor(count=("above", 0)), conductor(count=("below", 4)))
    facts = Facts.of({}, [{"conductor.count": count} for count in (1, 2, 5)])
    assert [firing.conductors for firing in Engine(rulebook(both)).firings(facts)] == [(0, 1), (1, 0), (2, 0), (2, 1)]


def test_one_conductor_never_fills_two_patterns() -> None:
    both = rule(conductor(material="copper"), conductor(count=1))
    facts = {"conductor.material": "copper", "conductor.count": 1}
    assert fired(both, facts=Facts.of({}, [facts])) == []
    assert len(fired(both, facts=Facts.of({}, [facts, facts]))) == 2


def test_a_rule_fires_once_for_each_choice_of_conditions() -> None:
    deep = rule(single(place__exposure="wet"), rule_id="made/deep", concludes=("place", "deep"))
    both = rule(condition(place=["wet", "deep"]), condition(place=["wet", "deep"]), rule_id="made/two")
    firings = Engine(rulebook(WET, deep, both)).firings(IN_THE_WET)
    expected = [(("place", "deep"), ("place", "wet")), (("place", "wet"), ("place", "deep"))]
    assert [firing.conditions for firing in firings if firing.rule is both] == expected


def test_a_question_with_too_many_pairs_of_conductors_is_refused() -> None:
    conductors = ({},) * (int(MOST_PAIRS**0.5) + 2)
    with pytest.raises(QuestionTooLarge, match="too many different ones"):
        Engine(BOOK).firings(Facts.of({}, conductors))
    assert Engine(rulebook(WET)).firings(Facts.of({}, conductors)) == ()


@pytest.mark.parametrize("value", [12.5, 1e-05, float("nan"), "10", None.__class__, 2**80])
def test_a_value_that_is_no_whole_number_is_an_error(value: Any) -> None:
    engine = Engine(rulebook(rule(single(joint__count=("above", 2)))))
    with pytest.raises((TypeError, ValueError), match=r"joint\.count"):
        engine.firings(Facts.of({"joint.count": value}, ()))
    assert len(engine.firings(Facts.of({"joint.count": 3}, ()))) == 1


# --- the library ------------------------------------------------------------------------------------------------------


def test_comparisons_are_decided_when_rules_are_compiled_and_what_that_took_is_given_back(spy: Spy) -> None:
    Engine(BOOK)
    assert spy.count("create_ruleset") == 1
    assert spy.deletions() == ["delete_state", "delete_ruleset"]


def test_the_library_is_asked_once_a_round_and_not_where_nothing_can_be_concluded(spy: Spy) -> None:
    engine = Engine(BOOK)
    before = spy.count("assert_facts")
    engine.firings(Facts.of({"place.exposure": "dry"}))
    assert spy.count("assert_facts") == before
    assert [engine.firings(IN_THE_WET) for _ in range(3)] == [FIRED] * 3
    assert spy.count("assert_facts") == before + 3
    assert spy.count("create_ruleset") == 2  # for the comparisons, and for all questions


def test_closing_twice_or_before_the_first_question_does_nothing(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.close()
    engine.firings(IN_THE_WET)
    engine.close()
    engine.close()
    assert spy.count("delete_ruleset") == 2


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
    assert spy.count("delete_ruleset") == 2


@pytest.mark.slow
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
    assert resident() - before < 4_000  # a fact takes 12
    engine.close()


# --- stacks -----------------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_editions_compiled_together_say_what_each_says_alone() -> None:
    books = [load_rulebook(code) for code in CODES]
    together = CompiledRulebook([one for book in books for one in book.derived])
    asked = [random_question(random.Random(seed)) for seed in range(60)]
    for book in books:
        alone, among = Engine(book), Engine(book, together)
        for question in asked:
            facts = facts_of(replace(question, code=book.code))
            assert among.firings(facts) == alone.firings(facts)
            found, expected = (one.derive(replace(question, code=book.code)) for one in (among, alone))
            assert found.kinds == expected.kinds
            assert [finding.rests_on for finding in found.findings] == [
                finding.rests_on for finding in expected.findings
            ]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_any_stack_of_rules_says_what_it_says_alone(seed: int) -> None:
    rng = random.Random(seed)
    union = random_rulebook(rng, 80)
    together = CompiledRulebook(union.derived)
    for _ in range(4):
        stack = replace(union, rules=tuple(one for one in union.rules if rng.random() < 0.6))
        alone, among = Engine(stack), Engine(stack, together)
        for _ in range(15):
            facts = facts_of(random_question(rng))
            assert among.firings(facts) == alone.firings(facts)


def test_two_versions_of_one_rule_stand_side_by_side() -> None:
    wet, damp = (rule(single(place__exposure=word), rule_id="made/one", says=word) for word in ("wet", "damp"))
    together = CompiledRulebook([wet, damp])
    first, second = Engine(rulebook(wet), together), Engine(rulebook(damp), together)
    facts = [Facts.of({"place.exposure": word}) for word in ("wet", "damp")]
    assert [[len(engine.firings(fact)) for fact in facts] for engine in (first, second)] == [[1, 0], [0, 1]]


def test_a_stack_of_rules_that_were_not_compiled_is_an_error() -> None:
    with pytest.raises(KeyError):
        Engine(rulebook(WET, SEAL), CompiledRulebook([WET]))


# --- threads and forks ------------------------------------------------------------------------------------------------


@contextmanager
def switching_often() -> Iterator[None]:
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        yield
    finally:
        sys.setswitchinterval(usual)


def test_eight_threads_all_get_right_answers() -> None:
    book = random_rulebook(random.Random(4), 60)
    engine = Engine(book)
    asked = [random_question(random.Random(seed)) for seed in range(40)]
    expected = [(engine.firings(facts_of(one)), engine.derive(one).kinds) for one in asked]
    wrong: list[int] = []

    def ask(seed: int) -> None:
        order = random.Random(seed).sample(range(40), 40) * 3
        found = ((at, engine.firings(facts_of(asked[at])), engine.derive(asked[at]).kinds) for at in order)
        wrong.extend(at for at, *each in found if tuple(each) != expected[at])

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


def test_a_child_opens_a_session_of_its_own(spy: Spy) -> None:
    engine = Engine(BOOK)
    engine.firings(IN_THE_WET)
    opened = spy.count("create_ruleset")
    assert in_a_fork(lambda: engine.firings(IN_THE_WET) == FIRED and spy.count("create_ruleset") - opened) == "1"
    assert engine.firings(IN_THE_WET) == FIRED
    assert spy.count("create_ruleset") == opened


def forked_within_a_question(engine: Engine, work: Any) -> str:
    """Run `work` in a process that is forked while the engine answers; give its text once it has answered."""
    told: list[str] = []
    put = library.assert_facts

    with pytest.MonkeyPatch.context() as patched:

        def forking(*arguments: Any) -> Any:
            patched.undo()
            told.append(in_a_fork(work))
            return put(*arguments)

        patched.setattr(library, "assert_facts", forking)
        assert engine.firings(IN_THE_WET) == FIRED
    (text,) = told
    return text


def test_a_child_answers_though_its_parent_was_forked_within_a_question() -> None:
    engine = Engine(BOOK)
    assert forked_within_a_question(engine, lambda: engine.firings(IN_THE_WET) == FIRED) == "True"


def test_closing_in_a_child_leaves_the_parents_session_alone() -> None:
    engine = Engine(BOOK)
    assert forked_within_a_question(engine, engine.close) == "None"
    assert engine.firings(IN_THE_WET) == FIRED
