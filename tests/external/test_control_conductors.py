"""The largest device ahead of control conductors of real questions, against NFPA 70, Tables 430.72(B) and 310.17."""

from __future__ import annotations

import pytest

from splicewright import choose
from splicewright.question.vocabulary import CODES
from tests.external.published import cited, published

DATA = published("control_conductors")
COLUMN_B, FREE_AIR = DATA["column_b"], DATA["free_air"]
BARRED = "overcurrent/control-conductor-behind-too-large-a-device"
ROWS = [
    pytest.param(size, metal, amps, id=cited(COLUMN_B["source"], size, metal))
    for size, row in COLUMN_B["amperes"].items()
    for metal, amps in row.items()
] + [
    pytest.param(size, metal, row[of] * COLUMN_B["larger_percent"] // 100, id=cited(FREE_AIR["source"], size, metal))
    for size, row in FREE_AIR["amperes"].items()
    for metal, of in {"copper": "copper", "aluminum": "aluminum", "copper-clad-aluminum": "aluminum"}.items()
]


def barred(size, metal, device, code="nfpa70-2023"):
    conductor = {"size": size, "material": metal, "count": 2, "role": "control"}
    circuit = {"kind": "control", "overcurrent_amps": device}
    answer = choose({"code": code, "joint": {"conductors": [conductor]}, "circuit": circuit})
    return BARRED in {bar["rule"] for bar in answer["bars"]}


def test_the_published_rows_are_all_there():
    assert len(ROWS) == 9 + 25 * 3


@pytest.mark.parametrize(("size", "metal", "amps"), ROWS)
def test_a_control_conductor_is_barred_a_tenth_of_an_ampere_above_the_published_figure(size, metal, amps):
    assert [barred(size, metal, device) for device in (amps, round(amps + 0.1, 1))] == [False, True]


@pytest.mark.parametrize("code", [code for code in CODES if code.startswith("nfpa70-")])
def test_the_figures_hold_in_every_edition(code):
    """Source: NFPA 70 2020, Table 430.72(B) (page), and 2017 (memory)."""
    assert [barred("14 AWG", "copper", device, code) for device in (100, 100.1)] == [False, True]
