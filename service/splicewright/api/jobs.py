"""POST /v1/jobs: a whole job, its takeoff and what to carry."""

from __future__ import annotations

from flask import Blueprint, request

from splicewright.api.bodies import read_body
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.jobs import JobAnswerShape
from splicewright.api.under_way import call_budget
from splicewright.job import job_json
from splicewright.job.schema import JobSchema
from splicewright.json_text import read_json
from splicewright.work import BYTES_OF_JSON

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
            "no other. A job that asks for more work than one call may take (a few thousand joints that all differ), "
            "or for too long an answer, is refused, with a pointer to where another call should begin."
        ),
        asks={JSON: JobSchema},
        gives={JSON: JobAnswerShape},
    ),
)
def jobs() -> bytes:
    """Plan the job in the body."""
    budget = call_budget()
    raw = read_body(request)
    budget.count(len(raw) / BYTES_OF_JSON, "")
    given = read_json(raw)
    del raw  # it may be large
    return job_json(given, chooser(), budget)
