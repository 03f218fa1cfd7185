from __future__ import annotations

import pickle
from contextlib import suppress
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.units import (
    UNITS,
    Size,
    gauge_diameter,
    gauge_steps,
    plain,
    quantity,
    size,
    whole,
)

GAUGES = [f"{n} AWG" for n in range(40, 0, -1)] + [f"{n}/0 AWG" for n in range(1, 5)]
KCMIL = [f"{n} kcmil" for n in range(212, 2501)]
metric = st.decimals("0.05", 2500, places=2).map(lambda d: f"{d} mm2")
sizes = st.one_of(st.sampled_from(GAUGES), st.sampled_from(KCMIL), metric).map(size)


# --- sizes -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "system"),
    [
        ("12 AWG", "awg"),
        ("4/0 AWG", "awg"),
        ("250 kcmil", "awg"),
        ("2.5 mm2", "metric"),
        ("10 mm2", "metric"),
    ],
)
def test_a_size_keeps_its_text_and_its_system(text, system):
    found = size(text)
    assert (str(found), found.text, found.system) == (text, text, system)


@pytest.mark.parametrize(
    ("given", "canonical"), [("2.50 mm2", "2.5 mm2"), ("4.0 mm2", "4 mm2"), ("120.00 mm2", "120 mm2")]
)
def test_needless_decimals_are_dropped_from_a_metric_size(given, canonical):
    assert size(given).text == canonical


@pytest.mark.parametrize(
    ("text", "value", "unit"), [("4/0 AWG", "4/0", "AWG"), ("250 kcmil", "250", "kcmil"), ("2.5 mm2", "2.5", "mm2")]
)
def test_an_answer_writes_a_size_as_text_with_its_unit(text, value, unit):
    assert size(text).to_dict() == {"value": value, "unit": unit}


@given(sizes)
def test_a_size_read_again_from_its_own_text_is_the_same(one):
    assert (size(one.text), size(one.text).text) == (one, one.text)


def test_sizes_grow_from_40_awg_to_2500_kcmil_in_the_order_the_trade_lists_them():
    areas = [size(text).area for text in GAUGES + KCMIL]
    assert areas == sorted(areas)
    assert len(set(areas)) == len(areas)


def test_212_kcmil_is_the_first_above_4_0_awg():
    assert size("4/0 AWG") < size("212 kcmil")


def test_sizes_compare_by_area_across_systems():
    assert size("2 mm2") < size("14 AWG") < size("2.5 mm2") < size("12 AWG") < size("4 mm2")


@given(sizes, sizes)
def test_two_sizes_are_equal_only_where_they_are_written_alike(one, other):
    assert (one == other) is (one.text == other.text)


def test_no_american_size_has_the_area_of_a_metric_one():
    hundredths = 10_000  # square micrometres in 0.01 mm2
    assert [text for text in GAUGES + KCMIL if size(text).area % hundredths == 0] == []


@given(st.lists(sizes))
def test_sorting_sizes_sorts_their_areas(many):
    assert [one.area for one in sorted(many)] == sorted(one.area for one in many)


@pytest.mark.parametrize("text", ["40 AWG", "1 AWG", "1/0 AWG", "212 kcmil", "2500 kcmil", "0.05 mm2", "2500 mm2"])
def test_the_ends_of_each_range_are_sizes(text):
    assert size(text).text == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("41 AWG", "41 AWG is not a size; AWG runs from 40 to 1, then 1/0 to 4/0"),
        ("99 AWG", "99 AWG is not a size; AWG runs from 40 to 1, then 1/0 to 4/0"),
        ("211 kcmil", "211 kcmil is not a size; kcmil begins above 4/0 AWG and ends at 2500 kcmil"),
        ("2501 kcmil", "2501 kcmil is not a size; kcmil begins above 4/0 AWG and ends at 2500 kcmil"),
        ("0.04 mm2", "0.04 mm2 is not a size; mm2 runs from 0.05 to 2500"),
        ("0 mm2", "0 mm2 is not a size; mm2 runs from 0.05 to 2500"),
        ("2500.01 mm2", "2500.01 mm2 is not a size; mm2 runs from 0.05 to 2500"),
    ],
)
def test_a_size_off_the_end_of_its_range_is_told_the_range(text, says):
    with pytest.raises(ValueError) as caught:
        size(text)
    assert str(caught.value) == says


@pytest.mark.parametrize(
    ("text", "guesses"),
    [
        ("12", "'12 AWG' or '12 mm2'"),
        ("2.5", "'2.5 mm2'"),
        ("4/0", "'4/0 AWG'"),
        ("99", "'99 mm2'"),
        ("250", "'250 kcmil' or '250 mm2'"),
        ("000", "'3/0 AWG'"),
    ],
)
def test_a_size_without_a_unit_is_told_every_size_it_may_mean(text, guesses):
    with pytest.raises(ValueError) as caught:
        size(text)
    assert str(caught.value) == f"{text!r} has no unit; write {guesses}"


