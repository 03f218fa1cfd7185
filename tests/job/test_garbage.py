"""While a job is answered old objects are left alone; afterwards the collector is as it was."""

from __future__ import annotations

import gc

import pytest

from splicewright.job.garbage import full_collections_put_off
from splicewright.refusals import Refused
from tests.job.asking import PAIR, job


@pytest.fixture(autouse=True)
def _thresholds():
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)


def full_collections(work) -> int:
    before = gc.get_stats()[2]["collections"]
    work()
    return gc.get_stats()[2]["collections"] - before


def make_much() -> list[list[int]]:
    return [[at] for at in range(200_000)]


def test_old_objects_are_looked_through_only_after_the_block():
    gc.set_threshold(100, 2, 2)
    gc.collect()
    assert full_collections(make_much) > 0
    with full_collections_put_off():
        assert full_collections(make_much) == 0
    assert gc.get_threshold() == (100, 2, 2)


def test_the_last_of_several_blocks_puts_it_back_and_what_was_set_meanwhile_stays():
    gc.set_threshold(700, 10, 10)
    first, second = full_collections_put_off(), full_collections_put_off()
    first.__enter__()
    second.__enter__()
    gc.set_threshold(20_000, *gc.get_threshold()[1:])
    first.__exit__(None, None, None)
    assert gc.get_threshold()[2] > 10
    second.__exit__(None, None, None)
    assert gc.get_threshold() == (20_000, 10, 10)


def test_a_job_leaves_the_collector_as_it_was_even_if_it_is_refused():
    gc.set_threshold(700, 10, 10)
    job({"joint": PAIR})
    with pytest.raises(Refused, match="none-such"):
        job({"joint": PAIR}, stock={"carry": ["none-such"]})
    assert gc.get_threshold() == (700, 10, 10)
