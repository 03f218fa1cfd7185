"""The bench's jobs and stocks are of the size that its rows say, and its plans are proven."""

from __future__ import annotations

import pytest

from splicewright.answering import Chooser
from splicewright.job.model import FEWEST_TYPES, LEAST_COST
from tests.bench import stock
from tests.bench.sizes import SMALLEST

pytestmark = pytest.mark.slow


def test_every_row_is_measured() -> None:
    assert [row.what.split(",")[0] for row in stock.rows(SMALLEST)] == ["stock plan"] * 3 + [
        "job of 400 joints that ask 400 questions"
    ]


def test_a_stock_has_as_many_types_and_joints_as_its_row_says() -> None:
    given = stock.stock(stock.ranked_joints(Chooser(), 200), FEWEST_TYPES, stock.TYPES, 0, seed=1)
    assert given.joints >= stock.JOINTS
    assert stock.TYPES * 0.8 <= len(given.types) <= stock.TYPES


def test_a_plan_that_is_not_proven_is_not_timed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stock, "MOST_WORK", 0)
    given = stock.stock(stock.ranked_joints(Chooser(), 20), LEAST_COST, 40, 40, seed=1)
    with pytest.raises(stock.NotProven):
        stock.proven(given, LEAST_COST)()


def test_a_large_job_asks_as_many_different_questions_as_its_row_says() -> None:
    joints = stock.large_job(500, 20)["joints"]
    assert len(joints) == 500
    assert len({str({k: v for k, v in joint.items() if k not in ("id", "quantity")}) for joint in joints}) == 20
