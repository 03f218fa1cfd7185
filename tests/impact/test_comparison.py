"""Joints under two stacks: differences are those of the answers, all causes together give the other side."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.impact.comparison import ComparedJoint, Comparison, Difference
from splicewright.impact.points import Point
from splicewright.impact.stacks import Stack, StackName, read_stack
from splicewright.question.model import Question
from splicewright.question.only import ANY
from splicewright.question.proposal import Proposal, read_proposal
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES, METHODS, SIGNS
from splicewright.refusals import Refused
from tests.oracle.questions import random_given, random_question

PAIRS = (
    ("nfpa70-2017", "nfpa70-2023"),
    ("nfpa70-2023", "nfpa70-2023+coastal-county+house-rules"),
    ("nfpa70-2020+house-rules", "nfpa70-2023+coastal-county"),
)


STACKS = (*CODES, "nfpa70-2023+coastal-county+house-rules")
ORDINARY = ("16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "2 AWG")


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def comparison(chooser: Chooser, old: str, new: str) -> Comparison:
    return Comparison(*(read_stack(StackName.read(one), chooser.holding) for one in (old, new)))


def joint(**more: Any) -> Question:
    return read_question(
        {"joint": {"conductors": [{"size": "14 AWG", "count": 3}], **more.pop("joint", {})}, **more}
    ).question


def ordinary_question(rng: random.Random) -> Question:
    """Give a joint that some connector is likely to take, with some words of the vocabulary."""
    while True:
        rest = random_given(rng)
        size = rng.choice(ORDINARY)
        conductors = [{"size": size, "count": rng.randint(2, 4)}, {"size": size, "role": "grounded"}]
        for conductor, other in zip(conductors, rest["joint"]["conductors"], strict=False):
            conductor.update(_some(rng, {key: other[key] for key in other if key not in ("size", "count")}, 1))
        parts = {part: _some(rng, rest.get(part, {}), 2) for part in ("place", "circuit", "work")}
        try:
            return read_question({"joint": {"conductors": conductors}, **parts}).question
        except Refused:
            continue


def _some(rng: random.Random, leaves: Any, most: int) -> dict[str, Any]:
    return {name: leaves[name] for name in rng.sample(sorted(leaves), min(len(leaves), rng.randint(0, most)))}


def random_proposal(rng: random.Random, chooser: Chooser) -> Proposal:
    """Give a splice of some connector or method of the shelf, with some of its make-up said."""
    catalogue = chooser.holding.index("shop").catalogue
    said = {
        "strip": {"value": rng.randint(5, 20), "unit": "mm"},
        "torque": {"value": rng.randint(5, 200), "unit": "lbf-in"},
        **{word: rng.random() < 0.5 for word in ("tugged", "taped", "reused", "sealed", "inhibitor", "pre_twisted")},
        "signs": [rng.choice(list(SIGNS))],
    }
    named = {"connector": rng.choice(catalogue.connectors).id} if rng.random() < 0.5 else {}
    return read_proposal({**(named or {"method": rng.choice(list(METHODS))}), **_some(rng, said, 5)})


def of(found: list[Difference], what: str) -> list[Difference]:
    return [one for one in found if one.point.what == what]


@pytest.mark.slow
@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_all_changes_together_give_the_other_sides_answer(chooser: Chooser, old: str, new: str) -> None:
    compared, rng, differing = comparison(chooser, old, new), random.Random(7), 0
    for _ in range(400):
        question = random_question(rng)
        joint = ComparedJoint(compared, question, random_proposal(rng, chooser) if rng.random() < 0.3 else None)
        assert joint.points(1, ()) == joint.points(0, joint.candidates())
        differing += bool(compared.differences(question))
    assert differing > 20
    compared.close()


@pytest.mark.parametrize(("old", "new"), tuple(itertools.permutations(STACKS, 2)))
def test_each_difference_tells_what_was_from_what_is(chooser: Chooser, old: str, new: str) -> None:
    compared, rng = comparison(chooser, old, new), random.Random(3)
    for at in range(40):
        question = random_question(rng) if at % 4 == 0 else ordinary_question(rng)
        found = compared.differences(question, random_proposal(rng, chooser))
        assert all(one.was != one.now for one in found)
        gone = {(one.point.what, one.was) for one in found if one.now is None and one.point.what != "option"}
        new_ = {(one.point.what, one.now) for one in found if one.was is None and one.point.what != "option"}
        assert not gone & new_
    compared.close()


def test_a_step_that_is_reworded_tells_both_wordings(chooser: Chooser) -> None:
    question = joint(
        joint={"conductors": [{"size": "6 AWG", "count": 2}]}, only={"methods": ["set-screw", "split-bolt"]}
    )
    (step,) = of(comparison(chooser, "nfpa70-2017", "nfpa70-2023").differences(question), "step")
    assert step.was is not None
    assert step.now is not None
    assert ("calibrated torque tool" in step.was, "another approved means" in step.now) == (True, True)
    ((cause),) = step.because
    assert (cause.change.kind, cause.alone, cause.needed) == ("replaced", True, True)


def test_a_verdict_of_fill_in_other_words_is_told_of_what_is_proposed(chooser: Chooser) -> None:
    stack = read_stack(StackName("nfpa70-2023"), chooser.holding)
    (was,) = (rule for rule in stack.book.rules if rule.effect.verdict == "ports-too-few")
    now = replace(was, says="There are more conductors than it takes.")
    other = replace(stack.book, rules=tuple(now if rule is was else rule for rule in stack.book.rules), digest="other")
    compared = Comparison(stack, Stack(other, stack.catalogue))
    question = joint(joint={"conductors": [{"size": "14 AWG", "count": 9}]})
    ((found),) = compared.differences(question, read_proposal({"connector": "lever-3-port"}))
    assert found.point.what == "violation"
    assert (str(found.now).startswith(now.says), str(found.was).startswith(was.says)) == (True, True)
    assert [(cause.change.now, cause.alone, cause.needed) for cause in found.because] == [(now, True, True)]


@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_differences_are_those_of_the_answers(chooser: Chooser, old: str, new: str) -> None:
    compared, rng = comparison(chooser, old, new), random.Random(11)
    for _ in range(25):
        question = replace(random_question(rng), only=ANY)
        was, now = (
            chooser.holding.match(replace(question, code=stack.book.code, amendments=stack.book.amendments))
            for stack in (compared.old, compared.new)
        )
        found = {one.point: (one.was, one.now) for one in compared.differences(question)}
        assert (Point("outcome") in found) is (was.outcome != now.outcome)
        ids = [{option.connector.id for option in match.options} for match in (was, now)]
        offered = {one.of for one in found if one.what == "option" and None in found[one]}
        assert offered == ids[0] ^ ids[1]
    compared.close()


def test_a_bar_of_a_house_rule_is_its_doing_alone(chooser: Chooser) -> None:
    found = comparison(chooser, "nfpa70-2023", "nfpa70-2023+house-rules").differences(
        joint(joint={"tags": ["kitchen"]})
    )
    (best,) = of(found, "best")
    assert (best.was, best.now) == ("push-in-3-port", "lever-3-port")
    (cause,) = best.because
    assert (cause.change.kind, cause.change.now and cause.change.now.id) == (
        "added",
        "house-rules/no-push-ins-in-kitchens",
    )
    assert (cause.alone, cause.needed) == (True, True)
    assert {one.point.of for one in of(found, "option")} >= {"push-in-3-port"}


def test_what_nothing_changes_has_no_difference(chooser: Chooser) -> None:
    assert comparison(chooser, "nfpa70-2023", "nfpa70-2023+house-rules").differences(joint()) == []


def test_a_connector_that_changed_is_the_cause_where_it_is_concerned(chooser: Chooser) -> None:
    stack = read_stack(StackName("nfpa70-2023"), chooser.holding)
    fewer = tuple(one for one in stack.catalogue.connectors if one.id != "push-in-3-port")
    other = Stack(stack.book, replace(stack.catalogue, connectors=fewer, digest="sha256:0"))
    found = Comparison(stack, other).differences(joint())
    (best,) = of(found, "best")
    assert [(one.change.kind, one.change.name, one.alone, one.needed) for one in best.because] == [
        ("connector", "push-in-3-port", True, True)
    ]
    assert [one.point.of for one in of(found, "option")] == ["push-in-3-port"]


def test_what_was_moved_is_no_difference(chooser: Chooser) -> None:
    compared = comparison(chooser, "nfpa70-2017", "nfpa70-2023")
    moved = {now: was for was, now in compared.rules.same_as.items()}
    found = compared.differences(joint(place={"exposure": "submerged"}))
    assert not {one.point.of for one in found} & moved.keys()
