"""POST /v1/trials: rules and catalogues tried before anyone relies on them."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

import orjson
from flask import Blueprint, Response, request
from werkzeug.exceptions import RequestEntityTooLarge, ServiceUnavailable

from splicewright.api.bodies import read_body
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.problems import PROBLEM, problem_plain
from splicewright.api.shapes.trials import TrialAnswerShape
from splicewright.api.under_way import LATER_S
from splicewright.json_text import read_json
from splicewright.refusals import MOST_PROBLEMS, Problem, Refused, Says
from splicewright.strict_schema import load, made_once
from splicewright.trials.schema import TrialSchema
from splicewright.trials.trying import TrialBusy, TrialFaults, try_files

blueprint = Blueprint("trials", __name__)
_MOST_BYTES = 400_000
_TRIED_ON = ("/questions/", "/job/")


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/trials",
        id="tryFiles",
        tag="Looking things up",
        summary="Try amendments and catalogues",
        about=(
            "Send files of amendments, or a catalogue, as YAML text; they are read, compiled and their examples run in "
            "a process of its own, on top of the code and amendments named, and nothing is kept. All that is wrong is "
            "told at once, with file and line. With questions or a job it tells which of them are answered otherwise, "
            "and by which rule. It takes a key with the scope `try`, and one trial at a time: another one gets a 503."
        ),
        asks={JSON: TrialSchema},
        gives={JSON: TrialAnswerShape},
    ),
)
def trials() -> dict[str, Any] | Response:
    """Try the files in the body."""
    raw = read_body(request)
    if len(raw) > _MOST_BYTES:
        raise RequestEntityTooLarge(f"the body is longer than {_MOST_BYTES:,} bytes, which a trial may have")
    asked: dict[str, Any] = load(made_once(TrialSchema), read_json(raw))
    try:
        return dict(try_files(asked, chooser()))
    except TrialBusy:
        raise ServiceUnavailable("another trial is under way", retry_after=LATER_S) from None
    except TrialFaults as error:
        told = orjson.dumps(_told(error, [file["name"] for file in asked["files"]]))
        return Response(told, HTTPStatus.UNPROCESSABLE_ENTITY, content_type=PROBLEM)


def _told(error: TrialFaults, names: list[str]) -> dict[str, Any]:
    """Write faults as a problem document: each at the text of its file, with line, rule and what to write.

    What is wrong with a question, or a joint of the job, that the files were to be tried on stands there.
    """
    found = []
    for fault in error.faults[:MOST_PROBLEMS]:
        known = fault["file"] in names
        of_joint = not known and fault["file"].startswith(_TRIED_ON)
        at_joint = f"{fault['file']}{fault['part']}" if of_joint else ""
        pointer = f"/files/{names.index(fault['file'])}/text" if known else at_joint
        told = Problem(pointer, Says(fault["says"], "not-valid", fault.get("write"))).to_dict()
        if fault["line"]:
            told["line"] = fault["line"]
        more = {} if of_joint else {"file": fault["file"], "rule": fault["part"], "write": fault.get("write")}
        found.append({**told, **{key: value for key, value in more.items() if value}})
    beyond = len(error.faults) - len(found)
    if beyond:
        found.append(Problem("", Says(f"and {beyond:,} more; mend those that are told first", "not-valid")).to_dict())
    whole = problem_plain(HTTPStatus.UNPROCESSABLE_ENTITY, "the files are not as they should be", Refused([]))
    return {**whole, "errors": found}
