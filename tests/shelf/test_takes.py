"""What one connector takes: each filling once, from its least metal to its most."""

from __future__ import annotations

import pytest

from splicewright.catalogue import fill, load_catalogue
from splicewright.shelf.takes import taken_by
from splicewright.units import size
from tests.catalogue.making import combinations, connector, joint, port, ports


def fillings(*takes: dict[str, object]) -> list[str]:
    return [one.text for one in taken_by(connector(*takes)).fillings]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ({"14 AWG": "2 to 4"}, ["2 to 4 x 14 AWG"]),
        ({"14 AWG": 2}, ["2 x 14 AWG"]),
        ({"14 AWG": 1, "18 AWG fine-stranded": "1 to 2"}, ["1 x 14 AWG + 1 to 2 x 18 AWG fine-stranded"]),
        ({"14 AWG": "1 to 2", "18 AWG": 1}, ["1 x 14 AWG + 1 x 18 AWG", "2 x 14 AWG + 1 x 18 AWG"]),
    ],
)
def test_combinations_that_differ_in_their_last_count_stand_in_one_line(
    written: dict[str, object], told: list[str]
) -> None:
    assert fillings(combinations(written)) == told


def test_count_that_is_not_listed_parts_a_line() -> None:
    assert fillings(combinations({"14 AWG": 2}, {"14 AWG": "4 to 5"})) == ["2 x 14 AWG", "4 to 5 x 14 AWG"]


def test_filling_of_ports_is_one_port_from_its_least_to_its_most() -> None:
    (one,) = taken_by(connector(ports(port(3, "20 AWG", "12 AWG", conductors=2)))).fillings
    assert one.text == "3 ports: 20 AWG to 12 AWG, up to 2 conductors in each"
    assert (one.least, one.most) == (size("20 AWG").area, 2 * size("12 AWG").area)


def test_what_is_silent_is_told_as_unproven() -> None:
    told = " ".join(taken_by(connector(combinations({"14 AWG": 2}), volts="600 V")).sentences)
    assert "It bears up to 600 V." in told
    assert "degrees" in told.partition("is unproven: ")[2]


@pytest.mark.parametrize("one", load_catalogue("shop").connectors[::7], ids=lambda one: one.id)
def test_every_connector_of_the_shop_has_its_fillings(one: object) -> None:
    told = taken_by(one)  # type: ignore[arg-type]
    assert all(0 < filling.least <= filling.most <= told.most for filling in told.fillings)
    assert told.to_dict()["fillings"][0]["metal"]["unit"] == "mm2"


def test_ends_of_a_filling_are_taken() -> None:
    one = connector(combinations({"14 AWG": "2 to 4"}))
    assert fill(one, joint("2 x 14 AWG")).fits
    assert fill(one, joint("4 x 14 AWG")).fits


def test_totals_of_metal_and_figures_by_size_are_told() -> None:
    total = {"from": "4.1 mm2", "to": "16.6 mm2", "count": "2 to 3", "thinnest": "14 AWG", "thickest": "10 AWG"}
    group = {"materials": ["copper"], "constructions": ["solid"], "metal": [total]}
    amps = [{"from": "14 AWG", "to": "10 AWG", "amps": "20 A"}]
    told = taken_by(connector(group, strip="9 mm", amps=amps, torque={"materials": ["copper"], "torque": "9 lbf-in"}))
    assert told.fillings[0].text == "2 to 3 conductors of 14 AWG to 10 AWG, 4.1 mm2 to 16.6 mm2 of metal in all"
    assert (told.fillings[0].least, told.fillings[0].most) == (4_100_000, 16_600_000)
    told_all = " ".join(told.sentences)
    assert "Strip 9 mm." in told_all
    assert "Tighten to 9 lbf-in of copper." in told_all
    assert "Amps: 20 A from 14 AWG to 10 AWG." in told_all
