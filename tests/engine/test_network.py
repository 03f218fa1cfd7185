from __future__ import annotations

import pytest

from splicewright.engine.coding import Comparison, distinct_names
from splicewright.engine.faults import MOST_ALIKE, MOST_BRANCHES, MOST_COMPARISONS, MOST_PENDING, RulebookTooLarge
from splicewright.engine.network import Network, Tests, lay_out
from tests.engine.library import Raw


def laid_out(patterns: list[Tests]) -> Network:
    return lay_out([(f"made/rule-{at}", tests) for at, tests in enumerate(patterns)], distinct_names("ghij"))


def equal(prop: str, value: int = 1) -> Comparison:
    return Comparison(prop, "$eq", value)


def above(prop: str, value: int) -> Comparison:
    return Comparison(prop, "$gt", value)


def test_every_pattern_begins_with_a_gate() -> None:
    patterns = [frozenset({equal(f"p{at}"), above("q", at)}) for at in range(30)]
    network = laid_out(patterns)
    assert {network.paths[tests][0].prop for tests in patterns} == set(network.gates)
    assert all(network.paths[tests][0] == equal(network.paths[tests][0].prop) for tests in patterns)


def test_patterns_are_spread_over_the_gates_evenly() -> None:
    network = laid_out([frozenset({equal(f"p{at}")}) for at in range(100)])
    behind = [sum(path[0].prop == gate for path in network.paths.values()) for gate in network.gates]
    assert behind == [10] * 10


def test_what_most_patterns_test_comes_first_and_equalities_before_all_else() -> None:
    tests = frozenset({above("p", 1), equal("r"), equal("q")})
    network = laid_out([tests, frozenset({equal("q"), equal("s")}), frozenset({above("p", 1)})])
    assert network.paths[tests][1:] == (equal("q"), equal("r"), above("p", 1))


def test_a_pattern_without_tests_is_its_gate_alone() -> None:
    network = laid_out([frozenset()])
    assert network.pattern(frozenset()) == {network.gates[0]: 1}


def test_a_pattern_is_written_as_a_conjunction() -> None:
    tests = frozenset({equal("p"), above("q", 3)})
    network = laid_out([tests])
    assert network.pattern(tests) == {"$and": [{network.gates[0]: 1}, {"p": 1}, {"$gt": {"q": 3}}]}


def test_as_many_comparisons_as_a_pattern_may_have_are_taken() -> None:
    laid_out([frozenset(above(f"p{at}", 1) for at in range(MOST_COMPARISONS))])


def test_one_comparison_more_is_refused() -> None:
    with pytest.raises(RulebookTooLarge, match=r"^made/rule-0: 31 comparisons; write at most 30, or two rules$"):
        laid_out([frozenset(above(f"p{at}", 1) for at in range(MOST_COMPARISONS + 1))])


def test_as_many_like_patterns_as_the_library_takes_all_fire() -> None:
    tests = frozenset({equal("p")})
    network = laid_out([tests] * MOST_ALIKE)
    raw = Raw({f"r{at}": {"all": [{"a": network.pattern(tests)}]} for at in range(MOST_ALIKE)})
    raw.put("x", p=1, **dict.fromkeys(network.gates, 1))
    assert len(raw.fire()) == MOST_ALIKE


def test_one_like_pattern_more_is_refused() -> None:
    says = r"^made/rule-250: more than 250 rules test just this; conclude a condition from it in one$"
    with pytest.raises(RulebookTooLarge, match=says):
        laid_out([frozenset({equal("p")})] * (MOST_ALIKE + 1))


def test_a_widest_network_that_is_taken_fits_on_the_librarys_stack() -> None:
    patterns = [frozenset({above(f"p{at}", 0)}) for at in range(900)]
    network = laid_out(patterns)
    raw = Raw({f"r{at}": {"all": [{"a": network.pattern(tests)}]} for at, tests in enumerate(patterns)})
    held = {f"p{at}": 1 for at in range(200)}
    raw.put("x", **dict.fromkeys(network.gates, 1), **held)
    assert len(raw.fire()) == 200


def test_patterns_that_could_hold_together_in_greater_number_than_fit_are_refused() -> None:
    shared = [frozenset({equal("q"), above("p", at)}) for at in range(MOST_PENDING + 1)]
    with pytest.raises(RulebookTooLarge, match="too many patterns can hold at once; write conditions that rules share"):
        laid_out(shared)


def test_patterns_of_which_one_at_most_can_hold_are_not_counted_together() -> None:
    laid_out([frozenset({equal("q"), equal("p", at)}) for at in range(MOST_PENDING * 2)])


def test_more_branches_than_the_librarys_table_has_are_refused() -> None:
    shared = [frozenset({equal("q"), equal("p", at)}) for at in range(MOST_BRANCHES + 1)]
    with pytest.raises(RulebookTooLarge, match="too many patterns go on from what it tests"):
        laid_out(shared)


def test_as_many_branches_as_are_taken_are_all_reached() -> None:
    patterns = [frozenset({equal("q"), equal("p", at)}) for at in range(MOST_BRANCHES)]
    network = laid_out(patterns)
    raw = Raw({f"r{at}": {"all": [{"a": network.pattern(tests)}]} for at, tests in enumerate(patterns)})
    for at in range(MOST_BRANCHES):
        raw.put(f"x{at}", q=1, p=at, **dict.fromkeys(network.gates, 1))
    fired = {rule: facts["a"]["p"] for one in raw.fire() for rule, facts in one.items()}
    assert fired == {f"r{at}": at for at in range(MOST_BRANCHES)}
