"""GET /v1/vocabulary: every request as a form, and every word with its meaning."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.vocabulary import VocabularyShape
from splicewright.form_vocabulary import vocabulary_plain, word_lists
from splicewright.forms import forms
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.strict_fields import Text, about
from splicewright.strict_schema import Strict

blueprint = Blueprint("vocabulary", __name__)


class VocabularyQuery(Strict):
    """Which words, and which form."""

    list = Text(60, metadata=about("Only the list of words with this name, such as `exposure`, and no form."))
    call = Text(60, metadata=about("Only the form of this call, such as `/v1/checks`."))


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/vocabulary",
        id="vocabulary",
        tag="Looking things up",
        summary="Every request as a form: its parts, their words, ranges and defaults",
        about=(
            "What forms are built from. Each call that decides has its form: the groups and parts of its body in their "
            "order, each part with its label, what it holds, its range and units, the list that its words are of, what "
            "is assumed where it is left out, and on what other parts it depends whether it is asked for. Then "
            "come the lists of words with their meanings. The names of catalogues are told by `GET /v1/catalogues`."
        ),
        query=VocabularyQuery,
        gives={JSON: VocabularyShape},
        cached=True,
    ),
)
def vocabulary(list: str | None = None, call: str | None = None) -> dict[str, Any]:  # noqa: A002 - the parameter's name
    """Give every form and list, or some of them."""
    known = {"list": (list, [one.name for one in word_lists()]), "call": (call, [one.call for one in forms()])}
    wrong = [
        Problem("", not_allowed(given, names, "unknown-name").within(f"?{name}: "))
        for name, (given, names) in known.items()
        if given is not None and given not in names
    ]
    if wrong:
        raise Refused(wrong)
    return vocabulary_plain(list, call, chooser().holding.unsaid)
