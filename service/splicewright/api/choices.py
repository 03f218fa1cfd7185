"""POST /v1/choices: one question, one answer."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, request

from splicewright.api.bodies import read_body
from splicewright.choice import Chooser
from splicewright.question.vocabulary import EXPLAIN
from splicewright.reading import Problem, Refused, not_allowed

blueprint = Blueprint("choices", __name__)


@blueprint.post("/v1/choices")
def choices() -> Response:
    """Answer the question in the body. `?explain=brief` is the default for a question that does not say."""
    explain = request.args.get("explain", "full")
    if explain not in EXPLAIN:
        raise Refused([Problem("", f"?explain: {not_allowed(explain, EXPLAIN)}")])
    chooser: Chooser = current_app.extensions["chooser"]
    return Response(chooser.answer_json(read_body(request), explain=explain), content_type="application/json")
