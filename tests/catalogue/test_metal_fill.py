"""Listings by total metal: conductors of sizes from one to another, so many, so much in all."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.catalogue import NEAREST_FIRST, OVER_FILLED, catalogue_of, fill
from splicewright.refusals import Refused
from splicewright.tables.metal import metal_of
from splicewright.units import size
from tests.catalogue.making import catalogue, connector, joint, listing

SHELL: dict[str, Any] = {
    "from": "4.1 mm2",
    "to": "16.6 mm2",
    "count": "2 to 5",
    "thinnest": "14 AWG",
    "thickest": "10 AWG",
}


def by_metal(**more: Any) -> dict[str, Any]:
    return {"materials": ["copper"], "constructions": ["solid", "stranded"], "metal": [{**SHELL, **more}]}


@pytest.mark.parametrize(
    ("conductors", "says"),
    [
        (["2 x 14 AWG"], "listed"),
        (["3 x 10 AWG"], "listed"),
        (["5 x 12 AWG"], "listed"),
        (["1 x 10 AWG", "3 x 12 AWG stranded"], "listed"),
        (["2 x 4 mm2"], "bracketed"),
        (["6 x 14 AWG"], "too-many: 6 conductors; at most 5 are listed"),
        (["1 x 14 AWG"], "too-few: 1 conductor; at least 2 are listed"),
        (["1 x 8 AWG", "1 x 14 AWG"], "too-large: 8 AWG; 10 AWG is the largest listed"),
        (["2 x 14 AWG", "1 x 16 AWG"], "too-small: 16 AWG; 14 AWG is the smallest listed"),
        (["4 x 10 AWG"], "too-large: 4 x 10 AWG, 21.044 mm2 in all; at most 16.6 mm2 of metal is listed"),
        (["2 x 14 AWG aluminum"], "construction-not-taken: solid aluminum; it takes solid or stranded copper"),
    ],
)
def test_a_joint_is_judged_by_its_metal(conductors, says):
    found = fill(connector(by_metal()), joint(*conductors))
    assert says == (found.basis or f"{found.verdict}: {found.by}")


def test_what_is_less_metal_than_listed_is_too_small():
    found = fill(connector(by_metal(**{"from": "4.5 mm2"})), joint("2 x 14 AWG"))
    assert (found.verdict, found.by) == (
        "too-small",
        "2 x 14 AWG, 4.16 mm2 in all; at least 4.5 mm2 of metal is listed",
    )


def test_circular_mils_are_summed_as_the_code_prints_them():
    """Two of 14 AWG are 8220 by the table, and 8213 by the formula of the gauge."""
    mils = by_metal(**{"from": "8220 cmil", "to": "19.59 kcmil"})
    assert fill(connector(mils), joint("2 x 14 AWG")).basis == "listed"
    assert fill(connector(mils), joint("3 x 12 AWG")).basis == "listed"
    assert fill(connector(mils), joint("3 x 12 AWG", "1 x 14 AWG")).verdict == "too-large"


def test_it_tells_what_it_is_listed_for():
    found = connector(by_metal())
    told = "2 to 5 conductors of 14 AWG to 10 AWG, 4.1 mm2 to 16.6 mm2 of metal in all"
    assert found.to_dict()["takes"][0]["metal"] == [told]
    assert fill(found, joint("2 x 12 AWG")).listing == told
    assert found.name == "Twist-on, 14 AWG to 10 AWG"
    assert found.attributes["largest"] == size("10 AWG").area


def test_a_mix_is_as_comfortable_as_its_metal_is_far_from_the_edges():
    one = connector(by_metal(**{"from": "4.16 mm2"}))
    assert fill(one, joint("2 x 14 AWG")).comfort == 0
    assert fill(one, joint("5 x 14 AWG")).comfort == 200 * 6200 // 12440


@pytest.mark.parametrize(
    ("more", "pointer", "says"),
    [
        ({"from": "17 mm2"}, "/from", "the range is upside down; write {from: 16.6 mm2, to: 17 mm2}"),
        ({"from": "9000 cmil"}, "", "is in two units; write both ends in mm2, or both in circular mils"),
        (
            {"from": "nothing"},
            "/from",
            "\"nothing\" is no amount of metal; write it like '8.5 mm2', '16520 cmil' or '16.52 kcmil'",
        ),
        (
            {"from": "0 mm2"},
            "/from",
            "\"0 mm2\" is no amount of metal; write it like '8.5 mm2', '16520 cmil' or '16.52 kcmil'",
        ),
        (
            {"from": "8.220 cmil"},
            "/from",
            '"8.220 cmil" is no amount of metal; circular mils have no parts; write 8220 cmil, if that is meant',
        ),
        ({"count": "5 to 2"}, "/count", "the span 5 to 2 does not go up; write 2 to 5, or one number"),
        ({"thinnest": "8 AWG"}, "/thinnest", "is thicker than the thickest, 10 AWG"),
        ({"thickest": "6 mm2"}, "/thickest", "is of another system of sizes than thinnest"),
    ],
)
def test_a_total_that_can_not_be_meant_is_refused(more, pointer, says):
    with pytest.raises(Refused) as caught:
        catalogue_of(catalogue(listing(takes=[by_metal(**more)])))
    found = {problem.pointer: problem.says for problem in caught.value.problems}
    assert found == {f"/connectors/0/takes/0/metal/0{pointer}": says}


def test_constructions_are_said_and_least_is_not():
    for wrong, at in (({"least": 2}, "least"), ({"constructions": None}, "constructions")):
        group = {key: value for key, value in {**by_metal(), **wrong}.items() if value is not None}
        with pytest.raises(Refused) as caught:
            catalogue_of(catalogue(listing(takes=[group])))
        assert [problem.pointer for problem in caught.value.problems] == [f"/connectors/0/takes/0/{at}"]


def test_metal_of_what_the_table_leaves_out():
    assert metal_of(size("250 kcmil"), "cmil") == 250_000
    assert float(metal_of(size("250 kcmil"), "mm2")) == pytest.approx(126.7, abs=0.05)
    assert metal_of(size("2.5 mm2"), "mm2") == 2.5
    assert float(metal_of(size("2.5 mm2"), "cmil")) == pytest.approx(4934, abs=1)
    assert float(metal_of(size("20 AWG"), "cmil")) == pytest.approx(1021.5, abs=0.1)


SIZES = st.sampled_from([f"{gauge} AWG" for gauge in (16, 14, 12, 10, 8)])


@settings(max_examples=150, deadline=None)
@given(st.lists(SIZES, min_size=1, max_size=7), SIZES)
def test_more_metal_never_makes_an_over_filled_one_fit(sizes, added):
    one = connector(by_metal())
    before = fill(one, joint(*(f"1 x {of}" for of in sizes)))
    after = fill(one, joint(*(f"1 x {of}" for of in (*sizes, added))))
    if before.verdict in OVER_FILLED:
        assert after.verdict is not None
        assert NEAREST_FIRST.index(after.verdict) >= NEAREST_FIRST.index("too-large")
