"""Which rules a word turns on and off, held against rules that are evaluated."""

from __future__ import annotations

import functools
import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from splicewright.question.fact_kinds import CONDUCTOR_LEAVES, SINGLE_LEAVES, fact_kinds
from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.effects import read_effect
from splicewright.rulebook.model import Rule, Rulebook, RuleSource
from splicewright.rulebook.word_asked import AskedWord, read_asked
from splicewright.rulebook.word_reach import WordReach, word_reach
from splicewright.rulebook.word_tests import Word, left_out
from tests.oracle.plain import evaluate
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

GROUPS = ("on", "off", "unless", "measured")


def rule(rule_id: str, *when: dict[str, Any], **effect: Any) -> Rule:
    problems: list[Any] = []
    found = read_effect(effect or {"caution": True}, "", problems)
    patterns = read_when(list(when), "", problems)
    assert found
    assert problems == []
    return Rule(f"a/{rule_id}", None, None, patterns, found, "So it is.", RuleSource(None))


def book(*rules: Rule) -> Rulebook:
    return Rulebook("nfpa70-2023", rules, "")


def told(found: WordReach) -> dict[str, list[tuple[str, str]]]:
    groups = {name: [(one.rule.id[2:], one.by) for one in getattr(found, name)] for name in GROUPS}
    return {name: group for name, group in groups.items() if group}


def reached(asked: str, *rules: Rule) -> dict[str, list[tuple[str, str]]]:
    (one,) = read_asked(asked)
    return told(word_reach(book(*rules), one))


def test_rule_that_lists_the_word_is_turned_on_and_one_that_lists_others_off() -> None:
    rules = (rule("wet", {"place": {"exposure": ["wet", "buried"]}}), rule("dry", {"place": {"exposure": "dry"}}))
    assert reached("exposure=wet", *rules) == {
        "on": [("wet", "place.exposure: wet, buried")],
        "off": [("dry", "place.exposure: dry")],
    }


def test_rule_that_leaves_out_the_word_is_turned_off_and_one_that_leaves_out_another_on() -> None:
    rules = (
        rule("no-box", {"place": {"enclosure": {"other-than": "box"}}}),
        rule("no-tray", {"place": {"enclosure": {"other-than": "cable-tray"}}}),
    )
    assert reached("enclosure=box", *rules) == {
        "on": [("no-tray", "place.enclosure: other than cable-tray")],
        "off": [("no-box", "place.enclosure: other than box")],
    }


def test_rule_on_another_leaf_is_not_reached() -> None:
    assert reached("kind=control", rule("role", {"conductor": {"role": "control"}})) == {}


def test_rule_that_asks_for_another_conductor_may_still_fire() -> None:
    rules = (
        rule("hot", {"conductor": {"role": "ungrounded"}}),
        rule("roles", {"joint": {"roles": "grounded"}}),
        rule("only", {"joint": {"only_role": "grounded"}}),
        rule("mixed", {"joint": {"only_role": ["grounded", "mixed"]}}),
        rule("both", {"conductor": {"role": "control"}}, {"conductor": {"role": "ungrounded"}}),
        rule("other", {"joint": {"only_role": {"other-than": "control"}}}),
    )
    assert reached("role=control", *rules) == {
        "on": [("both", "conductor.role: control")],
        "off": [("only", "joint.only_role: grounded")],
        "unless": [
            ("hot", "conductor.role: ungrounded"),
            ("roles", "joint.roles: grounded"),
            ("mixed", "joint.only_role: grounded, mixed"),
            ("other", "joint.only_role: other than control"),
        ],
    }


def test_word_of_a_list_does_not_silence_what_asks_for_another_of_it() -> None:
    rules = (rule("salt", {"place": {"corrosion": "salt-air"}}), rule("acid", {"place": {"corrosion": "chemical"}}))
    assert reached("salt-air", *rules) == {
        "on": [("salt", "place.corrosion: salt-air")],
        "unless": [("acid", "place.corrosion: chemical")],
    }


def test_rule_on_a_measure_of_the_leaf_is_reached_by_way_of_it() -> None:
    found = reached("exposure=wet", rule("cool", {"conductor": {"ampacity": {"below": 20}}}))
    assert found == {"measured": [("cool", "by way of the measure conductor.ampacity")]}


def test_flag_turns_on_and_off() -> None:
    rules = (rule("home", {"place": {"dwelling": True}}), rule("work", {"place": {"dwelling": False}}))
    assert reached("place.dwelling=true", *rules) == {
        "on": [("home", "place.dwelling: true")],
        "off": [("work", "place.dwelling: false")],
    }


WET = {"condition": {"place": "wet"}}


