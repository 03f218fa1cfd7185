"""POST /v1/boxes: whether a box has room, and the joints in it."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request

from splicewright.api.bodies import read_value
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.boxes import BoxFillAnswerShape
from splicewright.api.under_way import call_budget
from splicewright.box import fill_box
from splicewright.box.schema import BoxFillSchema

blueprint = Blueprint("boxes", __name__)


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/boxes",
        id="fillBox",
        tag="Deciding",
        summary="Reckon the fill of a box, and decide its joints",
        about=(
            "Send a box and every wire, device and fitting in it; get the volume that they ask for by the code, "
            "whether the box has it, and the standard boxes that would do. `joints` are questions, decided with the "
            "box known; a bad one gets its errors in its place, and spoils no other."
        ),
        asks={JSON: BoxFillSchema},
        gives={JSON: BoxFillAnswerShape},
    ),
)
def boxes() -> dict[str, Any]:
    """Reckon the box in the body."""
    return fill_box(read_value(request), chooser(), budget=call_budget())
