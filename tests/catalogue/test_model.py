from __future__ import annotations

import pytest

from splicewright.catalogue import load_catalogue
from tests.catalogue.making import combinations, connector, joint, port, ports

SCREW = connector(
    ports(port(3, "14 AWG", "2 AWG")),
    strip="12.5 mm",
    torque=[
        {"from": "14 AWG", "to": "10 AWG", "torque": "20 lbf-in"},
        {"from": "8 AWG", "to": "4 AWG", "torque": "4.5 N-m"},
    ],
)


def test_torque_is_that_of_the_largest_conductor():
    assert SCREW.figure("torque", joint("1 x 14 AWG", "1 x 10 AWG")) == {"value": 20, "unit": "lbf-in"}
    assert SCREW.figure("torque", joint("1 x 14 AWG", "1 x 8 AWG")) == {"value": 4.5, "unit": "N-m"}


def test_torque_for_a_size_outside_its_ranges_is_not_given():
    assert SCREW.figure("torque", joint("2 x 2 AWG")) is None
    assert SCREW.figure("torque", joint("2 x 9 AWG")) is None


def test_one_torque_holds_for_every_size():
    one = connector(ports(port(2, "14 AWG", "2 AWG")), torque="35 lbf-in")
    assert str(one.torque(joint("2 x 2 AWG"))) == "35 lbf-in"


def test_torque_range_may_stand_alone():
    one = connector(combinations({"14 AWG": 2}), torque={"from": "14 AWG", "to": "10 AWG", "torque": "9 lbf-in"})
    assert one.figure("torque", joint("2 x 14 AWG")) == {"value": 9, "unit": "lbf-in"}


def test_strip_is_given_with_its_unit():
    assert SCREW.figure("strip", joint("2 x 14 AWG")) == {"value": 12.5, "unit": "mm"}


def test_figure_that_the_listing_is_silent_on_is_none():
    one = connector(combinations({"14 AWG": 2}))
    assert one.figure("strip", joint("2 x 14 AWG")) is None
    assert one.figure("torque", joint("2 x 14 AWG")) is None


def test_listing_prints_what_it_takes_and_its_figures_with_units():
    one = connector(
        combinations({"12 AWG": 2, "18 AWG fine-stranded": 1}),
        ports({**port(2, "14 AWG", "12 AWG"), "conductors": 2}),
        ports({"count": 1, "stranded": {"from": "14 AWG", "to": "14 AWG", "materials": ["aluminum"]}}),
        volts="600 V",
        outside="30 x 18 mm",
        torque={"from": "14 AWG", "to": "12 AWG", "torque": "9 lbf-in"},
    )
    printed = one.to_dict()
    assert printed["volts"] == "600 V"
    assert printed["outside"] == ["30 mm", "18 mm"]
    assert printed["torque"] == [{"from": "14 AWG", "to": "12 AWG", "torque": "9 lbf-in"}]
    assert printed["takes"][0]["combinations"] == ["2 x 12 AWG + 1 x 18 AWG fine-stranded"]
    assert printed["takes"][1]["ports"] == ["2 ports, each for up to 2 conductors: solid 14 AWG to 12 AWG"]
    assert printed["takes"][2]["ports"] == ["1 port: stranded aluminum 14 AWG"]
    assert "degrees" not in printed


def test_connector_is_found_by_its_id():
    shop = load_catalogue("shop")
    assert shop.connector("lever-3-port").method == "lever"
    with pytest.raises(KeyError):
        shop.connector("lever-4-port")
