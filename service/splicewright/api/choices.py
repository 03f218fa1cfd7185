"""POST /v1/choices: one question, one answer."""

from __future__ import annotations

from flask import Blueprint, request

from splicewright.api.bodies import read_body
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.answers import ANSWER
from splicewright.question import vocabulary as v
from splicewright.question.fields import about
from splicewright.question.schema import QuestionSchema
from splicewright.strict_fields import Word
from splicewright.strict_schema import Strict

blueprint = Blueprint("choices", __name__)


class ExplainQuery(Strict):
    """How much to tell."""

    explain = Word(
        v.EXPLAIN, metadata=about("How much the answer tells, where the question itself does not say.", default="full")
    )


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/choices",
        id="choose",
        tag="Deciding",
        summary="Decide one joint",
        about=(
            "Send what is to be joined and where; get the connectors that may be used, the best first, or why the "
            "joint may not be made. Only `joint` is required: what is left out is filled in by a default, and each "
            "default is named in `assumed`. The same question to the same rules and catalogue always gives the "
            "same answer."
        ),
        asks={JSON: QuestionSchema},
        query=ExplainQuery,
        gives={JSON: ANSWER},
    ),
)
def choices(explain: str = "full") -> bytes:
    """Answer the question in the body."""
    return chooser().answer_json(read_body(request), explain=explain)
