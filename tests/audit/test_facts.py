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
    ("rests_on", "pointer"),
    [
        (["place.enclosure: raceway"], "/place/enclosure"),
        (["conductor.size: 18 AWG"], "/joint/conductors/1/size"),
        (["conductor.insulation: TFFN"], "/joint/conductors/1/insulation"),
        (["place.exposure: dry", "work.wiring_age: aluminum-branch"], "/work/wiring_age"),
        (["place.exposure: dry"], "/place/exposure"),
        (["conductor.construction: solid"], ""),
        (["circuit.volts: 120 V"], ""),
        (["joint.count: 3"], ""),
        (["r/behind"], "/place/enclosure"),
        (["r/circle"], ""),
        ([], ""),
    ],
)
def test_pointer_is_of_a_word_that_the_question_states(rests_on: list[str], pointer: str) -> None:
    answer = {
        "findings": [
            {"rule": "r/behind", "from": ["place.enclosure: raceway"]},
            {"rule": "r/circle", "from": ["r/circle"]},
        ]
    }
    assert pointer_of(rests_on, answer, QUESTION) == pointer


def test_bar_points_to_the_word_behind_the_rules_it_rests_on() -> None:
    question = {
        "joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]},
        "place": {"exposure": "wet"},
    }
    answer = choose(question)
    bars = [bar for bar in answer["bars"] if "method" not in bar]
    assert bars
    assert {pointer_of(bar["from"], answer, question) for bar in bars} <= {
        "/place/exposure",
        "/joint/conductors/0/insulation",
    }