def test_condition_of_rules_that_the_word_turns_on_passes_it_on() -> None:
    first = rule("first", {"place": {"exposure": "buried"}}, conclude={"place": "wet"})
    second = rule("second", WET, conclude={"seal": "needed"})
    third = rule("third", {"condition": {"seal": "needed"}})
    assert reached("buried", third, second, first)["on"] == [
        ("third", "by way of the condition seal: needed"),
        ("second", "by way of the condition place: wet"),
        ("first", "place.exposure: buried"),
    ]
    assert [name for name, _ in reached("exposure=dry", third, second, first)["off"]] == ["third", "second", "first"]


def test_condition_that_other_words_bring_too_says_so() -> None:
    rules = (
        rule("buried", {"place": {"exposure": "buried"}}, conclude={"place": "wet"}),
        rule("outdoors", {"place": {"site": "outdoors"}}, conclude={"place": "wet"}),
        rule("asks", WET),
    )
    assert reached("buried", *rules)["on"][1] == ("asks", "by way of the condition place: wet, which else may hold too")
    assert "asks" not in str(reached("exposure=dry", *rules))


def test_rule_that_only_leaves_out_another_word_passes_nothing_on() -> None:
    rules = (
        rule("not-dry", {"place": {"exposure": {"other-than": "dry"}}}, conclude={"place": "wet"}),
        rule("asks", WET),
    )
    assert reached("damp", *rules) == {"on": [("not-dry", "place.exposure: other than dry")]}
    assert [name for name, _ in reached("exposure=dry", *rules)["off"]] == ["not-dry", "asks"]


def test_condition_behind_a_measure_is_reached_by_way_of_both() -> None:
    rules = (rule("wet", {"place": {"wet": True}}, conclude={"place": "wet"}), rule("asks", WET))
    assert reached("exposure=wet", *rules)["measured"][1] == (
        "asks",
        "by way of the measure place.wet, by way of the condition place: wet",
    )


def test_condition_that_only_another_conductor_brings_may_still_hold() -> None:
    rules = (rule("hot", {"conductor": {"role": "ungrounded"}}, conclude={"place": "wet"}), rule("asks", WET))
    assert [name for name, _ in reached("role=control", *rules)["unless"]] == ["hot", "asks"]


def test_what_silences_a_rule_outweighs_what_it_needs() -> None:
    rules = (
        rule("first", {"place": {"exposure": "dry"}}, conclude={"place": "wet"}),
        rule("asks", WET, {"place": {"exposure": "wet"}}),
    )
    assert [name for name, _ in reached("exposure=wet", *rules)["off"]] == ["first", "asks"]


def test_condition_passes_on_what_needs_it_though_the_rule_itself_only_allows_the_word() -> None:
    rules = (
        rule("first", {"place": {"exposure": "buried"}}, conclude={"place": "wet"}),
        rule("second", WET, {"place": {"exposure": {"other-than": "dry"}}}, conclude={"seal": "needed"}),
        rule("third", {"condition": {"seal": "needed"}}),
    )
    assert [name for name, _ in reached("buried", *rules)["on"]] == ["first", "second", "third"]


def test_leaf_is_tested_by_rules_on_it_and_on_its_measures() -> None:
    rules = (
        rule("volts", {"circuit": {"volts": {"above": 600}}}),
        rule("stated", {"circuit": {"volts_stated": False}}, conclude={"place": "wet"}),
        rule("asks", WET),
    )
    assert reached("circuit.volts", *rules) == {
        "on": [("volts", "circuit.volts")],
        "measured": [
            ("stated", "by way of the measure circuit.volts_stated"),
            ("asks", "by way of the measure circuit.volts_stated, by way of the condition place: wet"),
        ],
    }


def test_method_is_reached_where_a_rule_names_it_or_asks_for_others() -> None:
    rules = (
        rule("bar", {"place": {"exposure": "wet"}}, bar={"method": ["push-in", "lever"]}),
        rule("other", {"place": {"exposure": "wet"}}, bar={"method": "solder"}),
        rule("demand", {"place": {"exposure": "wet"}}, demand={"method": ["compression"]}),
        rule("prefer", {"place": {"exposure": "wet"}}, prefer={"clearly": {"method": "push-in"}}),
        rule("prefer-other", {"place": {"exposure": "wet"}}, prefer={"clearly": {"method": {"other-than": "push-in"}}}),
        rule("all", {"place": {"exposure": "wet"}}, bar="joint"),
    )
    assert reached("push-in", *rules) == {
        "on": [("bar", "names push-in, lever"), ("demand", "asks for compression"), ("prefer", "prefers push-in")]
    }
    assert [name for name, _ in reached("proposal.method", *rules)["on"]] == [
        "bar", "other", "demand", "prefer", "prefer-other",
    ]  # fmt: skip


