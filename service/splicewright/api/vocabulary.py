"""GET /v1/vocabulary: every word with its meaning."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from splicewright.api.operations import JSON, Operation, operation
from splicewright.api.shapes.vocabulary import VocabularyShape
from splicewright.form_vocabulary import vocabulary_plain, word_lists
from splicewright.question.fields import about
from splicewright.reading import Problem, Refused, not_allowed
from splicewright.strict_fields import Text
from splicewright.strict_schema import Strict

blueprint = Blueprint("vocabulary", __name__)


class ListQuery(Strict):
    """Which words."""

    list = Text(60, metadata=about("Only the list of words with this name, such as `exposure`."))


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/vocabulary",
        id="vocabulary",
        tag="Looking things up",
        summary="Every part of a request: its words, its range, its default",
        about=(
            "What forms are built from: each list of words with where its words go, what they mean and what is assumed "
            "where none is given; the ends of every number; and every part that is true or false, or text. What a "
            "question has is told at `/v1/choices` alone: a check has the same parts, and so have the joints, `place`, "
            "`circuit` and `work` of boxes and jobs. The names of catalogues are told by `GET /v1/catalogues`."
        ),
        query=ListQuery,
        gives={JSON: VocabularyShape},
        cached=True,
    ),
)
def vocabulary(list: str | None = None) -> dict[str, Any]:  # noqa: A002 - the parameter's name
    """Give every part, or one list of words."""
    try:
        return vocabulary_plain(list)
    except KeyError:
        says = not_allowed(str(list), [one.name for one in word_lists()], "unknown-name").within("?list: ")
        raise Refused([Problem("", says)]) from None
