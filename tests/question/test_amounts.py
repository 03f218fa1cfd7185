"""Numbers with their units: fractions are of lengths, and no unit is dropped, in a line, in JSON and in tables."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from splicewright.question.amounts import number_with_unit, several_told
from splicewright.question.read import read_question
from splicewright.question.read_as import AMOUNTS
from splicewright.question.short_text import read_short
from splicewright.refusals import Refused
from tests.question.leaves import every

ON_A_RULE = (2, 4, 8, 16, 32, 64)
PAIRS = ("120/240", "240/120", "277/480", "480Y/277", "120/208", "208Y/120", "15/20", "18/24", "100/2", "1/3", "2/2")
UNITS = ("V", "A", "in", "mm", "ft", "degC", "F", "kV", "mA", "kW", "hp", "AWG", "kcmil", "lbf-in", "cm")
AMOUNT_LEAVES = [
    (name, leaf.field)
    for name, leaf in every().items()
    if leaf.field.kind in AMOUNTS and not name.startswith("conductor.")
]


def told(name: str, value: str, between: str) -> list[str]:
    part, _, leaf = name.partition(".")
    found = read_short(f"2 of 12 AWG; {part} {leaf}{between}{value}")
    return [str(problem.says) for problem in found.problems]


def refused(name: str, value: Any) -> str:
    part, _, leaf = name.partition(".")
    with pytest.raises(Refused) as error:
        read_question({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, part: {leaf: value}})
    (problem,) = error.value.problems
    assert problem.pointer == f"/{part}/{leaf}"
    return str(problem.says)


@pytest.mark.parametrize("bottom", ON_A_RULE)
def test_each_fraction_of_an_inch_as_on_a_rule_is_what_it_comes_to(bottom: int) -> None:
    for top in range(1, bottom):
        assert number_with_unit(f"{top}/{bottom} in") == (float(Fraction(top, bottom)), "in")
        assert number_with_unit(f"1-{top}/{bottom} in")[0] == 1 + Fraction(top, bottom)
        assert number_with_unit(f"1 {top}/{bottom} ft")[0] == 1 + Fraction(top, bottom)


@pytest.mark.parametrize("unit", UNITS)
def test_no_other_two_numbers_with_a_stroke_are_one(unit: str) -> None:
    for top in range(130):
        for bottom in (*range(66), 120, 208, 240, 480):
            if not (unit in ("in", "ft") and bottom in ON_A_RULE and 0 < top < bottom):
                assert number_with_unit(f"{top}/{bottom} {unit}")[1] is None


@pytest.mark.parametrize(("name", "field"), AMOUNT_LEAVES)
@pytest.mark.parametrize("between", ["=", " "])
def test_a_pair_of_numbers_is_told_with_both_of_them(name: str, field: Any, between: str) -> None:
    for pair in PAIRS:
        for unit in field.units:
            (says,) = told(name, f"{pair} {unit}", between)
            says_of_json = refused(name, f"{pair} {unit}")
            for number in pair.replace("Y", "").split("/"):
                assert f"{number} {unit}" in says.partition("write ")[2]
                assert f"{number} {unit}" in says_of_json.partition("write ")[2]


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("unit", ["V", "A", "volts", "amps"])
def test_a_pair_of_numbers_is_told_where_no_leaf_is_named_too(pair: str, unit: str) -> None:
    for text in (f"{pair} {unit}", f"{pair}{unit}", pair, f"{pair} {unit} breaker", f"breaker {pair} {unit}"):
        found = read_short(f"2 of 12 AWG; {text}")
        assert len(found.problems) == 1
        assert "several numbers; write" in found.problems[0].says or text == pair
        assert f"{pair} V" not in str(found.problems[0].says).partition("; ")[2]


def units_of(field: Any) -> Iterator[tuple[str, bool]]:
    known = {"F": "degF", "kV": "V", "mA": "A"}
    for unit in UNITS:
        yield unit, known.get(unit, unit) in field.units or (unit == "ft" and "in" in field.units)


@pytest.mark.parametrize(("name", "field"), AMOUNT_LEAVES)
@pytest.mark.parametrize("between", ["=", " "])
def test_a_unit_of_another_kind_is_told_and_never_dropped(name: str, field: Any, between: str) -> None:
    for unit, right in units_of(field):
        says = told(name, f"100 {unit}", between)
        assert bool(says) is not right, unit
        if not right:
            assert f"100 {unit}" in says[0]
            assert "; " in refused(name, f"100 {unit}")


@pytest.mark.parametrize(
    ("sent", "leaf", "taken"),
    [("500 mA", "amps", 0.5), ("13.8 kV", "volts", 13_800), ("4.16kV", "volts", 4160), ("12500 mA", "amps", 12.5)],
)
def test_thousands_and_thousandths_of_a_unit_are_exact(sent: str, leaf: str, taken: float) -> None:
    assert read_short(f"2 of 12 AWG; {leaf} {sent}").question["circuit"] == {leaf: taken}
    asked = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "circuit": {leaf: sent}}
    assert [(one.sent, one.taken) for one in read_question(asked).read_as] == [(sent, taken)]


@pytest.mark.parametrize("text", ["24 in deep", '24" deep', "2 ft deep", "24 in depth", "buried 24 in deep"])
def test_a_number_is_of_the_leaf_whose_name_follows(text: str) -> None:
    found = read_short(f"2 of 12 AWG; {text}")
    assert not found.problems
    assert found.question["place"]["depth"] in text


@pytest.mark.parametrize("text", ["1 1/3 in", "1-1/2 mm", "2 3/2 in", "1 1/2 V", "1 0/2 in"])
def test_a_whole_number_with_what_is_no_fraction_on_a_rule_is_no_number(text: str) -> None:
    assert number_with_unit(text)[1] is None
    assert several_told(text)
