"""Devices and loads of real questions, against NFPA 70, 240.4, 240.6, 110.14(C) and the sections on loads."""

from __future__ import annotations

import itertools
from fractions import Fraction

import pytest

from splicewright import choose
from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.tables.conductors import largest_device, standard_ratings
from tests.external.published import cited, published

DATA, AMPACITY = published("overcurrent"), published("ampacity")
RATINGS = DATA["ratings"]["amperes"]
CODES_70 = [code for code in CODES if code.startswith("nfpa70-")]
INSULATION = {"60": "TW", "75": "THW", "90": "THHN"}
METALS = {"copper": "copper", "aluminum": "aluminum", "copper-clad-aluminum": "aluminum"}
TOO_LARGE = "overcurrent/device-above-the-ampacity"
SMALL = "ratings/small-conductor-behind-too-large-a-device"
SIZES = [
    pytest.param(size, metal, id=cited(AMPACITY["amperes"]["source"], size, metal))
    for size, metal in itertools.product(AMPACITY["amperes"]["rows"], METALS)
    if AMPACITY["amperes"]["rows"][size][METALS[metal]].get("75")
]
AMBIENTS = AMPACITY["ambient"]["rows"][1::4]


def of(conductor, circuit=None, **parts):
    one = {"count": 2, **conductor}
    return {"joint": {"conductors": [one]}, "circuit": circuit or {}, **parts}


def measured(name, conductor, circuit=None, **parts):
    (facts,) = facts_of(read_question(of(conductor, circuit, **parts)).question).conductors
    found = facts.get(f"conductor.{name}")
    return None if found is None else found / 10


def told(part, question):
    return {one["rule"] for one in choose({"explain": "full", **question})[part]}


def around(amps):
    return amps, round(amps + 0.1, 1)


def rated(amperes):
    """Give the next published rating of at least so many amperes."""
    return next(one for one in RATINGS if one >= amperes)


# --- ratings ---------------------------------------------------------------------------


def test_the_published_ratings_are_all_there_are():
    assert len(RATINGS) == 38
    assert list(standard_ratings("nfpa70-2023")) == RATINGS


@pytest.mark.parametrize("code", [code for code in CODES_70 if code < "nfpa70-2023"])
def test_earlier_editions_lack_only_the_rating_that_was_one_of_fuses(code):
    """Source: NFPA 70 2020, 240.6(A) (page); that 2017 prints the same is from memory."""
    without = [one for one in RATINGS if one != DATA["earlier_ratings"]["without"]]
    assert list(standard_ratings(code)) == without


@pytest.mark.parametrize(("size", "metal"), SIZES)
def test_a_conductor_may_have_the_next_published_rating_above_what_the_published_table_lets_it_carry(size, metal):
    by_column = AMPACITY["amperes"]["rows"][size][METALS[metal]]
    for column, row in [(column, row) for column in INSULATION for row in AMBIENTS if column in row]:
        corrected = Fraction(str(by_column[column])) * Fraction(str(row[column]))
        place = {"ambient": {"value": row["to_c"], "unit": "degC"}}
        conductor = {"size": size, "material": metal, "insulation": INSULATION[column]}
        expected = rated(min(corrected, by_column["75"]))
        assert measured("protected_at", conductor, place=place) == expected, (column, row)


@pytest.mark.parametrize("row", DATA["worked"]["rows"], ids=lambda row: cited(DATA["worked"]["source"], *row.values()))
def test_the_worked_device_is_allowed_and_a_tenth_more_is_not(row):
    conductor = {"size": row["size"], "material": row["material"], "insulation": "THW"}
    assert measured("ampacity", conductor) == row["ampacity"]
    barred = [
        TOO_LARGE in told("bars", of(conductor, {"kind": "feeder", "overcurrent_amps": device}))
        for device in around(row["device"])
    ]
    assert barred == [False, True]


@pytest.mark.parametrize(
    "row", DATA["above_800"]["rows"], ids=lambda row: cited(DATA["above_800"]["source"], row["ampacity"])
)
def test_beyond_800_amperes_no_device_exceeds_the_ampacity(row):
    """No question leads there: a single conductor carries less."""
    assert largest_device(Fraction(row["ampacity"]), "nfpa70-2023") == row["device"]
    assert all(one < 800 for row in AMPACITY["amperes"]["rows"].values() for by in row.values() for one in by.values())


# --- cables and terminals --------------------------------------------------------------


@pytest.mark.parametrize("cable", DATA["cables_of_60_degrees"]["cables"])
@pytest.mark.parametrize(
    "row",
    DATA["cables_of_60_degrees"]["rows"],
    ids=lambda row: cited(DATA["cables_of_60_degrees"]["source"], row["size"]),
)
def test_a_cable_of_60_degrees_carries_its_column_and_may_have_the_device_for_that(row, cable):
    conductor = {"size": row["size"], "cable": cable}
    assert measured("ampacity", conductor) == row["carries"]
    barred = [
        bool({TOO_LARGE, SMALL} & told("bars", of(conductor, {"overcurrent_amps": device})))
        for device in around(row["device"])
    ]
    assert barred == [False, True]


@pytest.mark.parametrize(
    "row",
    DATA["terminals"]["rows"],
    ids=lambda row: cited(DATA["terminals"]["source"], row["size"], row["device"], "A"),
)
def test_a_device_asks_for_marked_terminals_where_the_60_degree_column_does_not_allow_it(row):
    question = of({"size": row["size"], "insulation": "THHN"}, {"overcurrent_amps": row["device"]})
    assert TOO_LARGE not in told("bars", question)
    assert ("overcurrent/marked-terminals-only" in told("cautions", question)) is row["mark"]


# --- five quarters ---------------------------------------------------------------------

DEVICES = [
    pytest.param(one, row, id=cited(one["source"], row["load"], "A behind", row["device"], "A"))
    for one in DATA["devices"]
    for row in one["rows"]
]
CONDUCTORS = [
    pytest.param(one, row, id=cited(one["source"], row["load"], "A on", row["size"]))
    for one in DATA["conductors"]
    for row in one["rows"]
]


@pytest.mark.parametrize(("one", "row"), DEVICES)
def test_a_device_carries_four_fifths_of_its_rating_for_hours(one, row):
    assert row["load"] * 5 == row["device"] * 4
    conductor = {"size": "500 kcmil", "insulation": "THHN"}
    barred = []
    for load in around(row["load"]):
        circuit = {**one["circuit"], "amps": load, "overcurrent_amps": row["device"]}
        bars = told("bars", of(conductor, circuit, code=one.get("code", "nfpa70-2023")))
        barred.append("overcurrent/continuous-load-above-its-device" in bars)
    assert barred == [False, True]


@pytest.mark.parametrize(("one", "row"), CONDUCTORS)
def test_a_conductor_carries_four_fifths_of_its_ampacity_for_hours_or_to_a_motor(one, row):
    assert row["load"] * 5 == AMPACITY["amperes"]["rows"][row["size"]]["copper"]["75"] * 4
    conductor = {"size": row["size"], "insulation": "THHN"}
    barred = [
        one["rule"] in told("bars", of(conductor, {**one["circuit"], "amps": load})) for load in around(row["load"])
    ]
    assert barred == [False, True]
