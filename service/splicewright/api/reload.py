"""Takes changed rules, catalogues and keys into use while requests go on: by SIGHUP, or by POST /v1/reload."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from http import HTTPStatus
from typing import Any

from flask import Blueprint, Flask, Response, current_app
from werkzeug.exceptions import NotFound

from splicewright.answering import Chooser
from splicewright.api.operations import JSON, Operation, operation
from splicewright.api.problems import problem
from splicewright.api.shapes.reload import ReloadedShape
from splicewright.refusals import Problem, Refused, Says

#: Takes what is on disk into use; gives what to tell of it. Raises `NotRenewed`.
Renew = Callable[[], Mapping[str, object]]
blueprint = Blueprint("reload", __name__)


class NotRenewed(ValueError):
    """Something on disk cannot be taken into use; what was in use in its place stays. Carries every reason."""

    def __init__(self, reasons: Sequence[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("; ".join(self.reasons))


def digests_in_use(chooser: Chooser) -> dict[str, dict[str, str]]:
    """Give the digests of the rules, by code, and of the catalogues, by name."""
    return {"rulesets": chooser.holding.rules_read(), "catalogues": chooser.holding.catalogues_read()}


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/reload",
        id="reload",
        tag="Running",
        summary="Take changed rules, catalogues and keys into use",
        about=(
            "For whoever runs the server, with a key of the scope `admin`; nothing is sent. The files on the server's "
            "disk are proved, which takes seconds, and taken into use whole or not at all, while other calls go on. "
            "The answer comes when every process of the server answers from them, and tells what is in use. Keys are "
            "renewed also where rules can't be. There where the server asks for keys; each replica is told by itself."
        ),
        gives={JSON: ReloadedShape},
        errors=(404, 409),
    ),
)
def reload() -> dict[str, Any] | Response:
    """Renew what is in use."""
    renew: Renew | None = current_app.extensions.get("renew")
    if renew is None:
        raise NotFound("this server asks for no keys, so nothing is reloaded by a call; send its process SIGHUP")
    try:
        return dict(renew())
    except NotRenewed as error:
        says = "what is on disk can't all be taken into use; what is in use in its place stays"
        return problem(
            HTTPStatus.CONFLICT, says, Refused(Problem("", Says(reason, "not-taken")) for reason in error.reasons)
        )


def register(app: Flask, renew: Renew | None) -> None:
    """Let callers who may do so renew what is in use; nobody where `renew` is None."""
    app.extensions["renew"] = renew
