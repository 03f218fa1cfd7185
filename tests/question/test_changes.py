"""A change sets what it names, leaves all else, and reads again as the question that it was made from."""

from __future__ import annotations

import random
from typing import Any

import pytest

from splicewright.question.changes import changed, read_change
from splicewright.question.model import Question, as_plain
from splicewright.question.read import read_question
from splicewright.refusals import Refused
from splicewright.rulebook import load_rulebook
from tests.oracle.questions import random_given


def question(**parts: Any) -> Question:
    return read_question(
        {"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "8 AWG"}]}, **parts}
    ).question


def remedies() -> list[Any]:
    return [
        remedy for rule in load_rulebook("nfpa70-2023").rules for remedy in rule.effect.remedies if not remedy.split
    ]


def test_leaf_replaces_only_that_leaf() -> None:
    before = question(place={"exposure": "wet"})
    after = changed(before, [(read_change({"place": {"enclosure": "handhole"}}), ())])
    assert as_plain(after) == {**as_plain(before), "place": {**as_plain(before)["place"], "enclosure": "handhole"}}


def test_conductors_leaf_replaces_it_for_those_named() -> None:
    after = changed(question(), [(read_change({"conductor": {"insulation": "THWN-2"}}), (1,))])
    assert [(str(conductor.size), conductor.insulation) for conductor in after.joint.conductors] == [
        ("8 AWG", None),
        ("12 AWG", ("THWN-2",)),
    ]


def test_changes_go_by_the_places_as_they_were() -> None:
    larger, wet = read_change({"conductor": {"size": "6 AWG"}}), read_change({"conductor": {"insulation": "THWN-2"}})
    after = changed(question(), [(larger, (1,)), (wet, (1,))])
    assert [(str(conductor.size), conductor.insulation) for conductor in after.joint.conductors] == [
        ("6 AWG", ("THWN-2",)),
        ("8 AWG", None),
    ]


def test_conductors_that_become_alike_are_one_entry() -> None:
    after = changed(question(), [(read_change({"conductor": {"size": "8 AWG"}}), (1,))])
    counts = [(conductor.count, conductor.construction) for conductor in after.joint.conductors]
    assert counts == [(1, "stranded"), (2, "solid")]  # alike but for how they are built up
    plain = read_question({"joint": {"conductors": [{"size": "12 AWG"}, {"size": "10 AWG"}]}}).question
    assert changed(plain, [(read_change({"conductor": {"size": "10 AWG"}}), (1,))]).joint.conductors[0].count == 2


@pytest.mark.parametrize(
    ("given", "change", "part"),
    [
        ({}, {"conductor": {"size": "14 AWG"}}, "joint"),
        ({"circuit": {"overcurrent_amps": 15}}, {"circuit": {"overcurrent_amps": 20}}, "circuit"),
        (
            {"place": {"depth": {"value": 600, "unit": "mm"}}},
            {"place": {"depth": {"value": 18, "unit": "in"}}},
            "place",
        ),
    ],
)
def test_change_the_wrong_way_changes_nothing(given: dict[str, Any], change: dict[str, Any], part: str) -> None:
    before = question(**given)
    assert getattr(changed(before, [(read_change(change), (0, 1))]), part) == getattr(before, part)


def test_number_that_was_not_stated_is_set() -> None:
    after = changed(question(), [(read_change({"circuit": {"overcurrent_amps": 20}}), ())])
    assert after.circuit.overcurrent_amps == 20


def test_volts_get_their_default_where_the_kind_is_no_low_voltage_one_any_more() -> None:
    before = question(circuit={"kind": "irrigation"})
    assert before.circuit.volts is None
    assert changed(before, [(read_change({"circuit": {"kind": "branch"}}), ())]).circuit.volts == 120
    assert changed(before, [(read_change({"circuit": {"kind": "class-2"}}), ())]).circuit.volts is None


def test_changed_question_reads_again_as_itself() -> None:
    rng = random.Random(3)
    every = remedies()
    for _ in range(400):
        before = read_question(random_given(rng)).question
        some = [(one, range(rng.randint(0, 3))) for one in rng.sample(every, 2)]
        after = changed(before, some)
        assert read_question(as_plain(after)).question == after


@pytest.mark.parametrize(
    ("written", "pointer", "says"),
    [
        ({}, "", "changes nothing"),
        ({"place": {}}, "", "changes nothing"),
        ({"split": False}, "/split", "stands alone"),
        ({"split": True, "place": {"enclosure": "box"}}, "/split", "stands alone"),
        ({"plaice": {"enclosure": "box"}}, "/plaice", "did you mean 'place'?"),
        ({"place": {"enclosure": "handhol"}}, "/place/enclosure", "did you mean 'handhole'?"),
        ({"conductor": {"role": "grounded"}}, "/conductor/role", "unknown key"),
        ({"conductor": {"circuit": "B"}}, "/conductor/circuit", "unknown key"),
        ({"conductor": {"count": 2}}, "/conductor/count", "unknown key"),
        ({"conductor": {"size": "12"}}, "/conductor/size", "has no unit"),
        ({"conductor": {"insulation": ["bare", "THHN"]}}, "/conductor/insulation", "bare stands alone"),
    ],
)
def test_change_that_is_none_is_refused(written: dict[str, Any], pointer: str, says: str) -> None:
    with pytest.raises(Refused) as caught:
        read_change(written)
    assert any(problem.pointer == pointer and says in problem.says for problem in caught.value.problems)
