"""Joints under two stacks: differences are those of the answers, all causes together give the other side."""

from __future__ import annotations

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
from splicewright.question.read import read_question
from tests.oracle.questions import random_question

PAIRS = (
    ("nfpa70-2017", "nfpa70-2023"),
    ("nfpa70-2023", "nfpa70-2023+coastal-county+house-rules"),
    ("nfpa70-2020+house-rules", "nfpa70-2023+coastal-county"),
)


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def comparison(chooser: Chooser, old: str, new: str) -> Comparison:
    return Comparison(*(read_stack(StackName.read(one), chooser.holding) for one in (old, new)))


def joint(**more: Any) -> Question:
    return read_question(
        {"joint": {"conductors": [{"size": "14 AWG", "count": 3}], **more.pop("joint", {})}, **more}
    ).question


def of(found: list[Difference], what: str) -> list[Difference]:
    return [one for one in found if one.point.what == what]


@pytest.mark.slow
@pytest.mark.parametrize(("old", "new"), PAIRS)
def test_all_changes_together_give_the_other_sides_answer(chooser: Chooser, old: str, new: str) -> None:
    compared, rng, differing = comparison(chooser, old, new), random.Random(7), 0
    for _ in range(400):
        question = random_question(rng)
        joint = ComparedJoint(compared, question)
        assert joint.points(1, ()) == joint.points(0, joint.candidates())
        differing += bool(compared.differences(question))
    assert differing > 20
    compared.close()


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
