"""Of many problems the first are told, and how many more there are."""

from __future__ import annotations

import pickle

import pytest

from splicewright.api.app import create_app
from splicewright.refusals import MOST_PROBLEMS, Problem, Refused

TOLD = MOST_PROBLEMS


def of(count: int) -> list[Problem]:
    return [Problem(f"/{at}", "is wrong") for at in range(count)]


@pytest.mark.parametrize("count", [0, 1, TOLD])
def test_few_are_all_told(count: int) -> None:
    assert Refused(of(count)).problems == tuple(of(count))


def test_many_are_told_first_and_counted() -> None:
    found = Refused(of(1234)).problems
    assert found[:-1] == tuple(of(TOLD))
    assert str(found[-1].says) == "and 1,134 more; mend those that are told first"


def test_those_counted_once_are_counted_again_where_problems_are_put_together() -> None:
    one = Refused(of(TOLD + 3)).problems
    assert Refused(one).problems == one
    assert str(Refused([*one, *one]).problems[-1].says).startswith(f"and {TOLD + 6} more")


def test_what_counts_them_survives_the_way_between_processes() -> None:
    last = Refused(of(TOLD + 3)).problems[-1]
    assert str(pickle.loads(pickle.dumps(last)).says) == str(last.says)


def test_call_tells_the_first_hundred() -> None:
    conductor = {f"k{at}": 1 for at in range(20)}
    body = {"joint": {"conductors": [conductor] * 24}}
    answer = create_app().test_client().post("/v1/choices", json=body)
    assert answer.status_code == 422
    errors = answer.json["errors"]
    assert len(errors) == TOLD + 1
    assert errors[-1]["says"].startswith("and ")
