"""POST /v1/batches: many questions and checks, each with its answer or its errors, in order and while they come in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import orjson
from flask import Blueprint, Response, current_app, request, stream_with_context
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from splicewright.answer_forms import error_item, errors_plain
from splicewright.answering import Chooser
from splicewright.api.bodies import Bounded, check_type, most_of_question, read_value
from splicewright.api.choices import ShownQuery
from splicewright.api.operations import JSON, NDJSON, Operation, chooser, operation
from splicewright.api.problems import problem_plain
from splicewright.api.shapes.batches import BATCH_ITEMS, BATCH_LINE, QUESTION, QUESTIONS
from splicewright.api.under_way import ClientLeft, call_budget, under_way
from splicewright.batch.lines import Readable, answer_block, answer_one, blocks
from splicewright.json_pointer import join
from splicewright.question.answer_vocabulary import EXPLAIN
from splicewright.question.given import id_of
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_fields import Word, about
from splicewright.work import LINE, Budget

blueprint = Blueprint("batches", __name__)
_NDJSON_KINDS = (NDJSON, "application/ndjson")
#: Bytes read at a time: about 200 questions; fewer where each answer may be a long one, so that memory stays bounded.
_BLOCK_BYTES, _BLOCK_BYTES_LONG = 16_384, 2_048
#: Pieces of work for each byte that a batch may have: enough for as many different questions as go into it.
_WORK_OF_A_BYTE = 6
_FEW = 20  # questions of a list that are answered before the first answer is sent
_SPENT = "has used up the work that a batch may take; send what begins here in another"
_SHORTEST = 40  # bytes: no question is shorter, so a longer list of questions is none that fits into a body


class BatchQuery(ShownQuery):
    """How much to tell."""

    explain = Word(
        EXPLAIN, metadata=about("How much answers tell, where a question itself does not say.", default="brief")
    )


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/batches",
        id="batch",
        tag="Deciding",
        summary="Decide many joints, and check many splices",
        about=(
            "As lines (`application/x-ndjson`): one question or check (a question with a `proposal`) a line in, one "
            "line each out, in the same order and while they come in, so a batch of any length needs little memory. "
            "Each line of the answer is a `BatchLine`: an answer, or `{outcome: error, id, line, errors}` for a line "
            "that was not valid; the rest go on. The last line is a `summary`; or a `problem` where the batch could "
            "not be finished. A body without either was cut off on its way: do not take it for whole. Read while you "
            "send where a batch is long.\n\n"
            "As a JSON array (`application/json`): a list of questions and checks in, a list of as many answers out; "
            "`{outcome: error, id, pointer, errors}` for one that was not valid, with pointers into the list."
            "\n\nAnswers are brief unless `explain` or `include` says otherwise."
        ),
        asks={JSON: QUESTIONS, NDJSON: QUESTION},  # in this order: of several, some generators know the first
        query=BatchQuery,
        gives={JSON: BATCH_ITEMS, NDJSON: BATCH_LINE},
    ),
)
def batches(explain: str = "brief", include: Sequence[str] = ()) -> Response:
    """Answer lines with lines, a list with a list."""
    check_type(request, (*_NDJSON_KINDS, JSON))
    # Each line within what a question may take: what would do instead is looked for in every one.
    budget = call_budget(_WORK_OF_A_BYTE * current_app.config["MAX_BATCH"], remedies=math.inf)
    asked = _Asked(chooser(), explain, include, budget)
    if request.mimetype in _NDJSON_KINDS:
        return Response(stream_with_context(_lines(asked, Bounded(request))), content_type=NDJSON)
    most_bytes = most_of_question(current_app)
    given = read_value(request, most_bytes)
    if not isinstance(given, list):
        raise Refused([Problem("", Says("a batch is a list of questions and checks", "wrong-type"))])
    most = most_bytes // _SHORTEST
    if len(given) > most:
        raise Refused([Problem("", Says(f"has {len(given):,} entries; at most {most:,} are allowed", "wrong-count"))])
    if len(given) <= _FEW:
        return Response(b"".join(_items(asked, given)), content_type=JSON)
    under_way().is_long()  # there is no place for a refusal once the first answers are sent
    return Response(stream_with_context(_items(asked, given)), content_type=JSON)


@dataclass(frozen=True, slots=True)
class _Asked:
    """How what is asked is answered."""

    chooser: Chooser
    explain: str
    include: Sequence[str]
    budget: Budget


def _lines(asked: _Asked, body: Readable) -> Iterator[bytes]:
    lines = errors = 0
    brief = asked.explain == "brief" and not asked.include
    try:
        for block in blocks(body, _BLOCK_BYTES if brief else _BLOCK_BYTES_LONG):
            answered = answer_block(
                asked.chooser, block, explain=asked.explain, include=asked.include, budget=asked.budget
            )
            lines += answered.lines
            errors += answered.errors
            yield answered.text
            if answered.lines < block.text.count(b"\n"):
                raise RequestEntityTooLarge(f"line {lines + 1} {_SPENT}")
    except ClientLeft:
        return
    except HTTPException as error:
        yield orjson.dumps({"problem": problem_plain(error.code or 500, error.description or "")}) + b"\n"
        return
    counts = {"line_count": lines, "answer_count": lines - errors, "error_count": errors}
    yield orjson.dumps({"summary": counts}) + b"\n"


def _items(asked: _Asked, given: list[object]) -> Iterator[bytes]:
    between = b"["
    try:
        for at, one in enumerate(given):
            yield between + _item(asked, one, join("", at))
            between = b",\n"
    except ClientLeft:
        return
    yield b"]" if given else b"[]"


def _item(asked: _Asked, given: object, pointer: str) -> bytes:
    try:
        asked.budget.count(LINE, "")
        return orjson.dumps(
            answer_one(asked.chooser, given, explain=asked.explain, include=asked.include, budget=asked.budget)
        )
    except Refused as error:
        problems = [replace(problem, pointer=pointer + problem.pointer) for problem in error.problems]
        return orjson.dumps(error_item(errors_plain(problems), id=id_of(given), pointer=pointer))
