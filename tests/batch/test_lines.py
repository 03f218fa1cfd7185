"""Blocks of lines: nothing is lost or doubled where they are cut."""

from __future__ import annotations

import io

import orjson
from hypothesis import given
from hypothesis import strategies as st

from splicewright.answering import shipped_chooser
from splicewright.batch.lines import LONGEST_LINE, Block, answer_block, blocks


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


def test_mark_of_the_encoding_at_the_beginning_is_no_part_of_the_first_line() -> None:
    asked = orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}) + b"\n"
    found = answer_block(shipped_chooser(), Block(1, b"\xef\xbb\xbf" + asked + asked), explain="brief")
    first, second = found.text.splitlines()
    assert first == second
    assert found.errors == 0
    elsewhere = answer_block(shipped_chooser(), Block(7, b"\xef\xbb\xbf" + asked), explain="brief")
    assert elsewhere.errors == 1


def test_lines_are_counted_by_what_they_came_to() -> None:
    joint = {"conductors": [{"size": "12 AWG", "count": 2}]}
    asked = [
        {"id": 'so named: "outcome":"barred"', "joint": joint},
        {"joint": joint},
        {"joint": joint, "proposal": {"connector": "lever-2-port"}},
        {"joint": {"conductors": [{"size": "12"}]}},
    ]
    found = answer_block(
        shipped_chooser(), Block(1, b"".join(orjson.dumps(one) + b"\n" for one in asked)), explain="brief"
    )
    assert found.outcomes == {"error": 1, "options": 2, "unproven": 1}
    assert (found.lines, found.errors) == (4, 1)


def test_lines_that_say_nothing_of_it_have_what_is_included() -> None:
    plain = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
    said = [plain, {**plain, "include": ["meets"]}, {**plain, "explain": "brief"}]
    text = b"".join(orjson.dumps(one) + b"\n" for one in said)
    found = answer_block(shipped_chooser(), Block(1, text), explain="brief", include=["rules"])
    answers = [orjson.loads(line) for line in found.text.splitlines()]
    assert [("rules" in one, "meets" in one["options"][0]) for one in answers] == [
        (True, False),
        (False, True),
        (False, False),
    ]
