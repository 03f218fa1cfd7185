"""The sizes in which insulation types are made, of real questions, against NFPA 70, Table 310.4(A) and Table 402.3."""

from __future__ import annotations

import pytest

from splicewright import choose
from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.tables.conductors import insulation_types
from splicewright.units import size
from tests.external.published import cited, published

DATA = published("insulation_sizes")
BUILDING, FIXTURE = DATA["building_wire"], DATA["fixture_wire"]
SIZES = {
    **BUILDING["sizes"],
    **{letters: BUILDING["sizes"][like] for letters, like in BUILDING["wet_types"].items()},
    **FIXTURE["sizes"],
}
TYPES = [
    pytest.param(letters, id=cited((FIXTURE if letters in FIXTURE["sizes"] else BUILDING)["source"], letters))
    for letters in SIZES
]
GAUGES = sorted(
    map(
        size,
        [
            *(f"{number} AWG" for number in range(1, 31)),
            *(f"{aught}/0 AWG" for aught in range(1, 5)),
            *(f"{kcmil} kcmil" for kcmil in (250, 300, 500, 750, 1000, 1250, 1500, 1750, 2000, 2250)),
        ],
    )
)


def made(letters, name):
    conductor = {"size": name, "insulation": letters, "count": 2}
    (facts,) = facts_of(read_question({"joint": {"conductors": [conductor]}}).question).conductors
    return facts["conductor.made"]


def beside(name):
    """Give the gauge below and the gauge above a size."""
    at = GAUGES.index(size(name))
    return GAUGES[at - 1].text, GAUGES[at + 1].text


def test_of_every_type_but_bare_wire_the_sizes_are_published():
    assert set(SIZES) == set(insulation_types()) - {"bare"}


@pytest.mark.parametrize("letters", TYPES)
def test_a_type_is_made_in_its_published_sizes_and_in_none_beyond(letters):
    least, largest = SIZES[letters]
    below, above = beside(least)[0], beside(largest)[1]
    assert [made(letters, name) for name in (below, least, largest, above)] == [False, True, True, False]


@pytest.mark.parametrize("letters", TYPES)
def test_a_size_that_is_not_made_is_told(letters):
    rule = "construction/type-not-made-in-that-size"
    least = SIZES[letters][0]
    for name, wanted in ((least, False), (beside(least)[0], True)):
        conductor = {"size": name, "insulation": letters, "count": 2}
        told = {caution["rule"] for caution in choose({"joint": {"conductors": [conductor]}})["cautions"]}
        assert (rule in told) is wanted
