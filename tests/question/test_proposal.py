"""What a proposal may say: taken as it is, or refused with its pointer and the nearest right word."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.question.proposal import ProposalSchema, read_proposal
from splicewright.question.vocabulary import PROPOSED, PROVES, SIGNS
from splicewright.refusals import Refused
from splicewright.rulebook.proposals import FIGURES
from splicewright.units import Measured

WHOLE: dict[str, Any] = {
    "connector": "twist-on-medium",
    "method": "twist-on",
    "strip": {"value": 0.4375, "unit": "in"},
    "torque": {"value": 15, "unit": "lbf-in"},
    "lead_advance": {"value": 3, "unit": "mm"},
    **dict.fromkeys(("pre_twisted", "inhibitor", "tugged", "taped", "tied", "strain_relief"), True),
    **dict.fromkeys(("covered", "sealed", "reused"), False),
    "signs": ["nicked-conductor", "bare-metal-outside"],
}


def problems(given: Any) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        read_proposal(given)
    return {problem.pointer: problem.says for problem in caught.value.problems}


def test_everything_said_is_kept() -> None:
    found = read_proposal(WHOLE)
    assert found.to_dict() == {**WHOLE, "signs": ["bare-metal-outside", "nicked-conductor"]}
    assert found.said["strip"] == Measured(0.4375, "in")


def test_what_is_not_said_has_no_value() -> None:
    found = read_proposal({"method": "lever"})
    assert (dict(found.said), found.signs, found.to_dict()) == ({}, (), {"method": "lever"})


def test_every_word_of_the_vocabulary_is_a_field_and_every_field_a_word() -> None:
    assert set(ProposalSchema().fields) == {"connector", "method", "signs", *PROPOSED}


def test_what_steps_prove_are_words_of_a_proposal() -> None:
    assert set(PROVES.values()) == set(PROPOSED) - {"reused"}
    assert set(FIGURES) <= set(PROPOSED)


def test_every_field_is_described() -> None:
    assert [name for name, field in ProposalSchema().fields.items() if not field.metadata.get("description")] == []


def test_neither_connector_nor_method_is_refused() -> None:
    assert "names neither connector nor method" in problems({"tugged": True})[""]


@pytest.mark.parametrize("lead", [True, False])
def test_lead_advance_may_be_a_flag(lead: bool) -> None:
    assert read_proposal({"method": "twist-on", "lead_advance": lead}).said == {"lead_advance": lead}


@pytest.mark.parametrize(
    ("part", "value", "pointer", "says"),
    [
        ("tuged", True, "/tuged", "did you mean 'tugged'?"),
        ("tugged", "yes", "/tugged", '"yes" is neither true nor false'),
        ("tugged", None, "/tugged", "may not be null"),
        ("tugged", 1, "/tugged", "1 is neither true nor false"),
        ("method", "leverr", "/method", "did you mean 'lever'?"),
        ("connector", 3, "/connector", "3 is not text"),
        ("strip", 12, "/strip", "must be an object with value, unit"),
        ("strip", {"value": 12}, "/strip/unit", "is required"),
        ("strip", {"value": 12, "unit": "inches"}, "/strip/unit", "use one of: mm, cm, in"),
        ("strip", {"value": "12", "unit": "mm"}, "/strip/value", '"12" is not a number'),
        ("strip", {"value": -1, "unit": "mm"}, "/strip/value", "out of range; 0 to 2000 is allowed"),
        ("torque", {"value": 3, "unit": "Nm"}, "/torque/unit", "did you mean 'N-m'?"),
        ("torque", {"value": 3, "unit": "lbf in"}, "/torque/unit", "did you mean 'lbf-in'?"),
        ("lead_advance", 3, "/lead_advance", "3 is neither true nor false, nor a length like {value: 3, unit: mm}"),
        ("lead_advance", {"value": 3, "unit": "m"}, "/lead_advance/unit", "did you mean 'mm'?"),
        ("signs", "conductor-moves", "/signs", "must be a list"),
        ("signs", ["conductor-move"], "/signs/0", "did you mean 'conductor-moves'?"),
        ("signs", ["stray-strands", "stray-strands"], "/signs", "names a word twice"),
        ("signs", [["stray-strands"]], "/signs/0", "is not a word"),
    ],
)
def test_what_is_not_understood_is_refused_where_it_stands(part: str, value: Any, pointer: str, says: str) -> None:
    assert says in problems({"method": "lever", part: value})[pointer]


def test_every_problem_is_told_at_once() -> None:
    assert set(problems({"method": "levr", "tugged": 2, "signs": ["x"]})) == {"/method", "/tugged", "/signs/0"}


def test_every_sign_and_word_has_a_meaning() -> None:
    assert all(meaning for meaning in (*SIGNS.values(), *PROPOSED.values()))
