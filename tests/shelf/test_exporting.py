"""A catalogue written as tables is read again as the same, or is not written."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from splicewright.catalogue import catalogue_of, fill
from splicewright.faults import Faults
from splicewright.shelf import exporting
from splicewright.shelf.exporting import exported_files, exported_workbook, meaning
from splicewright.shelf.importing import imported
from splicewright.shelf.listings import listings_of
from splicewright.shelf.named import plain_catalogue
from splicewright.shelf.rows import rows_of
from splicewright.shelf.tables import tables_in_files, tables_in_workbook
from splicewright.shelf.yaml_form import yaml_of
from splicewright.yaml_text import read_yaml
from tests.catalogue.making import catalogue, combinations, joint, listing, port, ports
from tests.catalogue.round_trip import read_again, unlike_answers, without_places
from tests.shelf.drawn import catalogues
from tests.shelf.files import chooser

SHOP = plain_catalogue("shop", chooser().holding)


def test_shop_is_read_again_as_the_same_file() -> None:
    again = read_again(SHOP)
    assert again["xlsx"] == again["csv"]
    assert {one["id"] for one in again["csv"]["connectors"]} == {one["id"] for one in SHOP["connectors"]}
    assert {catalogue_of(one).digest for one in again.values()} == {catalogue_of(SHOP).digest}


@pytest.mark.slow
def test_shop_that_was_read_again_answers_the_same() -> None:
    assert list(unlike_answers(SHOP, 30, start=1)) == []


def test_same_catalogue_is_the_same_bytes() -> None:
    small = catalogue(listing())
    assert exported_workbook(small, "trial") == exported_workbook(small, "trial")


_JOINTS = [
    joint(f"{count} x {size} {words}".strip(), *more)
    for count in (1, 2, 3)
    for size in ("18 AWG", "14 AWG", "12 AWG", "4/0 AWG", "1.5 mm2")
    for words in ("", "stranded", "fine-stranded ferruled", "aluminum")
    for more in ((), ("1 x 14 AWG",))
]


@settings(
    max_examples=25, deadline=None, phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck)
)
@given(catalogues())
def test_any_catalogue_is_read_again_as_the_same_or_not_written(drawn: dict[str, Any]) -> None:
    try:
        files = exported_files(drawn, "drawn")
    except Faults:
        return
    again = imported(listings_of(tables_in_files(files)), "drawn", "drawn").catalogue
    assert again is not None
    assert read_yaml(yaml_of(again)).value == again
    before, after = catalogue_of(drawn), catalogue_of(again)
    for one, other in zip(before.connectors, after.connectors, strict=True):
        assert dict(one.attributes) == dict(other.attributes)
        for asked in random.Random(0).sample(_JOINTS, 30):
            was, now = fill(one, asked), fill(other, asked)
            assert (was.basis, was.verdict, was.comfort) == (now.basis, now.verdict, now.comfort)
    rest = imported(listings_of(tables_in_files(exported_files(again, "drawn"))), "drawn", "drawn").catalogue
    assert rest is not None
    assert without_places(rest) == without_places(again)


@settings(
    max_examples=4, deadline=None, phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck)
)
@given(catalogues())
def test_any_catalogue_in_a_workbook_says_what_csv_files_say(drawn: dict[str, Any]) -> None:
    try:
        data = exported_workbook(drawn, "drawn")
        files = exported_files(drawn, "drawn")
    except Faults:
        return
    book = imported(listings_of(tables_in_workbook(data, "xlsx")), "drawn", "drawn").catalogue
    assert book is not None
    csv = imported(listings_of(tables_in_files(files)), "drawn", "drawn").catalogue
    assert csv is not None
    assert {key: one for key, one in book.items() if key != "connectors"} == {
        key: one for key, one in csv.items() if key != "connectors"
    }


@pytest.mark.parametrize("most", ["26.125 kcmil", "26.120 kcmil", "13.250 mm2", "26500 cmil"])
def test_a_total_that_may_be_read_in_two_ways_is_written_so_that_it_is_not(most: str) -> None:
    total = {"from": "4.125 kcmil" if "kcmil" in most else f"4 {most.split()[1]}", "to": most, "count": "2 to 5"}
    sizes = {"thinnest": "14 AWG", "thickest": "10 AWG"}
    takes = [{"materials": ["copper"], "constructions": ["solid"], "metal": [{**total, **sizes}]}]
    given = catalogue(listing(takes=takes))
    book = tables_in_workbook(exported_workbook(given, "trial"), "xlsx")
    for tables in (book, tables_in_files(exported_files(given, "trial"))):
        again = imported(listings_of(tables), "trial", "trial").catalogue
        assert again is not None
        assert again["connectors"][0]["takes"] == takes


@pytest.mark.parametrize("about", ["'=1+1", "a\x07bell"])
def test_text_that_a_csv_file_would_change_is_not_written(about: str) -> None:
    with pytest.raises(Faults, match="trial: one: says something that a table can't hold as it is"):
        exported_files(catalogue(listing(about=about)), "trial")


@pytest.mark.parametrize("about", ["=1+1", "'=1+1", "-5", "1e5", "00123"])
def test_text_that_looks_like_something_else_is_kept_in_a_workbook(about: str) -> None:
    book = exported_workbook(catalogue(listing(about=about)), "trial")
    found = imported(listings_of(tables_in_workbook(book, "xlsx")), "trial", "trial").catalogue
    assert found is not None
    assert found["connectors"][0]["about"] == about


@pytest.mark.parametrize("key", ["about", "minutes", "source.where", "resists"])
def test_what_is_lost_on_the_way_is_seen(monkeypatch: pytest.MonkeyPatch, key: str) -> None:
    def losing(given: dict[str, Any]) -> Any:
        rows = rows_of(given)
        rows["connectors"][0].pop(key)
        return rows

    full = listing(about="Ours.", minutes=2, source={"document": "carton", "where": "side"}, resists=["sunlight"])
    plain = catalogue(full)
    assert exported_files(plain, "trial")
    monkeypatch.setattr(exporting, "rows_of", losing)
    with pytest.raises(Faults, match="one"):
        exported_files(plain, "trial")


@pytest.mark.parametrize("key", ["strip", "torque"])
def test_figure_of_a_port_that_is_lost_or_changed_on_the_way_is_seen(monkeypatch: pytest.MonkeyPatch, key: str) -> None:
    of_ports = ports(port(2, "18 AWG", "12 AWG", strip="9 mm", torque="9 lbf-in"), port(1, "14 AWG", "10 AWG"))
    plain = catalogue(listing(method="set-screw", tool="screwdriver", takes=[of_ports]))
    assert exported_files(plain, "trial")
    for other in ({}, {key: "12 mm" if key == "strip" else "12 lbf-in"}):

        def changing(given: dict[str, Any], other: dict[str, str] = other) -> Any:
            rows = rows_of(given)
            rows["ports"][0] = {**{name: one for name, one in rows["ports"][0].items() if name != key}, **other}
            return rows

        with monkeypatch.context() as patched:
            patched.setattr(exporting, "rows_of", changing)
            with pytest.raises(Faults, match="one: says something that a table can't hold"):
                exported_files(plain, "trial")


def test_connector_that_is_called_like_an_example_is_not_written() -> None:
    with pytest.raises(Faults, match="example-lever"):
        exported_files(catalogue(listing(id="example-lever")), "trial")


def test_sizes_that_say_the_same_twice_are_not_written() -> None:
    twice = combinations({"12 AWG solid copper": 1, "12 AWG copper solid": 2})
    with pytest.raises(Faults, match="stands twice in filling 1"):
        exported_files(catalogue(listing(takes=[twice])), "trial")


def test_several_groups_keep_what_they_say() -> None:
    takes = [
        combinations({"14 AWG": 2, "18 AWG fine-stranded": 1}),
        combinations({"12 AWG": 2}, materials=["aluminum"]),
        ports(port(2, "18 AWG", "12 AWG"), port(1, "14 AWG", "10 AWG", conductors=2), least=2),
    ]
    plain = catalogue(listing(takes=takes))
    for again in read_again(plain).values():
        (one,), (other,) = catalogue_of(plain).connectors, catalogue_of(again).connectors
        assert meaning(one) == meaning(other)
        assert len(again["connectors"][0]["takes"]) == 3
