"""Forms made of the vocabulary alone: what they send is taken, what they leave out or send as null is as told."""

from __future__ import annotations

import functools
from typing import Any

import orjson
import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from splicewright.api.json_schema import OBJECT_DEFAULT
from splicewright.api.openapi import document
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from tests.api.asking import new_client
from tests.contract.filling import CALLS, filled, first, form_of, least, put

SCHEMAS = {"/v1/choices": "Question", "/v1/checks": "Check", "/v1/boxes": "BoxFill", "/v1/jobs": "Job"}
PARTS = {
    "/joint/conductors/*": Conductor,
    "/joint": Joint,
    "/place": Place,
    "/circuit": Circuit,
    "/work": Work,
}
#: What an answer does not tell as assumed, since it decides nothing, or says itself what it came to.
UNTOLD = {
    "/v1/jobs": {
        "/explain",
        "/joints/*/quantity",
        "/boxes/*/quantity",
        "/boxes/*/joints/*/limit",
        "/stock/carry",
        "/split_overfilled",
    },
    "/v1/boxes": {"/joints/*/limit"},
}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


@functools.cache
def answer_without(client: FlaskClient, call: str, group: str) -> tuple[int, Any]:
    answer = client.post(call, json=least(call, group), buffered=True)
    return answer.status_code, answer.get_json()


def optional(call: str) -> list[tuple[str, str]]:
    """Give each part and group that may be left out, with the group that it stands in."""
    form = form_of(call)
    parts = [(part["pointer"], part["group"]) for part in form["parts"] if not part["required"]]
    alone = [one["pointer"] for one in form["groups"] if one["pointer"] and not one["required"]]
    return parts + [(one, one.rpartition("/")[0]) for one in alone if not one.endswith("*")]


@pytest.mark.parametrize(("call", "pointer", "group"), [(call, *one) for call in CALLS for one in optional(call)])
def test_null_is_as_if_it_were_left_out(client: FlaskClient, call: str, pointer: str, group: str) -> None:
    without, null = least(call, group), least(call, group)
    put(null, pointer, None)
    assert null != without
    answer = client.post(call, json=null, buffered=True)
    assert (answer.status_code, answer.get_json()) == answer_without(client, call, group)


def test_every_leaf_of_a_question_may_be_null_that_may_be_left_out() -> None:
    leaves = {
        f"{where}/{name}"
        for where, part in PARTS.items()
        for name, leaf in leaves_of(part).items()
        if not leaf.field.required
    }
    assert leaves <= {pointer for pointer, _ in optional("/v1/choices")}


def everything(call: str) -> dict[str, Any]:
    """Make a request that has every group which adds to what is assumed, and says no more than it must."""
    groups = [one["pointer"] for one in form_of(call)["groups"]]
    left = ("/box", "/extensions/*", "/boxes/*/box", "/boxes/*/extensions/*", "/stock/prices/*")
    body = least(call, *(one for one in groups if one not in left))
    if call == "/v1/jobs":
        body["explain"] = "full"
        body["joints"][0].pop("proposal", None)
    if call == "/v1/checks":
        body["proposal"]["method"] = "lever"
    return body


def told_as_assumed(answer: dict[str, Any]) -> dict[str, Any]:
    """Give all that an answer tells as assumed, by its pointer into the request."""
    found: dict[str, Any] = {pointer: one["value"] for pointer, one in answer["assumed"].items()}
    for key in ("joints", "boxes"):
        for at, one in enumerate(answer.get(key, ())):
            inner = one.get("assumed", {})
            # Of a job its pointers lead into the job, of a joint in a box into the joint.
            before = "" if "pointer" in one else f"/{key}/{at}"
            found |= {pointer: said["value"] for pointer, said in inner.items()}
            found |= {before + pointer: said["value"] for pointer, said in inner.items()}
    return found


