"""POST /v1/choices/drawings and /v1/boxes/drawings: what an answer looks like."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from flask import Blueprint, request

from splicewright.api.bodies import read_body, read_value
from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.drawings import DrawingsShape
from splicewright.api.under_way import call_budget
from splicewright.box import fill_box
from splicewright.box.schema import BoxFillSchema
from splicewright.json_text import read_json
from splicewright.question.model import as_plain
from splicewright.question.read import read_question
from splicewright.question.schema import QuestionSchema

if TYPE_CHECKING:
    from splicewright.drawing import Drawing

blueprint = Blueprint("drawings", __name__)


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/choices/drawings",
        id="drawChoice",
        tag="Deciding",
        summary="Draw a joint and its best connector",
        about=(
            "Send a question; get drawings of its answer, each with the same in words: the conductors to scale beside "
            "the outside of the best connector, as far as its listing states it, and each strip length as a bar at 1:1."
        ),
        asks={JSON: QuestionSchema},
        gives={JSON: DrawingsShape},
    ),
)
def drawings() -> dict[str, Any]:
    """Draw the answer to the question in the body."""
    budget = call_budget()
    asking, given = chooser().with_own_catalogue(read_json(read_body(request)), budget)
    asked = read_question(given, unsaid=asking.holding.unsaid)
    options = asking.answer(asked, budget)["options"]
    best = options[0] if options else None
    listing = None
    if best is not None:
        listing = asking.catalogue(asked.question.catalogue).connector(best["connector"]).printed
    conductors = as_plain(asked.question.joint)["conductors"]
    return _told_of(_drawn(conductors, listing, best or {}))


@operation(
    blueprint,
    Operation(
        "POST",
        "/v1/boxes/drawings",
        id="drawBox",
        tag="Deciding",
        summary="Draw the room of a box",
        about=(
            "Send a box as `POST /v1/boxes` takes it; get its allowances as a bar, one after another, beside the "
            "volume that it has, and the same in words."
        ),
        asks={JSON: BoxFillSchema},
        gives={JSON: DrawingsShape},
    ),
)
def room() -> dict[str, Any]:
    """Draw the room of the box in the body."""
    from splicewright.drawing import room_bar  # noqa: PLC0415 - asked for by few

    return _told_of([room_bar(fill_box(read_value(request), chooser(), budget=call_budget()))])


def _told_of(drawn: Iterable[Drawing]) -> dict[str, Any]:
    return {"drawings": [{"svg": one.svg, "text": one.text} for one in drawn]}


def _drawn(conductors: list[Any], listing: Any, option: dict[str, Any]) -> Iterator[Drawing]:
    from splicewright.drawing import joint_drawing, strip_bar  # noqa: PLC0415 - asked for by few

    yield joint_drawing(conductors, listing)
    each = [one for one in option.get("by_conductor", ()) if one["figure"] == "strip" and "value" in one]
    for one in each:
        of = f"{one['size']['value']} {one['size']['unit']} {one['material']}"
        yield strip_bar(one["value"], f"{_told(one['value'])} ({of})")
    if not each and "strip" in option:
        yield strip_bar(option["strip"], _told(option["strip"]))


def _told(length: dict[str, Any]) -> str:
    return f"{length['value']} {length['unit']}"
