"""Several processes give the same bytes as one, and none is left behind."""

from __future__ import annotations

import io

import pytest

from splicewright.batch.lines import blocks
from splicewright.batch.pool import answer_blocks, answer_stream, default_workers
from tests.batch.asking import job


@pytest.mark.parametrize(("explain", "include"), [("brief", ()), ("full", ()), ("brief", ("rules",))])
def test_several_workers_give_the_bytes_that_one_gives(explain: str, include: tuple[str, ...]) -> None:
    text = job(1_000)
    one, two = (
        list(answer_blocks(blocks(io.BytesIO(text), 5_000), explain=explain, include=include, workers=workers))
        for workers in (1, 2)
    )
    assert (b'"rules":' in one[0].text) is (explain == "full" or "rules" in include)
    assert len(one) > 10
    assert b"".join(block.text for block in one) == b"".join(block.text for block in two)
    assert sum(block.errors for block in one) == sum(block.errors for block in two) == 250


def test_stream_that_is_given_up_leaves_no_worker_behind() -> None:
    answers = answer_stream(io.BytesIO(job(8_000)), explain="brief", workers=2)
    assert next(answers).text.count(b"\n") > 1
    answers.close()


def test_there_is_a_worker_for_each_processor() -> None:
    assert default_workers() >= 1
