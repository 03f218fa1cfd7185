"""Blocks of lines: nothing is lost or doubled where they are cut, and several processes give the same bytes as one."""

from __future__ import annotations

import io

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.answering import shipped_chooser
from splicewright.batch.lines import LONGEST_LINE, Block, answer_block, blocks
from splicewright.batch.pool import answer_blocks, answer_stream, default_workers


@given(st.lists(st.binary(max_size=30).map(lambda one: one.replace(b"\n", b""))), st.integers(1, 40), st.booleans())
def test_blocks_hold_every_line_once_and_number_them(lines: list[bytes], size: int, ends: bool) -> None:
    text = b"\n".join(lines) + (b"\n" if ends and lines else b"")
    found = list(blocks(io.BytesIO(text), size))
    assert b"".join(block.text for block in found).rstrip(b"\n") == text.rstrip(b"\n")
    number = 1
    for block in found:
        assert block.first == number
        assert block.text.endswith(b"\n")
        number += block.text.count(b"\n")


def test_overlong_line_is_cut_so_that_memory_stays_bounded() -> None:
    text = b"x" * (5 * LONGEST_LINE) + b"\n{}\n"
    found = list(blocks(io.BytesIO(text), 65_536))
    assert max(len(block.text) for block in found) < LONGEST_LINE + 2 * 65_536
    answered = answer_block(shipped_chooser(), Block(1, found[0].text), explain="brief")
    assert b"longer than 1,000,000 bytes" in answered.text.splitlines()[0]


def job(lines: int) -> bytes:
    sizes = ["14 AWG", "12 AWG", "10 AWG", "12"]
    made = (
        {"id": str(at), "joint": {"conductors": [{"size": sizes[at * 7 % 4], "count": 1 + at % 5}]}}
        for at in range(lines)
    )
    return b"".join(orjson.dumps(one) + b"\n" for one in made)


@pytest.mark.parametrize("explain", ["brief", "full"])
def test_several_workers_give_the_bytes_that_one_gives(explain: str) -> None:
    text = job(1_000)
    one, two = (
        list(answer_blocks(blocks(io.BytesIO(text), 5_000), explain=explain, workers=workers)) for workers in (1, 2)
    )
    assert len(one) > 10
    assert b"".join(block.text for block in one) == b"".join(block.text for block in two)
    assert sum(block.errors for block in one) == sum(block.errors for block in two) == 250


def test_stream_that_is_given_up_leaves_no_worker_behind() -> None:
    answers = answer_stream(io.BytesIO(job(8_000)), explain="brief", workers=2)
    assert next(answers).text.count(b"\n") > 1
    answers.close()


def test_there_is_a_worker_for_each_processor() -> None:
    assert default_workers() >= 1
