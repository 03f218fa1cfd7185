"""A digit too many in a chart: planted in every filling of what is shipped, it is told, and at its own row."""

from __future__ import annotations

import datetime as dt
import random
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from splicewright import shipped
from splicewright.catalogue import catalogue_of, fill_slips
from splicewright.catalogue.fields import MOST_CONDUCTORS
from splicewright.catalogue.slips import SLIPS, Listed, Slip
from splicewright.json_pointer import join
from splicewright.refusals import Refused
from splicewright.units import size
from tests.catalogue.making import catalogue, combinations, listing

TODAY = dt.date(2026, 11, 30)
OF_FILL = [check for check in SLIPS if check.__module__ == fill_slips.__name__]
CHARTS: list[dict[str, Any]] = [
    connector
    for path in sorted((shipped.folder("rulesets") / "catalogues").glob("*.yaml"))
    for connector in shipped.read_data_file(path, path.name).value["connectors"]
    if any("combinations" in take for take in connector["takes"])
]
#: charts of sound listings: gauges, thinnest first
GAUGES = ["24 AWG", "22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"]


def slips(connector: Mapping[str, Any]) -> list[Slip]:
    (read,) = catalogue_of(catalogue(connector)).connectors
    listed = Listed(connector, read, TODAY)
    return [slip for check in OF_FILL for slip in check(listed)]


def ends(number: int | str) -> tuple[int, int]:
    least, _, most = str(number).partition(" to ")
    return int(least), int(most or least)


def with_a_digit(number: int) -> set[int]:
    """Give what a number becomes with a digit put before it or behind it."""
    return {int(f"{digit}{number}") for digit in range(1, 10)} | {int(f"{number}{digit}") for digit in range(10)}


def planted(connector: dict[str, Any]) -> Iterator[tuple[int, int, str, int | str]]:
    """Give each slip: the group, the line, the size, and what stands there in place of its number."""
    for group, take in enumerate(connector["takes"]):
        for line, written in enumerate(take.get("combinations", ())):
            for key, number in written.items():
                least, most = ends(number)
                for wrong in sorted(with_a_digit(most)):
                    yield group, line, key, f"{least} to {wrong}"
                    if least == most:
                        yield group, line, key, wrong


def slipped(connector: dict[str, Any], group: int, line: int, key: str, number: int | str) -> dict[str, Any]:
    takes = [dict(take) for take in connector["takes"]]
    lines = list(takes[group]["combinations"])
    lines[line] = {**lines[line], key: number}
    takes[group]["combinations"] = lines
    return {**connector, "takes": takes}


@pytest.mark.slow
def test_a_digit_too_many_is_told_in_every_filling_that_is_shipped_and_nothing_else_is():
    counted: Counter[str] = Counter()
    for connector in CHARTS:
        before = slips(connector)
        for group, line, key, number in planted(connector):
            wrong = slipped(connector, group, line, key, number)
            try:
                found = [slip for slip in slips(wrong) if slip not in before]
            except Refused:
                counted["refused"] += 1
                continue
            here = [slip for slip in found if slip.pointer == join("/takes", group, "combinations", line, key)]
            counted[max((slip.level for slip in here), default="missed", key="warning error".find)] += 1
            counted["elsewhere"] += len(found) - len(here)
    assert counted["missed"] == counted["elsewhere"] == 0
    assert counted["error"] > 10 * counted["warning"] > 0, counted


def sound(rng: random.Random) -> dict[str, Any]:
    """Give a listing of which every line fills one bore, with not more than so many conductors."""
    used = sorted(rng.sample(range(len(GAUGES)), rng.randint(2, 5)))
    thick = size(GAUGES[used[-1]]).area
    bore = rng.uniform(2 * thick, 6 * thick)
    most_in_all = rng.randint(5, MOST_CONDUCTORS)
    lines: list[dict[str, Any]] = []
    for at in used:
        most = min(int(bore / size(GAUGES[at]).area), most_in_all)
        if most >= 2:
            lines.append({GAUGES[at]: f"2 to {most}" if most > 2 else 2})
    return listing(takes=[combinations(*lines)])


def test_a_sound_chart_is_told_no_error_of_many():
    rng = random.Random(20261201)
    for _ in range(2000):
        chart = sound(rng)
        assert [slip for slip in slips(chart) if "times the metal of any other" in slip.says] == [], chart


@pytest.mark.parametrize(
    ("lines", "pointer", "next_to"),
    [
        ([{"14 AWG": "2 to 13"}, {"16 AWG": "2 to 4"}], "0/14 AWG", "4 x 16 AWG"),
        ([{"14 AWG": "2 to 3"}, {"16 AWG": "2 to 14"}], "1/16 AWG", "3 x 14 AWG"),
        ([{"14 AWG": "2 to 6"}, {"12 AWG": "2 to 15"}, {"10 AWG": "2 to 3"}], "1/12 AWG", "3 x 10 AWG"),
        (
            [{"14 AWG": "2 to 6"}, {"12 AWG": "2 to 5"}, {"10 AWG": "2 to 12"}, {"12 AWG": "1 to 3", "14 AWG": 1}],
            "2/10 AWG",
            "5 x 12 AWG",
        ),
    ],
)
def test_a_range_that_runs_away_is_told_at_its_row_alone(lines, pointer, next_to):
    (slip,) = slips(listing(takes=[combinations(*lines)]))
    assert (slip.level, slip.pointer) == ("error", f"/takes/0/combinations/{pointer}")
    (sure,) = slips(listing(takes=[combinations(*lines)], sure=True))
    assert (sure.level, sure.pointer) == ("warning", slip.pointer)
    assert f"next is {next_to}; " in slip.says


def test_a_row_is_held_against_those_of_other_groups():
    found = slips(listing(takes=[combinations({"14 AWG": "2 to 14"}), combinations({"12 AWG": "2 to 3"})]))
    assert [(slip.level, slip.pointer) for slip in found] == [("error", "/takes/0/combinations/0/14 AWG")]


def test_one_row_alone_with_many_is_a_warning():
    (slip,) = slips(listing(takes=[combinations({"12 AWG": "2 to 14"})]))
    assert (slip.level, slip.pointer) == ("warning", "/takes/0/combinations/0/12 AWG")
