"""GET /health/live and /health/ready."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, jsonify

from splicewright.api.problems import problem
from splicewright.choice import Chooser
from splicewright.question.read import DEFAULTS

blueprint = Blueprint("health", __name__, url_prefix="/health")


@blueprint.get("/live")
def live() -> Response:
    """Say that the process runs."""
    return jsonify(status="live")


@blueprint.get("/ready")
def ready() -> Response:
    """Say that the rules are compiled and the catalogue is read, and which ones they are."""
    chooser: Chooser = current_app.extensions["chooser"]
    try:
        book = chooser.engine(DEFAULTS[""]["code"]).rulebook
        catalogue = chooser.catalogue(DEFAULTS[""]["catalogue"])
    except (ValueError, OSError):
        current_app.logger.exception("not ready")
        return problem(503, "the rules or the catalogue can't be taken into use; see the log")
    return jsonify(
        status="ready",
        rulesets={"code": book.code, "digest": book.digest},
        catalogue={"name": catalogue.name, "digest": catalogue.digest},
    )
