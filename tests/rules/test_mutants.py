"""A rule changed in a small way turns an example or a case red; and the tool that says so can be believed."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of
from splicewright.rulebook.model import FactValue, Kind, ListingTest, Pattern
from splicewright.units import size
from tests.cases import test_cases
from tests.engine.made import asks, condition, conductor, rule, single
from tests.oracle.questions import random_question
from tests.rules.domain import always, between, few, known_with, same, stepped
from tests.rules.killing import Corpus
from tests.rules.mutants import LEAST, main, mutants_of, shipped, tally, together
from tests.rules.mutations import Mutant, of_effect, of_when


@pytest.fixture(scope="module")
def corpus() -> Corpus:
    return Corpus()


@pytest.mark.slow
def test_nearly_every_small_change_of_a_rule_turns_an_example_or_a_case_red(corpus: Corpus) -> None:
    rules = [rule for _, rule in shipped().values()]
    when, effect = (tally(corpus, mutants_of(corpus, rules, part)) for part in ("when", "effect"))
    told = [f"{one.rule.id}: {one.what}" for one in (*when.survivors, *effect.survivors)]
    assert when.mutants > 5 * len(rules)
    assert when.percent >= LEAST, told
    assert together([when, effect]).percent >= LEAST, told


# --- which changes are tried --------------------------------------------------------


PLACES = {"place": ("damp", "wet")}


def of_conditions(*when: Pattern) -> set[str]:
    return {one.what for one in of_when(rule(*when), PLACES)}


def of_doing(kind: Kind, **effect: Any) -> set[str]:
    return {one.what for one in of_effect(rule(kind=kind, **effect), PLACES)}


def test_a_threshold_is_dropped_turned_and_moved_one_step_each_way() -> None:
    assert of_conditions(single(circuit__volts=("above", 10_000))) == {
        "when/0: circuit.volts above 10000 dropped",
        "when/0/circuit.volts: above turned to at-most",
        "when/0/circuit.volts: 10000 moved to 9999",
        "when/0/circuit.volts: 10000 moved to 10001",
    }


def test_words_are_left_out_let_in_from_beside_them_and_turned() -> None:
    assert of_conditions(single(place__exposure=["buried", "submerged"])) == {
        "when/0: place.exposure any-of buried, submerged dropped",
        "when/0/place.exposure: buried left out",
        "when/0/place.exposure: submerged left out",
        "when/0/place.exposure: wet let in",
        "when/0/place.exposure: any-of buried, submerged turned to every other word",
    }


def test_each_test_of_a_pattern_is_dropped_and_each_flag_turned() -> None:
    assert of_conditions(single(work__temporary=True, place__hazardous=True), condition(place="wet")) == {
        "when/0: work.temporary any-of True, place.hazardous any-of True dropped",
        "when/0/work.temporary: any-of True dropped",
        "when/0/work.temporary: True turned",
        "when/0/place.hazardous: any-of True dropped",
        "when/0/place.hazardous: True turned",
        "when/1: condition.place any-of wet dropped",
        "when/1/condition.place: damp let in",
        "when/1/condition.place: any-of wet turned to every other word",
    }


def test_an_excluded_word_is_asked_for_instead() -> None:
    changes = of_conditions(single(circuit__kind=("other-than", "service")))
    assert "when/0/circuit.kind: other-than turned to equal" in changes


def test_what_a_rule_concludes_asks_and_bars_is_changed_too() -> None:
    assert of_doing("conclude", concludes=("place", "wet")) == {
        "conclude: wet turned to damp",
        "conclude: wet turned to nothing",
    }
    assert of_doing("bar", methods=("push-in", "lever")) == {"bar: push-in left out", "bar: lever left out"}
    demand = (
        ListingTest("sealed", "any-of", (True,)),
        ListingTest("places", "includes-any", ("wet", "burial")),
        ListingTest("volts", "at-least", (FactValue("circuit.volts"),)),
    )
    assert of_doing("demand", tests=demand) == {
        "demand/sealed dropped",
        "demand/sealed: True turned",
        "demand/places dropped",
        "demand/places: wet left out",
        "demand/places: burial left out",
        "demand/places: ['wet', 'burial'] turned to every other word",
        "demand/volts dropped",
        "demand/volts: at-least turned",
    }


def test_a_size_that_is_asked_of_a_listing_moves_to_the_gauge_beside_it() -> None:
    twelve, (thirteen, eleven) = size("12 AWG").area, (size(f"{number} AWG").area for number in (13, 11))
    assert of_doing("prefer", tests=(ListingTest("largest", "at-most", (twelve,)),)) == {
        "prefer/largest: at-most turned",
        f"prefer/largest: {twelve} moved to {thirteen}",
        f"prefer/largest: {twelve} moved to {eleven}",
    }


def test_a_size_moves_to_the_gauge_beside_it_and_a_table_figure_to_the_next_one() -> None:
    gauges = few("conductor.size") or ()
    at = len(gauges) // 2
    assert list(stepped("conductor.size", gauges[at])) == [gauges[at - 1], gauges[at + 1]]
    assert [each // 90 for each in stepped("conductor.degrees", 90 * 90)] == [75, 150]


# --- changes that no question can tell from the rule are none ------------------------


def test_a_change_that_no_question_can_tell_is_no_mutant() -> None:
    assert same((asks("joint.count", "at-least", (1,)),), ())
    assert same((asks("circuit.volts", "above", (0,)),), (asks("circuit.volts", "above", (-1,)),))
    assert not same((asks("circuit.volts", "above", (0,)),), ())  # volts may be absent
    assert not same((asks("circuit.volts", "above", (0,)),), (asks("circuit.volts", "above", (1,)),))


def test_a_number_that_another_is_made_from_needs_no_test_of_its_own() -> None:
    guard = asks("conductor.device_limit", "above", (0,))
    made = (asks("conductor.device_excess", "above", (0,)), asks("circuit.overcurrent_amps", "above", (0,)))
    assert not same((guard,), ())
    assert same((guard,), (), known=known_with(one.name for one in made))
    changes = of_conditions(single(circuit__overcurrent_amps=("above", 0)), conductor(device_excess=("above", 0)))
    assert changes == {
        "when/0/circuit.overcurrent_amps: above turned to at-most",
        "when/0/circuit.overcurrent_amps: 0 moved to 1",
        "when/1: conductor.device_excess above 0 dropped",
        "when/1/conductor.device_excess: above turned to at-most",
        "when/1/conductor.device_excess: 0 moved to -1",
        "when/1/conductor.device_excess: 0 moved to 1",
    }


def test_a_number_of_one_conductor_tells_nothing_of_another() -> None:
    apart = of_conditions(conductor(device_limit=("above", 0), count=1), conductor(device_excess=("above", 0)))
    beside = of_conditions(conductor(device_limit=("above", 0), device_excess=("above", 0)))
    dropped = "when/0/conductor.device_limit: above 0 dropped"
    assert (dropped in apart, dropped in beside) == (True, False)


def test_no_question_leaves_what_the_tool_takes_for_possible() -> None:
    rng = random.Random(11)
    for _ in range(1000):
        facts = facts_of(random_question(rng))
        for group, held in (("single", facts.single), *(("conductor", one) for one in facts.conductors)):
            assert known_with(held) <= {*facts.single, *held}
            for name, kind in fact_kinds().items():
                value = held.get(name)
                if value is None:
                    of_group = name.startswith("conductor.") == (group == "conductor")
                    assert not (of_group and always(name)), name
                elif not (kind.words or kind.open) and kind.kind != "flag":
                    least, most = between(name)
                    assert least <= int(str(value)) <= most, (name, value)
                    assert kind.kind == "size" or int(str(value)) in (few(name) or (int(str(value)),)), (name, value)


# --- what kills ---------------------------------------------------------------------


def test_a_rule_without_the_example_at_its_threshold_lets_the_threshold_move(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(test_cases, "cases", list)
    shipped_rule = shipped()["scope/above-1000-volts"][1]
    moved = next(one for one in of_when(shipped_rule, PLACES) if one.what.endswith("moved to 10001"))
    assert Corpus().kills(moved)
    assert not Corpus(overlaid=[replace(shipped_rule, fires=())]).kills(moved)


def test_the_cases_kill_what_no_example_does() -> None:
    shipped_rule = shipped()["scope/above-1000-volts"][1]
    always_fires = Mutant(replace(shipped_rule, when=()), "always fires")
    assert Corpus(overlaid=[replace(shipped_rule, silent=())]).kills(always_fires)


def test_the_examples_of_the_rules_that_build_on_a_conclusion_kill_too() -> None:
    shipped_rule = shipped()["environment/soaked-is-wet"][1]
    never = replace(shipped_rule, when=(single(place__exposure="wet", work__temporary=True),))
    assert Corpus(overlaid=[replace(shipped_rule, fires=(), silent=())]).kills(Mutant(never, "hardly ever fires"))


def test_the_command_tells_survivors_by_ruleset(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Corpus, "survivors", lambda _corpus, mutants: tuple(mutants)[:1])
    assert main(["--ruleset", "scope"]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("scope                when ")
    assert printed.count("    nfpa70/scope.yaml:") == 2
    assert "all                  both " in printed


def test_the_command_fails_where_too_many_live(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Corpus, "survivors", lambda _corpus, mutants: tuple(mutants))
    assert main(["--ruleset", "scope"]) == 1
    assert "scope/above-1000-volts: when/0/circuit.volts: 10000 moved to 9999" in capsys.readouterr().out
