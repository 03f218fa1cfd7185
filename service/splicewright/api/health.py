"""GET /health/live and /health/ready."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, current_app

from splicewright.api.api_prose import VERSION as CONTRACT
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.problems import problem
from splicewright.api.shapes.health import LiveShape, ReadyShape
from splicewright.api.under_way import LATER_S
from splicewright.version import VERSION

blueprint = Blueprint("health", __name__)


@operation(
    blueprint,
    Operation(
        "GET",
        "/health/live",
        id="live",
        tag="Running",
        summary="Whether the process runs",
        about="Answers as long as the process runs. It asks for no key.",
        gives={JSON: LiveShape},
    ),
)
def live() -> dict[str, Any]:
    """Say that the process runs."""
    return {"status": "live"}


@operation(
    blueprint,
    Operation(
        "GET",
        "/health/ready",
        id="ready",
        tag="Running",
        summary="Whether questions can be answered",
        about=(
            "Says the versions of software and contract, and which rules and which catalogue are in use, where they "
            "could be read and compiled; else a 503. It asks for no key."
        ),
        gives={JSON: ReadyShape},
        errors=(503,),
    ),
)
def ready() -> dict[str, Any] | Response:
    """Say that the rules are compiled and the catalogue is read, and which ones they are."""
    try:
        unsaid = chooser().holding.unsaid
        book = chooser().engine(unsaid.values["code"]).rulebook
        catalogue = chooser().catalogue(unsaid.values.get("catalogue") or unsaid.catalogues[0])
    except (ValueError, OSError, IndexError):
        current_app.logger.exception("not ready")
        response = problem(503, "the rules or the catalogue can't be taken into use; see the log")
        response.headers["Retry-After"] = str(LATER_S)
        return response
    return {
        "status": "ready",
        "version": VERSION,
        "contract": CONTRACT,
        "rulesets": {"code": book.code, "digest": book.digest},
        "catalogue": {**catalogue.named(), "digest": catalogue.digest},
    }
