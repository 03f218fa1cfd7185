"""The bodies of connectors: no allowance by the code, a caution by practice."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright import fill_box
from splicewright.answering import shipped_chooser
from splicewright.box.body_volume import Bodies, body_of
from splicewright.box.volume import Volume
from splicewright.catalogue.model import Connector
from tests.box.requests import SIX, box, joint

PAIRS = [joint(), joint(), joint()]


def marked(in3: float) -> dict[str, Any]:
    return {"volume": {"value": in3, "unit": "in3"}}


def bodies_in3() -> float:
    found: float = fill_box(box(SIX, joints=PAIRS))["bodies"]["volume"]["in3"]
    return found


def crowded(in3: float) -> bool:
    cautions = fill_box(box(SIX, box=marked(in3), joints=PAIRS))["cautions"]
    return any(caution["source"]["kind"] == "common-practice" and "bodies" in caution["says"] for caution in cautions)


def test_connectors_take_no_allowance() -> None:
    assert fill_box(box(SIX, joints=PAIRS))["required"] == fill_box(box(SIX))["required"]


def test_bodies_that_take_more_than_the_count_leaves_are_cautioned() -> None:
    room = 13.5 + bodies_in3()
    assert [crowded(round(room - 0.01, 2)), crowded(round(room + 0.01, 2))] == [True, False]


def test_a_box_that_falls_short_is_not_called_crowded_too() -> None:
    assert not crowded(13.4)


def test_the_bodies_are_those_of_each_joint_s_first_choice() -> None:
    answer = fill_box(box(SIX, joints=PAIRS))
    catalogue = shipped_chooser().catalogue("shop")
    first = [catalogue.connector(one["options"][0]["connector"]) for one in answer["joints"]]
    known = [body_of(one) for one in first]
    assert answer["bodies"]["connector_count"] == 3
    assert answer["bodies"]["volume"]["in3"] == pytest.approx(float(sum(one.in3 for one in known if one)), abs=1e-4)


def test_where_no_joint_has_an_option_there_are_no_bodies() -> None:
    barred = joint({"size": "12 AWG"}, {"size": "12 AWG", "role": "grounded"})
    assert "bodies" not in fill_box(box(SIX, joints=[barred]))


def test_a_body_that_is_not_known_is_cautioned_by_its_connector(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.box.body_volume.body_of", lambda _one: None)
    answer = fill_box(box(SIX, box=marked(13.5), joints=PAIRS))
    (first,) = {one["options"][0]["connector"] for one in answer["joints"]}
    assert answer["bodies"] == {"connector_count": 0, "volume": {"in3": 0, "cm3": 0}, "size_unknown": [first]}
    assert any(f"size of {first}" in caution["says"] for caution in answer["cautions"])


def connector(**printed: Any) -> Connector:
    return Connector("one", "One", "twist-on", (), 0, {}, printed=printed)


@pytest.mark.parametrize(("sides", "unit", "in3"), [((2, 1), "in", 2), ((2, 1, 3), "in", 6), ((25.4, 25.4), "mm", 1)])
def test_a_body_is_a_block_of_its_outside_dimensions(sides: tuple[float, ...], unit: str, in3: int) -> None:
    outside = [{"value": side, "unit": unit} for side in sides]
    assert body_of(connector(outside=outside)) == Volume(Fraction(in3))


def test_a_connector_without_dimensions_has_no_known_body() -> None:
    assert body_of(connector()) is None


@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_bodies_crowd_exactly_where_they_take_more_than_is_left(bodies: int, left: int) -> None:
    taken = Bodies(1, Volume(Fraction(bodies, 1000)), ())
    assert taken.crowd(Volume(Fraction(left, 1000))) is (bodies > left)
