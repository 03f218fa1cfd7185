"""A finding points to the stated word that it rests on."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.answering import choose
from splicewright.audit.facts import pointer_of

QUESTION: dict[str, Any] = {
    "joint": {
        "conductors": [{"size": "12 AWG", "count": 2, "material": "copper"}, {"size": "18 AWG", "insulation": ["TFFN"]}]
    },
    "place": {"exposure": "dry", "enclosure": "raceway", "hazardous": False},
    "work": {"wiring_age": "aluminum-branch"},
}


@pytest.mark.parametrize(
    ("at", "pointer"),
    [
        (["/place/enclosure"], "/place/enclosure"),
        (["/joint/conductors/1/size"], "/joint/conductors/1/size"),
        (["/joint/conductors/0/insulation", "/joint/conductors/1/insulation"], "/joint/conductors/1/insulation"),
        (["/place/exposure", "/work/wiring_age"], "/work/wiring_age"),
        (["/joint/conductors/0/material", "/joint/conductors/1/size"], "/joint/conductors/1/size"),
        (["/place/hazardous", "/place/exposure"], "/place/hazardous"),
        (["/place/hazardous"], "/place/hazardous"),
        (["/joint/conductors/0/construction"], ""),
        (["/circuit/volts"], ""),
        (["/circuit/volts", "/place/enclosure"], "/place/enclosure"),
        ([], ""),
    ],
)
def test_pointer_is_of_a_word_that_the_question_states(at: list[str], pointer: str) -> None:
    assert pointer_of(at, QUESTION) == pointer


WET: dict[str, Any] = {
    "joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]},
    "place": {"exposure": "wet"},
}


def test_bar_points_to_the_word_that_it_names_before_one_behind_the_rules_it_rests_on() -> None:
    (bar,) = choose(WET)["bars"]
    assert {"rule": "environment/wet-place-asks-wet-insulation"} in bar["from"]
    assert "/place/exposure" in bar["at"]
    assert pointer_of(bar["at"], WET) == "/joint/conductors/0/insulation"


def test_what_rests_on_rules_alone_points_to_the_word_behind_them() -> None:
    question = {**WET, "joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THWN-2"}]}}
    behind = [one for one in choose(question)["demands"] if all("rule" in proof for proof in one["from"])]
    assert behind
    assert {pointer_of(one["at"], question) for one in behind} == {"/place/exposure"}