@pytest.mark.parametrize(
    ("text", "guess"),
    [
        ("12 awg", "12 AWG"),
        ("12AWG", "12 AWG"),
        ("12-AWG", "12 AWG"),
        (" 12 AWG", "12 AWG"),
        ("12 AWG\n", "12 AWG"),
        ("14 ga", "14 AWG"),
        ("14 gauge", "14 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("250 MCM", "250 kcmil"),
        ("250kcmil", "250 kcmil"),
        ("2.5mm²", "2.5 mm2"),
        ("2.5 sq mm", "2.5 mm2"),
        ("2.5 sqmm", "2.5 mm2"),
        ("2.5 sq. mm", "2.5 mm2"),
    ],
)
def test_a_size_written_another_way_is_told_how_to_write_it(text, guess):
    with pytest.raises(ValueError) as caught:
        size(text)
    assert str(caught.value) == f"{text!r} is not written as a size; did you mean '{guess}'?"
    assert size(guess)


@pytest.mark.parametrize(
    "text",
    ["", " ", "AWG", "12.5 AWG", "01 AWG", "012 AWG", "5/0 AWG", "4/0 mm2", "3/0 kcmil", "41 awg", "-3 AWG",
     "0250 kcmil", "2.555 mm2", "02.5 mm2", "\uff11\uff12 AWG", "nan", "1e2 mm2", "\ud800", "10 \u017fq mm"],
)  # fmt: skip
def test_what_is_no_size_at_all_is_told_what_a_size_looks_like(text):
    with pytest.raises(ValueError) as caught:
        size(text)
    assert str(caught.value) == f"{text!r} is not a size; write it like '12 AWG', '250 kcmil' or '2.5 mm2'"


def test_the_refusal_of_a_huge_text_is_short():
    with pytest.raises(ValueError) as caught:
        size("9" * 1_000_000)
    assert len(str(caught.value)) < 120


@given(st.text())
def test_any_text_is_a_size_or_a_value_error_and_nothing_else(text):
    with suppress(ValueError):
        assert size(text).area > 0


@given(st.text(alphabet="0123456789/.# -awgAWGkcmilmMCM2²sq", max_size=12))
def test_a_size_that_a_refusal_proposes_is_a_size(text):
    try:
        size(text)
    except ValueError as error:
        _, asked, advice = str(error).partition("; did you mean ")
        if asked:
            assert size(advice.rstrip("?").strip("'"))


def test_a_size_survives_a_trip_to_another_process():
    copied = pickle.loads(pickle.dumps(size("12 AWG")))
    assert (copied, copied.text) == (Size(3308773, "", "awg"), "12 AWG")


# --- gauges ----------------------------------------------------------------------------


def test_the_gauge_is_anchored_at_5_mils_for_36_and_460_mils_for_4_0():
    assert gauge_diameter(36) == 0.005
    assert gauge_diameter(-3) == pytest.approx(0.46, abs=1e-12)


@pytest.mark.parametrize("far", range(len(GAUGES)))
def test_gauge_steps_count_the_gauges_between_two_sizes(far):
    assert gauge_steps(size(GAUGES[0]), size(GAUGES[far])) == far


@given(sizes)
def test_no_gauge_step_lies_between_a_size_and_itself(one):
    assert gauge_steps(one, one) == 0


@given(sizes, sizes, sizes)
def test_gauge_steps_never_shrink_as_the_large_size_grows(first, second, third):
    small, middle, large = sorted([first, second, third])
    assert gauge_steps(small, middle) <= gauge_steps(small, large)


def test_a_part_of_a_gauge_step_counts_as_a_whole_one():
    assert gauge_steps(size("12 AWG"), size("4 mm2")) == 1  # 0.8 of a step
    assert gauge_steps(size("2.5 mm2"), size("10 AWG")) == 4  # 3.2 steps


# --- quantities ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "base"),
    [
        (1, "in", 25_400),
        (0.1, "in", 2_540),
        (1, "ft", 304_800),
        (600, "mm", 600_000),
        (0.1, "mm", 100),
        (30, "degC", 2_700),
        (-60, "degC", -5_400),
        (86, "degF", 2_700),
        (-76, "degF", -5_400),
        (32, "degF", 0),
        (98.6, "degF", 3_330),
        (120, "V", 1_200),
        (0.1, "V", 1),
        (12.5, "A", 125),
        (Fraction(1, 2), "ft", 152_400),
    ],
)
def test_a_quantity_becomes_whole_base_units(value, unit, base):
    found = whole(value, unit)
    assert (found, type(found)) == (base, int)


