"""Volts of real circuits of limited energy, against NFPA 70, Chapter 9 Table 11, 411.3 and Table 830.15."""

from __future__ import annotations

import pytest

from splicewright import choose
from tests.external.published import cited, published

DATA = published("limited_supplies")
CLASS_2, LIGHTING, NETWORK = DATA["class_2"], DATA["lighting"], DATA["network_power"]
CURRENTS = ("ac", "dc")


def told(part, kind, volts, current, **place):
    question = {
        "joint": {"conductors": [{"size": "18 AWG", "count": 2}]},
        "place": {"enclosure": "none", **place},
        "circuit": {"kind": kind, "volts": volts, "current": current},
    }
    return {one["rule"] for one in choose(question)[part]}


def around(volts):
    return volts, round(volts + 0.1, 1)


@pytest.mark.parametrize("current", CURRENTS)
@pytest.mark.parametrize("kind", CLASS_2["kinds"], ids=lambda kind: cited(CLASS_2["source"], kind))
def test_a_supply_above_the_published_volts_is_no_class_2_supply(kind, current):
    rule = CLASS_2["barred_by"][current]
    assert [rule in told("bars", kind, one, current) for one in around(CLASS_2["volts"][current])] == [False, True]


@pytest.mark.parametrize("current", CURRENTS, ids=lambda current: cited(LIGHTING["source"], current))
def test_low_voltage_lighting_ends_at_the_published_volts(current):
    rule = LIGHTING["barred_by"][current]
    volts = around(LIGHTING["volts"][current])
    assert [rule in told("bars", "low-voltage-landscape", volt, current) for volt in volts] == [False, True]


@pytest.mark.parametrize(
    ("current", "rule"),
    [("ac", "ratings/garden-lighting-within-reach-of-wet-hands"), ("dc", "ratings/garden-lighting-above-30-volts")],
    ids=lambda one: cited(LIGHTING["source"], one) if one in CURRENTS else "",
)
def test_from_wet_hands_it_is_kept_at_the_published_volts(current, rule):
    volts = around(LIGHTING["within_reach_when_wet"][current])
    found = [rule in told("cautions", "low-voltage-landscape", volt, current, exposure="wet") for volt in volts]
    assert found == [False, True]


@pytest.mark.parametrize("current", CURRENTS, ids=lambda current: cited(NETWORK["source"], current))
def test_a_communications_circuit_ends_at_the_published_volts(current):
    volts = around(NETWORK["volts"])
    assert [NETWORK["barred_by"] in told("bars", "communications", volt, current) for volt in volts] == [False, True]


@pytest.mark.parametrize("current", CURRENTS)
@pytest.mark.parametrize("kind", CLASS_2["kinds"], ids=lambda kind: cited(CLASS_2["source"], kind))
def test_only_up_to_those_volts_the_joint_needs_no_box(kind, current):
    needless = "access/low-energy-joint-needs-no-box"
    found = [needless in told("findings", kind, one, current) for one in around(CLASS_2["volts"][current])]
    assert found == [True, False]
