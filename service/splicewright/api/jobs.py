"""POST /v1/jobs: a whole job, its takeoff and what to carry."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request

from splicewright.api.bodies import read_value
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.jobs import JobAnswerShape
from splicewright.job import plan_job
from splicewright.job.schema import JobSchema

blueprint = Blueprint("jobs", __name__)


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/jobs",
        id="planJob",
        tag="Deciding",
        summary="Take off a whole job, and plan its stock",
        about=(
            "Send joints and boxes with their quantities; get what can't be made (`problems`, first of all), the count "
            "of every connector, pigtails and jumpers, and with `stock` the fewest or cheapest connector types to "
            "carry. `defaults` is laid under each joint and box. A bad joint or box is told in `problems` and spoils "
            "no other."
        ),
        asks={JSON: JobSchema},
        gives={JSON: JobAnswerShape},
    ),
)
def jobs() -> dict[str, Any]:
    """Plan the job in the body."""
    return plan_job(read_value(request, "MAX_JOB"), chooser())