@pytest.mark.parametrize("call", CALLS)
def test_what_a_form_tells_as_assumed_is_what_answers_tell(client: FlaskClient, call: str) -> None:
    body = everything(call)
    if call == "/v1/boxes":
        body["explain"] = "full"
    response = client.post(call, json=body, buffered=True)
    assert response.status_code == 200, response.text
    told = told_as_assumed(response.get_json())
    forms = {part["pointer"]: part["assumed"] for part in form_of(call)["parts"] if "assumed" in part}
    untold = UNTOLD.get(call, set())
    wrong = {at: value for at, value in forms.items() if at not in untold and told.get(first(at), "nothing") != value}
    wrong.pop("/explain", None)  # given above
    assert wrong == {}
    assert len(forms) >= 20


@pytest.mark.parametrize("call", ["/v1/choices", "/v1/checks"])
def test_whatever_a_question_is_told_as_assumed_has_its_default_or_depends(client: FlaskClient, call: str) -> None:
    told = told_as_assumed(client.post(call, json=everything(call), buffered=True).get_json())
    forms = {first(part["pointer"]): part for part in form_of(call)["parts"]}
    without = {pointer for pointer in told if "assumed" not in forms[pointer]}
    depending = {
        first(f"{where}/{name}")
        for where, part in PARTS.items()
        for name, leaf in leaves_of(part).items()
        if leaf.depends or "required_if" in leaf.field.metadata
    }
    assert without == {"/explain", *depending}


def property_at(name: str, pointer: str) -> dict[str, Any]:
    """Give the property of a schema at a pointer of a form."""
    schemas = document()["components"]["schemas"]
    found: dict[str, Any] = {"$ref": f"#/components/schemas/{name}"}

    def plain(part: dict[str, Any]) -> dict[str, Any]:
        for one in part.get("oneOf", ()):
            if "$ref" in one:
                return plain(one)
        return plain(schemas[part["$ref"].rpartition("/")[2]]) if "$ref" in part else part

    for key in pointer.split("/")[1:]:
        inner = plain(found)
        found = inner["properties"][key] if key != "*" else inner.get("items") or inner["additionalProperties"]
    return found


@pytest.mark.parametrize("call", CALLS)
def test_document_has_the_default_of_each_part_that_a_form_tells_as_assumed(call: str) -> None:
    parts = form_of(call)["parts"]
    found = {part["pointer"]: property_at(SCHEMAS[call], part["pointer"]) for part in parts}
    defaults = {
        pointer: one[key] for pointer, one in found.items() for key in ("default", OBJECT_DEFAULT) if key in one
    }
    assert defaults == {part["pointer"]: part["assumed"] for part in parts if "assumed" in part}


@pytest.mark.parametrize("call", CALLS)
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_a_form_filled_in_is_taken_but_for_what_contradicts_itself(
    client: FlaskClient, call: str, data: st.DataObject
) -> None:
    body = data.draw(filled(call))
    response = client.post(call, data=orjson.dumps(body), content_type="application/json", buffered=True)
    told = response.get_json()
    errors = told["errors"] if response.status_code == 422 else [
        error for key in ("joints", "boxes") for one in told.get(key, ()) for error in one.get("errors", ())
    ]  # fmt: skip
    assert response.status_code in (200, 422)
    # What two parts say together can't be said of each: too many in all, one that stands alone, a range by its unit.
    assert {error["code"] for error in errors} <= {"not-valid", "wrong-count", "out-of-range", "twice", "missing"}, (
        errors
    )
    assert [e for e in errors if e["code"] == "out-of-range" and not e["pointer"].endswith("/ambient/value")] == []
    # What has to be given since the box or the job says a word, and a stock planned by its cost without a price.
    missing = [error["pointer"] for error in errors if error["code"] == "missing"]
    assert [one for one in missing if not one.endswith(("/stock/prices", "/material"))] == []
    assert call in ("/v1/boxes", "/v1/jobs") or not missing
