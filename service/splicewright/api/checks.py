"""POST /v1/checks: a proposed splice, and its verdict."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, request

from splicewright.api.bodies import read_value
from splicewright.api.choices import ShownQuery, explain_of
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.checks import CHECKED
from splicewright.api.under_way import call_budget
from splicewright.inspection import check_splice
from splicewright.inspection.schema import CheckSchema

blueprint = Blueprint("checks", __name__)


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/checks",
        id="check",
        tag="Deciding",
        summary="Check a proposed splice",
        about=(
            "Send a question with a `proposal`: the connector or method, and how the splice was made up. The verdict "
            "is `unsound` where anything speaks against it, else `unproven` where a rule asks for something that the "
            "proposal does not say, else `sound`."
        ),
        asks={JSON: CheckSchema},
        query=ShownQuery,
        gives={JSON: CHECKED},
    ),
)
def checks(explain: str | None = None, include: Sequence[str] = ()) -> dict[str, Any]:
    """Check the splice in the body."""
    shown = explain_of(explain, include)
    return check_splice(read_value(request), chooser(), explain=shown, include=include, budget=call_budget())
