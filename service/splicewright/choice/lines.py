"""NDJSON: one question a line in, one answer or one error a line out, in the same order. A bad line spoils no other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import IO

import orjson

from splicewright.choice.chooser import Chooser
from splicewright.reading import NotText, Problem, Refused, read_json

LONGEST_LINE = 1_000_000


@dataclass(frozen=True, slots=True)
class LineAnswer:
    """What is written for one line (without its newline), and whether it is an answer."""

    text: bytes
    ok: bool


def split_lines(stream: IO[bytes]) -> Iterator[bytes | None]:
    """Give each line without its end; None for one longer than `LONGEST_LINE` bytes, which is passed over whole."""
    while line := stream.readline(LONGEST_LINE + 1):
        if len(line) <= LONGEST_LINE or line.endswith(b"\n"):
            yield line.rstrip(b"\r\n")
            continue
        while (rest := stream.readline(LONGEST_LINE)) and not rest.endswith(b"\n"):
            pass
        yield None


def answer_lines(chooser: Chooser, lines: Iterable[bytes | None], *, explain: str = "brief") -> Iterator[LineAnswer]:
    """Answer each line. `explain` is the default for questions that don't say."""
    for number, line in enumerate(lines, start=1):
        yield answer_line(chooser, line, number, explain=explain)


def answer_line(chooser: Chooser, line: bytes | None, number: int, *, explain: str) -> LineAnswer:
    """Answer one line: an answer, or `{id, line, errors}`."""
    try:
        return LineAnswer(chooser.answer_json(_checked(line), explain=explain), ok=True)
    except Refused as error:
        written = {
            "id": _id_of(line),
            "line": number,
            "errors": [{"pointer": one.pointer, "says": one.says} for one in error.problems],
        }
        return LineAnswer(orjson.dumps(written), ok=False)


def _checked(line: bytes | None) -> bytes:
    if line is None:
        raise Refused([Problem("", f"the line is longer than {LONGEST_LINE:,} bytes")])
    if not line.strip():
        raise Refused([Problem("", "the line is empty; write one question a line")])
    return line


def _id_of(line: bytes | None) -> str | None:
    try:
        given = read_json(line or b"")
    except NotText:
        return None
    found = given.get("id") if isinstance(given, dict) else None
    return found if isinstance(found, str) and len(found) <= 100 else None
