"""How large jumpers are and how long they are cut."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.tables import jumpers
from splicewright.tables.jumpers import jumper_length, pigtail_length
from splicewright.units import size, whole

CODE = "nfpa70-2023"


@pytest.mark.parametrize(
    ("of", "material", "amps", "suits"),
    [
        ("14 AWG", "copper", 15, True),  # NFPA 70 240.4(D)
        ("14 AWG", "copper", 15.1, False),
        ("12 AWG", "copper", 20, True),
        ("12 AWG", "aluminum", 20, False),
        ("10 AWG", "aluminum", 25, True),
        ("8 AWG", "copper", 100, True),  # no limit by size: the rules judge it
    ],
)
def test_carrying_jumper_is_held_to_its_device(of: str, material: str, amps: float, suits: bool) -> None:
    assert jumpers.suits_device(size(of), material, "ungrounded", amps, CODE) is suits


@pytest.mark.parametrize(
    ("of", "amps", "suits"),
    [("14 AWG", 15, True), ("14 AWG", 20, False), ("12 AWG", 20, True), ("10 AWG", 60, True), ("10 AWG", 61, False)],
)
def test_grounding_jumper_is_held_to_the_grounding_table(of: str, amps: float, suits: bool) -> None:
    assert jumpers.suits_device(size(of), "copper", "equipment-grounding", amps, CODE) is suits


def test_jumper_that_carries_all_of_its_device_goes_by_the_coolest_column() -> None:
    carries = [jumpers.carries_device(size("8 AWG"), "copper", "grounded", amps, CODE) for amps in (40, 40.1)]
    assert carries == [True, False]


def test_role_without_a_table_is_left_to_the_rules() -> None:
    assert jumpers.suits_device(size("14 AWG"), "copper", "grounding-electrode", 400, CODE)
    assert not jumpers.carries_device(size("4/0 AWG"), "copper", "grounding-electrode", 15, CODE)


@pytest.mark.parametrize("role", ["ungrounded", "equipment-grounding"])
def test_code_without_tables_is_left_to_its_rules(role: str) -> None:
    assert jumpers.suits_device(size("24 AWG"), "copper", role, 400, "iec60364-2009")
    assert not jumpers.carries_device(size("4/0 AWG"), "copper", role, 15, "iec60364-2009")


@pytest.mark.parametrize(
    ("above", "role", "amps", "least"),
    [
        ("18 AWG", "ungrounded", 15, "14 AWG"),
        ("18 AWG", "ungrounded", 20, "12 AWG"),
        ("14 AWG", "equipment-grounding", 100, "8 AWG"),
    ],
)
def test_least_size_for_a_device_is_the_tables(above: str, role: str, amps: float, least: str) -> None:
    found = jumpers.least_for_device(size(above), "copper", role, amps, CODE)
    assert str(found) == least


def test_size_rests_on_the_table_of_its_role_or_on_practice() -> None:
    assert source("12 AWG", "ungrounded", by_device=False) == {"kind": "common-practice"}
    assert source("12 AWG", "grounded")["section"] == "240.4(D)"
    assert source("6 AWG", "grounded")["section"] == "Table 310.16"
    assert source("12 AWG", "isolated-grounding")["section"] == "Table 250.122"


def source(of: str, role: str, *, by_device: bool = True) -> Any:
    return jumpers.sizing_source(size(of), "copper", role, by_device=by_device, code=CODE)


def test_aluminum_gets_tails_of_copper_and_copper_none() -> None:
    assert [jumpers.tail_metal(metal) for metal in ("aluminum", "copper-clad-aluminum", "copper")] == [
        "copper",
        "copper",
        None,
    ]


def test_pigtails_and_jumpers_are_as_long_as_the_free_length_of_a_conductor() -> None:
    # 300.14 asks for 6 in of free conductor where it enters the box.
    assert [whole(*found) for found in (pigtail_length(), jumper_length())] == [whole(6, "in")] * 2


def test_beyond_the_grounding_table_a_jumper_is_left_to_the_rules() -> None:
    assert jumpers.suits_device(size("4 AWG"), "copper", "equipment-grounding", 9_999, CODE)
    assert not jumpers.carries_device(size("4/0 AWG"), "copper", "equipment-grounding", 9_999, CODE)


def test_no_size_is_least_where_none_is_entered() -> None:
    assert jumpers.least_for_device(size("2000 kcmil"), "copper", "ungrounded", 15, CODE) is None
