"""What parts thousands and what decimals: each way to write a number is told how to be written, and is sound then."""

from __future__ import annotations

import re

import pytest

from splicewright.sheets.cells import UnreadableCell
from splicewright.shelf.number_signs import as_written, refuse_commas, refuse_doubtful_points, sharp


def told(text: str) -> str:
    try:
        refuse_commas(text)
        refuse_doubtful_points(text)
    except UnreadableCell as error:
        return str(error)
    return ""


@pytest.mark.parametrize(
    ("text", "write"),
    [
        ("1,200", "1200 or 1.2000"),
        ("1.200", "1200 or 1.2000"),
        ("12.500 mm", "12500 or 12.5000"),
        ("$1.200", "1200 or 1.2000"),
        ("1,234.56", "1234.56"),
        ("1.234,56", "1234.56"),
        ("12,345,678.9 cmil", "12345678.9"),
        ("26,500,000", "26500000"),
        ("0,375", "0.375"),
        ("14,90", "14.90"),
        ("1234,567", "1234.567"),
        ("1,5", "1.5"),
        ("1,2,3", "it with a point for decimals and no comma"),
        ("12,34.5", "it with a point for decimals and no comma"),
        ("1,234,56", "it with a point for decimals and no comma"),
    ],
)
def test_what_is_doubtful_is_told_how_to_be_written(text: str, write: str) -> None:
    assert told(text).endswith(f"; write {write}")


@pytest.mark.parametrize(
    "text", ["1200", "0.375", "1.25", "1.2000", "1234.567", "1.125 in", '1.125"', "1.125 inches", "1.125 x 1.250 in"]
)
def test_what_means_one_thing_is_none_of_our_business(text: str) -> None:
    assert told(text) == ""


def test_no_remedy_leads_into_another_fault() -> None:
    wholes = ["0", "1", "12", "123", "1234"]
    parts = ["5", "25", "200", "375", "1250"]
    texts = [f"{whole}{sign}{part}" for whole in wholes for part in parts for sign in ",."]
    texts += [f"1{a}{part}{b}{last}" for a in ",." for b in ",." for part in ("234", "200") for last in parts]
    for text in texts:
        remedy = told(text).rpartition("; write ")[2]
        for number in re.findall(r"[0-9][0-9.,]*", remedy):
            assert told(number) == "", (text, remedy)
            assert re.sub("[.,]", "", number).rstrip("0") == re.sub("[.,]", "", text).rstrip("0")


@pytest.mark.parametrize("text", ["26.125 kcmil", "26.120 kcmil", "8.5 mm2", "0.125 mm2", "16520 cmil", "1234.125 mm2"])
def test_what_is_written_sharp_is_read_as_it_was(text: str) -> None:
    assert told(sharp(text)) == ""
    assert as_written(sharp(text)) == text
