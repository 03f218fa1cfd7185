"""GET /v1/amendments: the amendments that may be laid over a code."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.amendments import AmendmentsShape

blueprint = Blueprint("amendments", __name__)


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/amendments",
        id="listAmendments",
        tag="Looking things up",
        summary="List the amendments",
        about="Every amendment that a question may name: what a county, or a house, asks beside the code or instead.",
        gives={JSON: AmendmentsShape},
        cached=True,
    ),
)
def amendments() -> dict[str, Any]:
    """List amendments."""
    known = chooser().holding.files.amendments.fit
    return {"amendments": [known[name].heading() for name in sorted(known)]}
