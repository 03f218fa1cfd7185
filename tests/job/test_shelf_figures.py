"""What a takeoff comes to by the shelf's own figures: the same in a job's answer, on the screen and in tables."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.job import plan_job
from splicewright.job.shelf_figures import shelf_in_all, with_shelf
from splicewright.reports.job import print_job
from tests.catalogue.making import catalogue, combinations, listing

SAID = {"volts": "600 V", "degrees": "105 degC", "insulated": True}
JOINTS = [
    {"id": "a", "quantity": 60, "joint": {"conductors": [{"size": "10 AWG", "count": 2}]}},
    {"id": "b", "quantity": 3, "joint": {"conductors": [{"size": "12 AWG", "count": 3}]}},
]


def answered(small: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Give the answer to a job of two kinds of joint, of which one is made with `small`."""
    one = listing(id="small", takes=[combinations({"10 AWG": 2})], **SAID, **small)
    other = listing(id="large", takes=[combinations({"12 AWG": 3})], **SAID, on_hand=40)
    return plan_job({"catalogue": catalogue(one, other), "joints": JOINTS, **more})


def test_on_hand_packs_price_and_minutes_of_a_catalogue_that_is_sent_stand_in_the_takeoff() -> None:
    answer = answered({"on_hand": 4, "pack": 50, "price": 9.5, "minutes": 1.5})
    assert {line["connector"]: line["shelf"] for line in answer["takeoff"]} == {
        "large": {"on_hand": 40, "to_buy_count": 0},
        "small": {
            "on_hand": 4, "to_buy_count": 100, "per_pack": 50, "pack_count": 2, "price": 9.5, "cost": 19, "minutes": 90
        },
    }  # fmt: skip
    assert answer["shelf"] == {"cost": 19, "without_cost": ["large"], "minutes": 90, "without_minutes": ["large"]}


def test_what_is_not_known_is_left_out_and_never_nothing() -> None:
    answer = answered({})
    assert answer["takeoff"][1]["shelf"] == {"to_buy_count": 60}
    assert answer["shelf"] == {"without_cost": ["large", "small"], "without_minutes": ["large", "small"]}


def test_prices_of_the_job_are_stronger_and_what_is_on_hand_comes_off() -> None:
    stock = {"prices": {"small": {"pack": 8, "of": 20}}, "spare_percent": 10}
    (_, line) = answered({"on_hand": 50, "pack": 50, "price": 9.5}, stock=stock)["takeoff"]
    assert (line["bought_count"], line["cost"]) == (80, 32)
    assert line["shelf"] == {
        "on_hand": 50, "to_buy_count": 20, "per_pack": 20, "pack_count": 1, "price": 8, "cost": 8
    }  # fmt: skip


@pytest.mark.parametrize("key", ["on_hand", "pack", "price", "minutes"])
def test_another_figure_is_another_answer(key: str) -> None:
    first, second = answered({key: 3}), answered({key: 4})
    assert first["takeoff"] != second["takeoff"]
    assert first["answer"] != second["answer"]


def test_nothing_costs_nothing() -> None:
    assert shelf_in_all([]) == {"cost": 0, "without_cost": [], "minutes": 0, "without_minutes": []}
    assert shelf_in_all([with_shelf({"connector": "a", "count": 1, "spare_count": 0}, {"price": 2})])["cost"] == 2


def test_least_cost_goes_by_the_prices_of_the_catalogue_where_the_job_has_none() -> None:
    dear = listing(id="dear", takes=[combinations({"10 AWG": 2})], **SAID, price=3)
    cheap = listing(id="cheap", takes=[combinations({"10 AWG": 2})], **SAID, pack=50, price=9.5)
    job = {"catalogue": catalogue(dear, cheap), "joints": JOINTS[:1], "stock": {"aim": "least-cost"}}
    answer = plan_job(job)
    prices = {"dear": {"each": 3}, "cheap": {"pack": 9.5, "of": 50}}
    assert answer["assumed"]["/stock/prices"] == {"value": prices, "from": "catalogue"}
    assert [line["connector"] for line in answer["takeoff"]] == ["cheap"]
    assert answer["cost"] == answer["shelf"]["cost"] == 19
    said = plan_job({**job, "stock": {"aim": "least-cost", "prices": prices}})
    assert (said["stock_plan"], said["takeoff"]) == (answer["stock_plan"], answer["takeoff"])


@pytest.mark.parametrize("stock", [{}, {"stock": {"prices": {"small": {"each": 1}}}}])
def test_page_tells_what_is_bought_once_with_what_is_on_hand_off_it(
    stock: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    print_job(answered({"on_hand": 40, "price": 1}, **stock), details=False)
    row = next(line for line in capsys.readouterr().out.splitlines() if line.split()[:1] == ["small"])  # the takeoff
    assert row.split()[-4:] == ["60", "0", "20", "20.00"]
