"""POST /v1/batches: many questions, each with its answer or its errors, in the same order and while they come in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import orjson
from flask import Blueprint, Response, request, stream_with_context
from werkzeug.exceptions import HTTPException

from splicewright.answer_forms import error_item, errors_plain
from splicewright.answering import Chooser
from splicewright.api.bodies import Bounded, read_value, wrong_type
from splicewright.api.choices import ShownQuery
from splicewright.api.operations import JSON, NDJSON, Operation, chooser, operation
from splicewright.api.problems import problem_plain
from splicewright.api.shapes.batches import BATCH_ITEMS, BATCH_LINE, QUESTIONS
from splicewright.batch.lines import Readable, answer_block, blocks
from splicewright.question.given import id_of
from splicewright.question.read import QuestionSchema
from splicewright.reading import Problem, Refused, join

blueprint = Blueprint("batches", __name__)
_NDJSON_KINDS = (NDJSON, "application/ndjson")
#: Bytes read at a time: about 200 questions; fewer where each answer is a long one, so that memory stays bounded.
_BLOCK_BYTES = {"brief": 16_384, "full": 2_048}


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/batches",
        id="batch",
        tag="Deciding",
        summary="Decide many joints",
        about=(
            "As lines (`application/x-ndjson`): one question a line in, one line each out, in the same order and while "
            "they come in, so a batch of any length needs little memory. Each line of the answer is a `BatchLine`: an "
            "answer, or `{outcome: error, id, line, errors}` for a line that was no valid question; the rest go on. "
            "The last line is a `summary`; or a `problem` where the batch could not be finished. A body without either "
            "was cut off on its way: do not take it for whole. Read while you send where a batch is long.\n\n"
            "As a JSON array (`application/json`): a list of questions in, a list of as many answers out; "
            "`{outcome: error, id, pointer, errors}` for one that was no valid question, with pointers into the list."
            "\n\nAnswers are brief unless `explain` says otherwise."
        ),
        asks={NDJSON: QuestionSchema, JSON: QUESTIONS},
        query=ShownQuery,
        gives={NDJSON: BATCH_LINE, JSON: BATCH_ITEMS},
    ),
)
def batches(explain: str = "brief") -> Response:
    """Answer lines with lines, a list with a list."""
    if request.mimetype in _NDJSON_KINDS:
        body = Bounded(request, "MAX_BATCH")
        return Response(stream_with_context(_lines(chooser(), body, explain)), content_type=NDJSON)
    if not request.is_json:
        wrong_type(request, (NDJSON, JSON))
    given = read_value(request)
    if not isinstance(given, list):
        raise Refused([Problem("", "a batch is a list of questions")])
    return Response(stream_with_context(_items(chooser(), given, explain)), content_type=JSON)


def _lines(answering: Chooser, body: Readable, explain: str) -> Iterator[bytes]:
    lines = errors = 0
    try:
        for block in blocks(body, _BLOCK_BYTES[explain]):
            answered = answer_block(answering, block, explain=explain)
            lines += answered.lines
            errors += answered.errors
            yield answered.text
    except HTTPException as error:
        yield orjson.dumps({"problem": problem_plain(error.code or 500, error.description or "")}) + b"\n"
        return
    counts = {"line_count": lines, "answer_count": lines - errors, "error_count": errors}
    yield orjson.dumps({"summary": counts}) + b"\n"


def _items(answering: Chooser, given: list[object], explain: str) -> Iterator[bytes]:
    between = b"["
    for at, one in enumerate(given):
        yield between + _item(answering, one, join("", at), explain)
        between = b",\n"
    yield b"]" if given else b"[]"


def _item(answering: Chooser, given: object, pointer: str, explain: str) -> bytes:
    try:
        return orjson.dumps(answering.choose(given, explain=explain))
    except Refused as error:
        problems = [replace(problem, pointer=pointer + problem.pointer) for problem in error.problems]
        return orjson.dumps(error_item(errors_plain(problems), id=id_of(given), pointer=pointer))
