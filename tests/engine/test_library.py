"""What the library does, as far as the engine relies on it or keeps away from it."""

from __future__ import annotations

import durable_rules_engine
import pytest

from splicewright.engine.fact_encoding import name_hash
from tests.engine.library import Raw, in_a_process, rule

# --- what is relied on ---------------------------------------------------------------------------------------------


def test_a_fact_that_no_rule_tests_is_told_by_code_1_and_not_kept() -> None:
    raw = Raw({"r": rule({"p": 1})})
    assert raw.put("x", q=1) == 1
    assert raw.held() == []


def test_a_fact_that_a_rule_matches_is_told_by_code_0_and_kept() -> None:
    raw = Raw({"r": rule({"p": 1})})
    assert raw.put("x", p=1) == 0
    assert raw.held() == [{"id": "x", "sid": "0", "p": 1}]


def test_a_repeated_id_is_told_by_code_2_and_the_first_fact_stays() -> None:
    raw = Raw({"r": rule({"p": 1})})
    raw.put("x", p=1)
    assert raw.put("x", p=1, q=2) == 2
    assert raw.held() == [{"id": "x", "sid": "0", "p": 1}]


def test_a_firing_is_a_text_that_begins_with_the_rule_and_the_first_facts_id() -> None:
    raw = Raw({"012": rule({"p": 1})})
    raw.put("0034", p=1)
    assert raw.start() == '{"012":{"a":{"id":"0034","sid":"0","p":1}}}'


def test_completing_takes_the_states_offset_and_gives_the_next_firing() -> None:
    raw = Raw({"r": rule({"p": 1}), "s": rule({"p": 1})})
    raw.put("x", p=1)
    assert str(raw.start()).startswith('{"r":')
    assert str(raw.next()).startswith('{"s":')
    assert raw.next() is None


def test_a_started_firing_keeps_others_from_being_started() -> None:
    raw = Raw({"r": rule({"p": 1}), "s": rule({"p": 1})})
    raw.put("x", p=1)
    assert raw.start() is not None
    assert raw.start() is None


def test_a_fact_asserted_while_a_rule_fires_makes_others_fire() -> None:
    raw = Raw({"r": rule({"p": 1}), "s": rule({"q": 1})})
    raw.put("x", p=1)
    raw.start()
    raw.put("y", q=1)
    assert str(raw.next()).startswith('{"s":')


def test_id_and_session_are_enough_to_retract_a_fact() -> None:
    raw = Raw({"r": rule({"p": 1})})
    raw.put("x", p=1)
    raw.take("x")
    assert raw.held() == []
    assert raw.start() is None


def test_a_retracted_fact_can_be_asserted_again() -> None:
    raw = Raw({"r": rule({"p": 1})})
    for _ in range(3):
        assert raw.put("x", p=1) == 0
        assert len(raw.fire()) == 1
        raw.take("x")


def test_retracting_what_was_not_kept_is_no_error() -> None:
    raw = Raw({"r": rule({"p": 1})})
    raw.put("x", q=1)
    raw.take("x")
    assert raw.held() == []


def test_many_facts_are_asserted_and_retracted_at_once() -> None:
    raw = Raw({"r": rule({"p": 1})})
    batch = '[{"id":"x","sid":"0","p":1},{"id":"y","sid":"0","q":1},{"id":"z","sid":"0","p":1}]'
    code, raw.state = durable_rules_engine.assert_facts(raw.handle, batch)
    assert code == 1  # the last code that was not 0
    assert sorted(one["r"]["a"]["id"] for one in raw.fire()) == ["x", "z"]
    durable_rules_engine.retract_facts(raw.handle, '[{"id":"x","sid":"0"},{"id":"z","sid":"0"}]')
    assert raw.held() == []


@pytest.mark.parametrize(
    ("operator", "fires"),
    [("$gte", [5, 6]), ("$gt", [6]), ("$lte", [-7, 5]), ("$lt", [-7]), ("$neq", [-7, 6])],
)
def test_whole_numbers_compare_as_numbers(operator: str, fires: list[int]) -> None:
    raw = Raw({"r": rule({operator: {"p": 5}})})
    for value in (-7, 5, 6):
        raw.put(f"x{value}", p=value)
    assert sorted(one["r"]["a"]["p"] for one in raw.fire()) == fires


@pytest.mark.parametrize("value", [2**53, -(2**53), 0])
def test_the_largest_numbers_keep_their_value(value: int) -> None:
    raw = Raw({"r": rule({"p": value})})
    assert raw.put("near", p=value + 1) == 1
    assert raw.put("same", p=value) == 0


@pytest.mark.parametrize("operator", ["$gte", "$gt", "$lte", "$lt", "$neq"])
def test_every_comparison_with_an_absent_property_is_false(operator: str) -> None:
    raw = Raw({"r": rule({"$and": [{"g": 1}, {operator: {"p": 5}}]})})
    assert raw.put("x", g=1) == 1


# --- why each rule is one pattern over one fact ---------------------------------------------------------------------


def test_one_fact_never_fills_two_patterns() -> None:
    raw = Raw({"r": rule({"p": 1}, {"q": 1})})
    raw.put("x", p=1, q=1)
    assert raw.fire() == []


