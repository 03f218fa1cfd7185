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
    assert SCREW.figure("torque", joint("1 x 14 AWG", "1 x 10 AWG")) == ({"value": 20, "unit": "lbf-in"}, [])
    mixed = SCREW.figure("torque", joint("1 x 14 AWG", "1 x 8 AWG"))
    assert mixed is not None
    assert mixed.value == {"value": 4.5, "unit": "N-m"}
    assert [(one["size"]["value"], one["value"]["value"]) for one in mixed.by_conductor] == [("8", 4.5), ("14", 20)]


def test_torque_for_a_size_outside_its_ranges_is_not_given():
    assert SCREW.figure("torque", joint("2 x 2 AWG")) is None
    assert SCREW.figure("torque", joint("2 x 9 AWG")) is None


def test_one_torque_holds_for_every_size():
    one = connector(ports(port(2, "14 AWG", "2 AWG")), torque="35 lbf-in")
    assert one.figure("torque", joint("2 x 2 AWG")) == ({"value": 35, "unit": "lbf-in"}, [])


def test_torque_range_may_stand_alone():
    one = connector(combinations({"14 AWG": 2}), torque={"from": "14 AWG", "to": "10 AWG", "torque": "9 lbf-in"})
    assert one.figure("torque", joint("2 x 14 AWG")) == ({"value": 9, "unit": "lbf-in"}, [])


def test_strip_is_given_with_its_unit():
    assert SCREW.figure("strip", joint("2 x 14 AWG")) == ({"value": 12.5, "unit": "mm"}, [])


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
    assert printed["volts"] == {"value": 600, "unit": "V"}
    assert printed["outside"] == [{"value": 30, "unit": "mm"}, {"value": 18, "unit": "mm"}]
    assert printed["torque"] == [
        {
            "torque": {"value": 9, "unit": "lbf-in"},
            "from": {"value": "14", "unit": "AWG"},
            "to": {"value": "12", "unit": "AWG"},
        }
    ]
    assert printed["takes"][0]["combinations"] == ["2 x 12 AWG + 1 x 18 AWG fine-stranded"]
    assert printed["takes"][1]["ports"] == ["2 ports, each for up to 2 conductors: solid 14 AWG to 12 AWG"]
    assert printed["takes"][2]["ports"] == ["1 port: stranded aluminum 14 AWG"]
    assert "degrees" not in printed


def test_a_connector_is_called_by_its_name():
    one = connector(combinations({"14 AWG": 2}), name="Small shell")
    assert one.name == one.to_dict()["name"] == "Small shell"


@pytest.mark.parametrize(
    ("takes", "name"),
    [
        ([combinations({"14 AWG": 2}, {"12 AWG": 2, "18 AWG": 1})], "Twist-on, 18 AWG to 12 AWG"),
        ([ports(port(2, "14 AWG", "4/0 AWG")), ports(port(1, "16 AWG", "10 AWG"))], "Twist-on, 16 AWG to 4/0 AWG"),
        ([combinations({"8 AWG": 2})], "Twist-on, 8 AWG"),
    ],
)
def test_one_without_a_name_is_called_by_its_method_and_the_sizes_it_takes(takes, name):
    one = connector(*takes)
    assert one.name == one.to_dict()["name"] == name


def test_every_connector_of_the_shop_has_a_name_of_its_own():
    names = [one.name for one in load_catalogue("shop").connectors]
    assert len(set(names)) == len(names)


def test_connector_is_found_by_its_id():
    shop = load_catalogue("shop")
    assert shop.connector("lever-3-port").method == "lever"
    with pytest.raises(KeyError):
        shop.connector("lever-4-port")
