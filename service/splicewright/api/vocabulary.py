"""GET /v1/vocabulary: every word with its meaning."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from splicewright.api.operations import JSON, Operation, operation
from splicewright.api.shapes.vocabulary import VocabularyShape
from splicewright.question.schema import about
from splicewright.reading import Problem, Refused, not_allowed
from splicewright.strict import Strict, Text
from splicewright.wordlists import ranges, word_list, word_lists

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
        summary="Every word with its meaning, and every range",
        about=(
            "What forms are built from: each list of words with where its words go, what they mean and what is assumed "
            "where none is given; and the ends of every number."
        ),
        query=ListQuery,
        gives={JSON: VocabularyShape},
        cached=True,
    ),
)
def vocabulary(list: str | None = None) -> dict[str, Any]:  # noqa: A002 - the parameter's name
    """Give all words and ranges, or one list of words."""
    if list is None:
        return {"lists": [one.plain() for one in word_lists()], "numbers": [one.plain() for one in ranges()]}
    try:
        return {"lists": [word_list(list).plain()], "numbers": []}
    except KeyError:
        raise Refused([Problem("", f"?list: {not_allowed(list, [one.name for one in word_lists()])}")]) from None
