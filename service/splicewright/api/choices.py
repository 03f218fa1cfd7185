"""POST /v1/choices and /v1/choices/why: one question, one answer, and why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, request

from splicewright.answering.why import why
from splicewright.api.bodies import read_body
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.answers import ANSWER
from splicewright.api.shapes.why import WhyShape
from splicewright.api.under_way import call_budget
from splicewright.json_text import read_json
from splicewright.question.answer_vocabulary import EXPLAIN, INCLUDE
from splicewright.question.schema import QuestionSchema
from splicewright.strict_fields import CommaWords, Text, Word, about
from splicewright.strict_schema import Strict

blueprint = Blueprint("choices", __name__)


class ShownQuery(Strict):
    """How much to tell."""

    explain = Word(
        EXPLAIN, metadata=about("How much the answer tells, where the question itself does not say.", default="full")
    )
    include = CommaWords(
        INCLUDE,
        metadata=about("What it has beside; without `explain` beside the least. Names, with commas."),
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
        query=ShownQuery,
        gives={JSON: ANSWER},
    ),
)
def choices(explain: str | None = None, include: Sequence[str] = ()) -> bytes:
    """Answer the question in the body."""
    raw, shown = read_body(request), explain_of(explain, include)
    return chooser().answer_json(raw, explain=shown, include=include, budget=call_budget())


def explain_of(explain: str | None, include: Sequence[str], otherwise: str = "full") -> str:
    """Give what a call explains: what it says, the least where it only says what to include, else `otherwise`."""
    return explain or ("brief" if include else otherwise)


class ConnectorQuery(Strict):
    """Which connector is asked about."""

    connector = Text(100, metadata=about("Id of a connector: why it may be used, or not, is told too."))


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/choices/why",
        id="why",
        tag="Deciding",
        summary="Tell why",
        about=(
            "Send a question; get what decides its answer, each finding as a tree down to what was given or assumed. "
            "With `connector` also every reason for or against that one, what its listing would have to say, and which "
            "single changes of the question were tried and make it an option."
        ),
        asks={JSON: QuestionSchema},
        query=ConnectorQuery,
        gives={JSON: WhyShape},
    ),
)
def tell_why(connector: str | None = None) -> dict[str, Any]:
    """Tell why the question in the body is answered as it is."""
    return why(read_json(read_body(request)), chooser(), connector=connector, budget=call_budget())
