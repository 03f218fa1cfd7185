"""POST /v1/questions: a question in one line, read."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request

from splicewright.api.bodies import read_body
from splicewright.api.operations import JSON, Operation, operation
from splicewright.api.shapes.questions import ShortQuestionShape
from splicewright.json_text import read_json
from splicewright.question.read import in_own_words
from splicewright.question.read_as import read_as_plain
from splicewright.question.short_text import LONGEST, read_short
from splicewright.strict_fields import Text, about
from splicewright.strict_schema import Strict, load, made_once

blueprint = Blueprint("questions", __name__)


class ShortTextSchema(Strict):
    """A question in one line."""

    text = Text(
        LONGEST,
        required=True,
        metadata=about("Conductors with their sizes, then what else is said: `2 of 12 AWG solid; wet; 120 V`."),
    )


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/questions",
        id="readQuestion",
        tag="Deciding",
        summary="Read a question in one line",
        about=(
            "Send a question in one line, of words of the vocabulary and units; get it as `POST /v1/choices` takes it, "
            "in its own words and quantities, to be shown and confirmed, or what could not be placed. What was said in "
            "other words is told in `read_as`. Nothing is guessed: what has two meanings or no unit is a problem, and "
            "then there is no question."
        ),
        asks={JSON: ShortTextSchema},
        gives={JSON: ShortQuestionShape},
    ),
)
def questions() -> dict[str, Any]:
    """Read the text in the body."""
    asked = load(made_once(ShortTextSchema), read_json(read_body(request)))
    found = read_short(asked["text"])
    if found.problems:
        return {"question": None, "problems": [problem.to_dict() for problem in found.problems]}
    question, read_as = in_own_words(found.question)
    return {"question": question, "problems": [], **read_as_plain(read_as)}
