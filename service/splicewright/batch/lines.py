"""NDJSON: one question or check a line in, one answer or one error a line out, in the same order.

A line with a `proposal` is a check. A bad line spoils no other.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

import orjson

from splicewright.answer_forms import error_item
from splicewright.answering.chooser import Chooser
from splicewright.inspection import check_splice
from splicewright.json_text import read_json
from splicewright.question.given import id_of
from splicewright.question.read import read_question
from splicewright.refusals import NotText, Problem, Refused, Says, told
from splicewright.work import LINE, Budget

_PROPOSAL = "proposal"
ERROR = "error"
#: What an answer came to stands among its first members; a text has no such quotes, since JSON escapes them.
_CAME_TO = re.compile(rb'"(?:outcome|verdict)":"([a-z-]+)"')
BOM = b"\xef\xbb\xbf"  # stands at the beginning of a text that some programs write; it is no part of it
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


class BlockAnswer(NamedTuple):
    """One line for each line of a block, each with its newline; how many they are, and what they came to."""

    text: bytes
    lines: int
    asked: int  # bytes of the block that was answered
    outcomes: Mapping[str, int]  # lines by outcome, or by verdict of a check; `error` among them

    @property
    def errors(self) -> int:
        """How many of the lines are errors."""
        return self.outcomes.get(ERROR, 0)


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


def answer_block(
    chooser: Chooser, block: Block, *, explain: str, include: Sequence[str] = (), budget: Budget | None = None
) -> BlockAnswer:
    """Answer each line of a block. `explain` and `include` are for questions that say neither.

    Where a budget is spent, the lines from there on are left out. Raises what its `watch` raises.
    """
    answers = []
    for number, line in enumerate(block.text.split(b"\n")[:-1], start=block.first):
        if budget is not None and not budget.lasts(LINE):
            break
        asked = line.removeprefix(BOM) if number == 1 else line
        try:
            answers.append(_answered(chooser, _checked(asked), explain, include, budget))
        except Refused as error:
            answers.append(_bad_line(_id_of(asked), number, error))
    came_to = Counter([found[1] for answer in answers if (found := _CAME_TO.search(answer))])
    outcomes = {word.decode(): count for word, count in sorted(came_to.items())}
    count = len(answers)
    answers.append(b"")  # so that the last has its newline too
    return BlockAnswer(b"\n".join(answers), count, len(block.text), outcomes)


def answer_one(
    chooser: Chooser, given: object, *, explain: str, include: Sequence[str] = (), budget: Budget | None = None
) -> dict[str, Any]:
    """Answer a question, or check what it proposes. Raises `Refused`, and what the `watch` of a budget raises."""
    if isinstance(given, Mapping) and given.get(_PROPOSAL) is not None:
        return check_splice(given, chooser, explain=explain, include=include, budget=budget)
    asking, given = chooser.with_own_catalogue(given, budget)
    return asking.answer(read_question(given, explain=explain, include=include, unsaid=asking.holding.unsaid), budget)


def _answered(chooser: Chooser, line: bytes, explain: str, include: Sequence[str], budget: Budget | None) -> bytes:
    if _PROPOSAL.encode() in line or b"\\u" in line:  # a key may be written in escapes
        given = read_json(line)
        if isinstance(given, Mapping) and given.get(_PROPOSAL) is not None:
            return orjson.dumps(check_splice(given, chooser, explain=explain, include=include, budget=budget))
    return chooser.answer_json(line, explain=explain, include=include, budget=budget)


def _checked(line: bytes) -> bytes:
    if len(line) > LONGEST_LINE:
        raise Refused([Problem("", Says(f"the line is longer than {LONGEST_LINE:,} bytes", "too-long"))])
    if not line or line.isspace():
        raise Refused([Problem("", Says("the line is empty; write one question or check a line", "missing"))])
    return line


def _bad_line(asked_id: str | None, number: int, error: Refused) -> bytes:
    return orjson.dumps(error_item(told(error), id=asked_id, line=number))


def _id_of(line: bytes) -> str | None:
    try:
        return id_of(read_json(line[:LONGEST_LINE]))
    except NotText:
        return None
