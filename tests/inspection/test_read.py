"""What is no check is refused, every problem at once, each with its pointer and the nearest right word."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.inspection import check_splice
from splicewright.inspection.schema import CheckSchema
from splicewright.question.schema import QuestionSchema
from splicewright.refusals import Refused
from tests.inspection.checking import LEVER, given


def problems(check: Any) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        check_splice(check)
    return {problem.pointer: problem.says for problem in caught.value.problems}


def test_a_check_is_a_question_with_a_proposal() -> None:
    assert set(CheckSchema().fields) == {*QuestionSchema().fields, "proposal"}


@pytest.mark.parametrize("value", [None, [], "joint", 3])
def test_what_is_no_object_is_refused(value: Any) -> None:
    assert problems(value) == {"": "a check is an object with a joint and a proposal"}


def test_a_question_without_a_proposal_is_no_check() -> None:
    assert problems({"joint": given(LEVER)["joint"]}) == {"/proposal": "is required"}


@pytest.mark.parametrize("value", [None, [], "lever", 3])
def test_a_proposal_is_an_object(value: Any) -> None:
    assert set(problems(given(value))) == {"/proposal"}


def test_an_unknown_connector_is_told_the_nearest() -> None:
    assert "did you mean 'lever-2-port'?" in problems(given({"connector": "lever-2-prt"}))["/proposal/connector"]


def test_an_unknown_connector_is_told_together_with_what_else_is_wrong() -> None:
    found = problems({**given({"connector": "lever-2-prt", "tugged": 1}), "place": {"exposure": "wett"}, "cod": "x"})
    assert set(found) == {"/proposal/connector", "/proposal/tugged", "/place/exposure", "/cod"}


def test_an_unknown_catalogue_is_told_once() -> None:
    assert set(problems({**given(LEVER), "catalogue": "shpo"})) == {"/catalogue"}


def test_an_amendment_that_is_not_known_is_refused() -> None:
    assert set(problems({**given(LEVER), "amendments": ["nowhere"]})) == {"/amendments/0"}


def test_a_misspelt_proposal_is_told_its_name() -> None:
    check = {"joint": given(LEVER)["joint"], "propsal": LEVER}
    assert "did you mean 'proposal'?" in problems(check)["/propsal"]


def test_a_method_that_is_not_the_connectors_is_refused() -> None:
    found = problems(given({**LEVER, "method": "push-in"}))
    assert found == {"/proposal/method": 'is "push-in", but lever-2-port is a lever; leave the method out'}


def test_the_connectors_own_method_may_stand_beside_it() -> None:
    assert check_splice(given({**LEVER, "method": "lever"}))["verdict"] == "sound"


def test_conductors_that_are_too_many_are_refused_as_in_a_question() -> None:
    check = given(LEVER, joint={"conductors": [{"size": "12 AWG", "count": 13}, {"size": "14 AWG", "count": 13}]})
    assert set(problems(check)) == {"/joint/conductors"}
