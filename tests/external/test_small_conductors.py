"""The largest overcurrent device of small conductors of real questions, against NFPA 70, 240.4(D)."""

from __future__ import annotations

import itertools

import pytest

from splicewright import choose
from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES, MATERIAL
from tests.external.published import cited, published

DATA = published("small_conductors")
LIMITS = DATA["limits"]["amperes"]
CELLS = [
    pytest.param(size, material, id=cited(DATA["limits"]["source"], size, material))
    for size, material in itertools.product([*LIMITS, "20 AWG", "8 AWG"], MATERIAL)
]
BARRED = "ratings/small-conductor-behind-too-large-a-device"
CASES = [
    pytest.param(size, material, amps, id=cited(DATA["limits"]["source"], size, material, amps))
    for size, limits in LIMITS.items()
    for material, amps in limits.items()
    if size not in ("18 AWG", "16 AWG")  # too thin for general wiring: told by a caution
]


def given(size, material, device=None, code="nfpa70-2023"):
    circuit = {} if device is None else {"overcurrent_amps": device}
    conductor = {"size": size, "material": material, "insulation": "THW", "count": 2}
    return {"code": code, "joint": {"conductors": [conductor]}, "circuit": circuit}


def limit(size, material, code="nfpa70-2023"):
    (facts,) = facts_of(read_question(given(size, material, code=code)).question).conductors
    found = facts.get("conductor.device_limit")
    return None if found is None else found / 10


def test_the_published_list_has_all_its_items():
    assert sum(len(set(row.values())) for row in LIMITS.values()) == 8


@pytest.mark.parametrize(("size", "material"), CELLS)
def test_a_small_conductor_has_the_published_limit_and_no_other_conductor_has_one(size, material):
    assert limit(size, material) == LIMITS.get(size, {}).get(material)


@pytest.mark.parametrize("code", [code for code in CODES if code < "nfpa70-2023" and code.startswith("nfpa70-")])
@pytest.mark.parametrize(("size", "material"), CELLS)
def test_earlier_editions_lack_only_the_item_that_is_new(code, size, material):
    without = DATA["earlier_editions"]["without"]
    expected = LIMITS.get(size, {}).get(material)
    assert limit(size, material, code) == (None if without == {"size": size, "material": material} else expected)


@pytest.mark.parametrize(("size", "material", "amps"), CASES)
def test_a_joint_is_barred_a_tenth_of_an_ampere_above_the_published_limit(size, material, amps):
    barred = [
        BARRED in {bar["rule"] for bar in choose(given(size, material, device))["bars"]}
        for device in (amps, round(amps + 0.1, 1))
    ]
    assert barred == [False, True]