def test_what_a_proposal_says_is_reached_where_a_rule_speaks_of_it() -> None:
    rules = (
        rule("sign", {"place": {"exposure": "wet"}}, defect={"sign": "stray-strands"}),
        rule("said", {"place": {"exposure": "wet"}}, defect={"said": {"tugged": False}}),
        rule("ask", {"place": {"exposure": "wet"}}, ask={"for": "tugged"}),
        rule("step", {"place": {"exposure": "wet"}}, step={"phase": "tug", "do": "Pull.", "proves": "tugged"}),
        rule("strip", {"place": {"exposure": "wet"}}, step={"phase": "strip", "do": "Strip.", "proves": "stripped"}),
    )
    assert reached("stray-strands", *rules) == {"on": [("sign", "the sign stray-strands")]}
    assert [name for name, _ in reached("tugged", *rules)["on"]] == ["said", "ask", "step"]
    assert reached("strip", *rules) == {"on": [("strip", "what is said of strip")]}


def test_left_out_are_the_words_for_which_a_rule_is_silent() -> None:
    one = rule("one", {"circuit": {"serves": {"other-than": "pump"}}}, {"joint": {"roles": ["ungrounded", "control"]}})
    assert left_out(one, "circuit.serves") == ("pump",)
    assert left_out(one, "conductor.role") == (
        "grounded", "equipment-grounding", "isolated-grounding", "grounding-electrode", "bonding",
    )  # fmt: skip
    assert left_out(one, "circuit.kind") == ()


# --- against rules that are evaluated ------------------------------------------------------


def values(question: Question) -> Iterator[tuple[str, Word]]:
    """Each leaf of a question that is a word or a flag, with its value; of conductors, each one's."""
    for name in SINGLE_LEAVES:
        yield from ((name, word) for word in _words(attribute(question, name)))
    for conductor in question.joint.conductors:
        for name in CONDUCTOR_LEAVES:
            yield from ((name, word) for word in _words(getattr(conductor, name.partition(".")[2])))


def attribute(question: Question, name: str) -> Any:
    return functools.reduce(getattr, name.split("."), question)


def _words(value: Any) -> list[Word]:
    return [one for one in (value if isinstance(value, tuple) else [value]) if isinstance(one, str | bool)]


def alone(question: Question, name: str) -> bool:
    """Whether nothing stands beside a leaf's word in the joint."""
    found = (
        [attribute(question, name)]
        if name in SINGLE_LEAVES
        else [getattr(conductor, name.partition(".")[2]) for conductor in question.joint.conductors]
    )
    return len({each for one in found for each in _words(one)}) == 1


def fired(rulebook: Rulebook, question: Question) -> set[str]:
    return {rule_id for rule_id, _, _ in evaluate(rulebook.rules, facts_of(question))}


def ids(found: WordReach, *groups: str) -> set[str]:
    return {one.rule.id for group in groups for one in getattr(found, group)}


def rulebooks(count: int) -> Iterator[tuple[Rulebook, random.Random]]:
    rng = random.Random(11)
    for at in range(count):
        yield (load_rulebook("nfpa70-2023") if at % 4 == 0 else random_rulebook(rng, 40)), rng


@pytest.mark.slow
def test_no_rule_fires_that_a_word_of_the_question_turns_off() -> None:
    told_off = 0
    for rulebook, rng in rulebooks(60):
        question = random_question(rng)
        firing = fired(rulebook, question)
        for name, word in values(question):
            reach = word_reach(rulebook, AskedWord(name, word))
            silent = ids(reach, "off", *(("unless",) if alone(question, name) else ()))
            assert not silent & firing, (name, word)
            told_off += len(silent)
    assert told_off > 1_000


def changed(question: Question, rng: random.Random) -> tuple[Question, str, Word, Word]:
    """The same question with another word in one leaf."""
    names = [name for name in SINGLE_LEAVES if fact_kinds()[name].kind in ("word", "flag")]
    name = rng.choice([name for name in names if _words(attribute(question, name))])
    part, leaf = name.split(".")
    before: Word = attribute(question, name)
    others = [word for word in (fact_kinds()[name].words or (True, False)) if word != before]
    after: Word = rng.choice(others)
    return replace(question, **{part: replace(getattr(question, part), **{leaf: after})}), name, before, after


@pytest.mark.slow
def test_every_rule_that_a_changed_word_starts_or_silences_is_reached() -> None:
    turned = 0
    for rulebook, rng in rulebooks(240):
        question = random_question(rng)
        other, name, before, after = changed(question, rng)
        found = [word_reach(rulebook, AskedWord(name, word)) for word in (before, after)]
        differ = fired(rulebook, question) ^ fired(rulebook, other)
        assert differ <= set().union(*(ids(one, *GROUPS) for one in found)), (name, before, after)
        turned += len(differ)
    assert turned > 100


@pytest.mark.parametrize("group", GROUPS)
def test_no_rule_stands_in_two_groups(group: str) -> None:
    shipped = load_rulebook("nfpa70-2023")
    for asked in read_asked("control"):
        found = word_reach(shipped, asked)
        assert found.on
        assert not ids(found, group) & ids(found, *(set(GROUPS) - {group}))
