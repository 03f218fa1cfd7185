"""NDJSON: one question a line in, one answer or one error a line out, in the same order. A bad line spoils no other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import orjson

from splicewright.answering.chooser import Chooser
from splicewright.json_text import read_json
from splicewright.question.given import id_of
from splicewright.reading import NotText, Problem, Refused

LONGEST_LINE = 1_000_000
BLOCK_BYTES = 262_144


class Readable(Protocol):
    """What lines are read from."""

    def read(self, size: int, /) -> bytes:
        """Give at most `size` bytes; none at the end."""


@dataclass(frozen=True, slots=True)
class Block:
    """Whole lines, each with its newline, and the number (from 1) of the first."""

    first: int
    text: bytes


@dataclass(frozen=True, slots=True)
class BlockAnswer:
    """One line for each line of a block, each with its newline; how many they are, and how many of them are errors."""

    text: bytes
    lines: int
    errors: int
    asked: int  # bytes of the block that was answered


def blocks(stream: Readable, size: int = BLOCK_BYTES, *, first: int = 1) -> Iterator[Block]:
    """Cut a stream into blocks of whole lines, the first of which has the number `first`.

    Of a line that is too long only the beginning is kept.
    """
    number, rest = first, b""
    # Where there is a choice, what has come is taken, so that a slow sender gets its answers meanwhile.
    read = getattr(stream, "read1", stream.read)
    while chunk := read(size):
        cut = chunk.rfind(b"\n") + 1
        if not cut:
            rest = (rest + chunk)[: LONGEST_LINE + 1]
            continue
        text = rest + chunk[:cut]
        yield Block(number, text)
        number += text.count(b"\n")
        rest = chunk[cut:]
    if rest:
        yield Block(number, rest + b"\n")


def answer_block(chooser: Chooser, block: Block, *, explain: str) -> BlockAnswer:
    """Answer each line of a block. `explain` is the default for questions that don't say."""
    answers, errors = [], 0
    for number, line in enumerate(block.text.split(b"\n")[:-1], start=block.first):
        try:
            answers.append(chooser.answer_json(_checked(line), explain=explain))
        except Refused as error:
            answers.append(error_line(_id_of(line), number, error))
            errors += 1
    return BlockAnswer(b"".join([answer + b"\n" for answer in answers]), len(answers), errors, len(block.text))


def _checked(line: bytes) -> bytes:
    if len(line) > LONGEST_LINE:
        raise Refused([Problem("", f"the line is longer than {LONGEST_LINE:,} bytes")])
    if not line or line.isspace():
        raise Refused([Problem("", "the line is empty; write one question a line")])
    return line


def error_line(asked_id: str | None, number: int, error: Refused) -> bytes:
    """Write what is wrong with the question on line `number`, without a newline."""
    problems = [{"pointer": problem.pointer, "says": problem.says} for problem in error.problems]
    return orjson.dumps({"id": asked_id, "line": number, "errors": problems})


def _id_of(line: bytes) -> str | None:
    try:
        return id_of(read_json(line[:LONGEST_LINE]))
    except NotText:
        return None
