from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.box.volume import CM3_PER_IN3, Volume, block, measured_volume, total


def test_the_factor_is_that_of_the_units_library() -> None:
    """Source: pint, whose inch is 2.54 cm."""
    registry = pint.UnitRegistry(non_int_type=Fraction)
    assert registry.Quantity(Fraction(1), "inch**3").to("cm**3").magnitude == CM3_PER_IN3


@pytest.mark.parametrize(("value", "unit", "in3"), [(10.3, "in3", "10.3"), (16.39, "cm3", None), (21, "in3", "21")])
def test_a_volume_is_read_exactly_as_its_decimals_say(value: float, unit: str, in3: str | None) -> None:
    expected = Fraction(in3) if in3 else Fraction("16.39") / Fraction("16.387064")
    assert measured_volume(value, unit).in3 == expected


def test_cubic_inches_are_printed_rounded_down_so_that_no_room_is_made_up() -> None:
    assert measured_volume(344, "cm3").to_dict() == {"in3": 20.9921, "cm3": 344}
    assert 344 / 16.387064 > 20.9921


def test_a_shortage_is_printed_no_smaller_than_it_is() -> None:
    assert (measured_volume(344, "cm3") - Volume(Fraction(21))).to_dict()["in3"] == -0.0079


@given(st.integers(0, 10**6), st.integers(1, 10**7))
def test_what_is_printed_fits_exactly_where_it_does(sixteenths: int, hundredths_of_a_cm3: int) -> None:
    required = Volume(Fraction(sixteenths, 16))
    volume = measured_volume(hundredths_of_a_cm3 / 100, "cm3")
    assert (required <= volume) == (required.to_dict()["in3"] <= volume.to_dict()["in3"])


@pytest.mark.parametrize(
    ("sides", "in3"), [((25_400, 25_400, 25_400), 1), ((50_800, 25_400), 2), ((25_400, 12_700, 50_800), 1)]
)
def test_a_body_is_a_block_of_its_sides_a_round_one_of_length_and_twice_its_diameter(sides, in3) -> None:
    assert block(*sides).in3 == in3


def test_nothing_adds_up_to_nothing() -> None:
    assert total([]).in3 == 0