def test_retracting_two_facts_that_a_rule_joined_overwrites_another_firing() -> None:
    raw = Raw({"r": rule({"p": 1}, {"q": 1})}, name="n")
    raw.put("a1", p=1)
    raw.put("b1", q=1)
    raw.put("a2", p=1)
    assert str(raw.start()).startswith('{"r":{"a":{"id":"a2"')
    raw.put("b2", q=1)
    raw.take("b1")
    raw.take("a2")
    # The firing of a1 with b2 is still to come; it is told under the ruleset's name instead of the rule's.
    assert str(raw.next()).startswith('{"n":{"a":{"id":"a1"')


def test_a_disjunction_fires_once_for_each_branch_that_holds() -> None:
    raw = Raw({"r": rule({"$or": [{"p": 1}, {"q": 1}]})})
    raw.put("x", p=1, q=1)
    assert len(raw.fire()) == 2


# --- why only whole numbers and short names reach it ----------------------------------------------------------------


def test_true_equals_1() -> None:
    raw = Raw({"r": rule({"p": 1})})
    assert raw.put("x", p=True) == 0


def test_text_compares_by_letters_not_by_value() -> None:
    raw = Raw({"r": rule({"$gte": {"p": 5}})})
    assert raw.put("x", p="10") == 1


def test_names_are_told_apart_by_a_hash_alone() -> None:
    assert name_hash("costarring") == name_hash("liquid")
    raw = Raw({"r": rule({"liquid": 1})})
    assert raw.put("x", costarring=1) == 0


# --- limits that it does not check, or only when a fact comes --------------------------------------------------------


def _branches(count: int) -> Raw:
    return Raw({f"r{at}": rule({"$and": [{"g": 1}, {f"p{at}": 1}]}) for at in range(count)})


def test_64_comparisons_may_wait_behind_one_that_held() -> None:
    raw = _branches(64)
    assert raw.put("x", g=1, **{f"p{at}": 1 for at in range(64)}) == 0
    assert len(raw.fire()) == 64


def test_the_65th_is_an_error_when_the_fact_comes() -> None:
    raw = _branches(65)
    with pytest.raises(Exception, match="error code: 303"):
        raw.put("x", g=1, **{f"p{at}": 1 for at in range(65)})


def test_more_than_16_joined_facts_are_an_error_when_the_last_comes() -> None:
    raw = Raw({"r": rule(*({f"p{at}": 1} for at in range(17)))})
    for at in range(16):
        raw.put(f"x{at}", **{f"p{at}": 1})
    with pytest.raises(Exception, match="error code: 304"):
        raw.put("x16", p16=1)


def test_more_than_254_properties_are_an_error() -> None:
    raw = Raw({"r": rule({"p0": 1})})
    assert raw.put("x", **{f"p{at}": 1 for at in range(252)}) == 0  # with id and session
    with pytest.raises(Exception, match="error code: 302"):
        raw.put("y", **{f"p{at}": 1 for at in range(253)})


# --- crashes and leaks ----------------------------------------------------------------------------------------------

_DELETE = """
import sys, durable_rules_engine as library
handle = library.create_ruleset("x", '{"w":{"all":[{"a":{"w":1}}]}}')
_, state = library.assert_fact(handle, '{"id":"w","sid":"0","w":1}')
if sys.argv[1] == "fire":
    library.start_action_for_state(handle, state)
    library.complete_and_start_action(handle, state)
library.delete_state(handle, "0")
library.delete_ruleset(handle)
print("deleted")
"""
# Fills fresh memory with what is not zero, as it is in a process that has run for a while.
_USED_MEMORY = {"MALLOC_PERTURB_": "90"}


def test_deleting_a_state_in_which_nothing_fired_takes_the_process_down() -> None:
    ran = in_a_process(_DELETE, ["rest"], **_USED_MEMORY)
    assert ran.returncode < 0
    assert ran.stdout == ""


def test_deleting_a_state_in_which_a_rule_fired_is_safe() -> None:
    ran = in_a_process(_DELETE, ["fire"], **_USED_MEMORY)
    assert (ran.returncode, ran.stdout) == (0, "deleted\n")


_RELOAD = """
import sys, durable_rules_engine as library
def resident():
    with open('/proc/self/statm') as status:
        return int(status.read().split()[1]) * 4
rules = ",".join(f'"r{at}":{{"all":[{{"a":{{"p{at}":1}}}}]}}' for at in range(100))
def reload():
    handle = library.create_ruleset("x", "{" + rules + "}")
    _, state = library.assert_fact(handle, '{"id":"x","sid":"0","p1":1}')
    library.start_action_for_state(handle, state)
    library.complete_and_start_action(handle, state)
    if sys.argv[1] == "state first":
        library.delete_state(handle, "0")
    library.delete_ruleset(handle)
for _ in range(10):
    reload()
before = resident()
for _ in range(40):
    reload()
print(resident() - before)
"""


def test_deleting_the_state_before_the_ruleset_keeps_memory_flat() -> None:
    assert int(in_a_process(_RELOAD, ["state first"]).stdout) < 2_000  # kB


def test_deleting_the_ruleset_alone_loses_what_its_state_held() -> None:
    assert int(in_a_process(_RELOAD, ["ruleset alone"]).stdout) > 20_000  # kB
