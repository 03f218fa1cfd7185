"""A key that a question does not have is told with the one that is meant: in its part, in another, or as people say."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.question.keys_meant import places_of_keys
from splicewright.question.read import read_question
from splicewright.question.read_as import written
from splicewright.question.schema import QuestionSchema
from splicewright.question.synonyms import key_synonyms
from splicewright.refusals import Problem, Refused
from splicewright.strict_schema import made_once

GOOD = {"size": "14 AWG", "count": 2}


def told(given: dict[str, Any]) -> dict[str, Problem]:
    with pytest.raises(Refused) as refused:
        read_question({"joint": {"conductors": [GOOD]}, **given})
    return {problem.pointer: problem for problem in refused.value.problems}


@pytest.mark.parametrize(
    ("part", "key", "says", "nearest"),
    [
        ("circuit", "breaker", "unknown key; did you mean 'overcurrent_amps'?", "overcurrent_amps"),
        ("circuit", "Breaker Size", "unknown key; did you mean 'overcurrent_amps'?", "overcurrent_amps"),
        ("circuit", "amperage", "unknown key; did you mean 'amps'?", "amps"),
        ("circuit", "voltage", "unknown key; did you mean 'volts'?", "volts"),
        ("place", "temperature", "unknown key; did you mean 'ambient'?", "ambient"),
        ("place", "volts", "unknown key; did you mean /circuit/volts?", None),
        ("place", "breaker", "unknown key; did you mean /circuit/overcurrent_amps?", None),
        ("circuit", "gauge", "unknown key; did you mean /joint/conductors/0/size?", None),
        ("circuit", "watts", "unknown key; say amps, at circuit: what the load draws", None),
        ("place", "exposur", "unknown key; did you mean 'exposure'?", "exposure"),
    ],
)
def test_key_of_another_part_or_as_people_say_it_is_told(part: str, key: str, says: str, nearest: str | None) -> None:
    found = told({part: {key: 1}})[f"/{part}/{key}"]
    assert (str(found.says), found.code) == (says, "unknown-key")
    assert getattr(found.says, "nearest", None) == nearest


def test_places_have_the_number_of_the_conductor() -> None:
    found = told({"joint": {"conductors": [GOOD, {**GOOD, "gauge": "14 AWG", "volts": 120}]}})
    assert str(found["/joint/conductors/1/gauge"].says) == "unknown key; did you mean 'size'?"
    assert str(found["/joint/conductors/1/volts"].says) == "unknown key; did you mean /circuit/volts?"


def test_key_that_means_nothing_is_told_with_those_that_there_are() -> None:
    assert "known here: kind, serves," in str(told({"circuit": {"lumens": 1}})["/circuit/lumens"].says)


def test_keys_beyond_those_that_are_told_one_by_one_are_counted() -> None:
    found = told({f"no{at}": 1 for at in range(30)})
    assert str(found[""].says) == "has 10 further unknown keys"
    found = told({"circuit": {f"no{at}": 1 for at in range(30)}})
    assert str(found["/circuit"].says) == "has 10 further unknown keys"


def test_what_people_say_leads_to_a_key_or_has_several_meanings_and_is_no_key() -> None:
    places = places_of_keys(made_once(QuestionSchema))
    for said, meaning in key_synonyms().meanings.items():
        assert said == written(said)
        assert said not in places, said
        assert written(meaning) in places or " " in meaning, said