tenths = st.integers(-100_000, 100_000)


@given(tenths)
def test_degrees_fahrenheit_are_converted_exactly(number):
    assert whole(number / 10, "degF") == (Fraction(number, 10) - 32) * 50


@given(tenths, st.sampled_from(["in", "ft", "mm", "degC", "degF", "V", "A"]))
def test_no_tenth_is_rounded_away(number, unit):
    assert whole(number / 10, unit) - whole((number - 1) / 10, unit) == whole(1.1, unit) - whole(1, unit)


@pytest.mark.parametrize(("value", "unit"), [(0.01, "V"), (120.25, "V"), (0.00001, "mm"), (0.001, "degC")])
def test_a_number_finer_than_the_base_unit_is_refused(value, unit):
    with pytest.raises(ValueError) as caught:
        whole(value, unit)
    assert str(caught.value) == f"{value} {unit} is finer than one decimal"


@pytest.mark.parametrize(
    ("text", "kind", "base"),
    [
        ("24 in", "length", 609_600),
        ("600 mm", "length", 600_000),
        ("2 ft", "length", 609_600),
        ("-40 degF", "temperature", -3_600),
        ("-40 degC", "temperature", -3_600),
        ("30.5 V", "volts", 305),
        ("20 A", "amps", 200),
    ],
)
def test_a_quantity_is_read_from_text_of_its_kind(text, kind, base):
    assert quantity(text, kind) == base


@pytest.mark.parametrize("text", ["24", "24in", "24 V", "24 inch", " 24 in", "1e3 in", "", "x" * 10_000])
def test_a_text_that_is_no_length_is_told_the_units_of_length(text):
    with pytest.raises(ValueError) as caught:
        quantity(text, "length")
    assert str(caught.value) == f"{text[:30]!r} is not a length; write a number, a space and one of: in, ft, mm"


@pytest.mark.parametrize("unit", list(UNITS))
@pytest.mark.parametrize("number", ["1000000", "-1000000", "24.25", "0.05", "999999.99", "1" * 40])
def test_a_number_that_is_too_large_or_too_fine_is_told_the_range(number, unit):
    with pytest.raises(ValueError) as caught:
        quantity(f"{number} {unit}", UNITS[unit][0])
    wrong = f"{number} {unit}"[:30]
    assert str(caught.value) == f"{wrong!r} is not from -999999.9 to 999999.9 {unit} with at most one decimal"
    assert quantity(f"999999 {unit}", UNITS[unit][0]) > quantity(f"-999999 {unit}", UNITS[unit][0])


@pytest.mark.parametrize(
    ("kind", "what"),
    [
        ("amps", "a number of amperes"),
        ("volts", "a number of volts"),
        ("length", "a length"),
        ("temperature", "a temperature"),
    ],
)
def test_what_is_no_quantity_of_a_kind_is_told_in_plain_words(kind, what):
    with pytest.raises(ValueError, match=f"'9 kg' is not {what}; write a number"):
        quantity("9 kg", kind)


@pytest.mark.parametrize(("value", "text"), [(120, "120"), (120.0, "120"), (12.5, "12.5"), (-0.5, "-0.5"), (-0.0, "0")])
def test_a_number_is_written_without_a_needless_decimal(value, text):
    assert plain(value) == text


REGISTRY = pint.UnitRegistry(non_int_type=Fraction, autoconvert_offset_to_baseunit=True)
#: What the units library calls each unit, in what it gives its base unit, and how many of ours are in one of that.
NAMED = {
    "in": ("inch", "micrometer", 1),
    "ft": ("foot", "micrometer", 1),
    "mm": ("millimeter", "micrometer", 1),
    "degC": ("degC", "degC", 90),
    "degF": ("degF", "degC", 90),
    "V": ("volt", "volt", 10),
    "A": ("ampere", "ampere", 10),
}


@pytest.mark.parametrize("unit", sorted(UNITS))
@pytest.mark.parametrize("value", ["0", "1", "0.1", "-12.3", "30000"])
def test_base_units_are_those_of_the_units_library(unit, value):
    """Source: the unit definitions of pint."""
    name, base, ours = NAMED[unit]
    assert whole(Fraction(value), unit) == REGISTRY.Quantity(Fraction(value), name).to(base).magnitude * ours


def test_no_two_sizes_are_equally_large():
    """Equal questions have equal texts: sizes are compared by area alone."""
    texts = [f"{number} AWG" for number in range(1, 41)] + [f"{number}/0 AWG" for number in range(1, 5)]
    texts += [f"{number} kcmil" for number in range(212, 2501)]
    areas = [size(text).area for text in texts]
    assert len(set(areas)) == len(texts)
    assert not [text for text, area in zip(texts, areas, strict=True) if area % 10_000 == 0]  # hundredths of mm2
