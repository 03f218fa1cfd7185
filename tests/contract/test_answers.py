"""Answers to a spread of questions are valid by the document's schemas, to which nothing may be added unwritten."""

from __future__ import annotations

import copy
import random
from typing import Any

import orjson
import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.api.app import create_app
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.rulebook.concerns import concern_words
from tests.api.asking import post
from tests.box.requests import requests as boxes
from tests.choice.likely import likely_given
from tests.contract.schemas import faults
from tests.inspection.test_check_properties import proposals

seeds = st.integers(0, 2**32)
#: What a call tells: a set by its name, or names of what stands in the answer beside the least.
explain = st.sampled_from(["explain=full", "explain=brief"])
shown = explain | st.lists(st.sampled_from(sorted(INCLUDE)), min_size=1, unique=True).map(
    lambda names: "include=" + ",".join(names)
)


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def answer(client: FlaskClient, path: str, body: Any) -> Any:
    response = post(client, path, body)  # an answer that is not read to its end holds its place
    assert response.status_code == 200, response.text
    return response.get_json()


def stated(sent: Any, pointer: str) -> bool:
    """Tell whether what was sent has a part at a pointer."""
    for key in pointer.split("/")[1:]:
        parts = dict(enumerate(sent)) if isinstance(sent, list) else sent
        part = int(key) if isinstance(sent, list) else key
        if part not in parts:
            return False
        sent = parts[part]
    return True


def judged_rightly(judged: list[dict[str, Any]], sent: Any, *, every: bool) -> None:
    """See that what was not judged says why, and points to what can be stated and was not; else it is not told.

    Of `every` concern that arises the article is told too.
    """
    concerns = [one["concern"] for one in judged]
    assert concerns == [word for word in concern_words() if word in concerns]
    for one in judged:
        assert every or "why" in one
        assert ("article" in one) is every
        assert ("asks" in one) is (one.get("why") == "not-stated")
        assert "asks" not in one or not stated(sent, one["asks"])


def leaf_stated(sent: dict[str, Any], pointer: str) -> dict[str, Any]:
    """State what was asked for, with a value that its kind allows."""
    values = {"insulation": "THWN-2", "depth": {"value": 30, "unit": "in"}, "wiring_age": "new", "continuous": False}
    values |= {"room": False, "overcurrent_device": "inverse-time-breaker"}
    found = copy.deepcopy(sent)
    *parts, leaf = pointer.split("/")[1:]
    into: Any = found
    for key in parts:
        into = into[int(key)] if isinstance(into, list) else into.setdefault(key, {})
    into[leaf] = values.get(leaf, 10)
    return found


@pytest.mark.slow
@given(seed=seeds)
@settings(max_examples=120)
def test_what_was_not_stated_is_taken_where_it_is_asked_for_and_then_asked_for_no_more(
    client: FlaskClient, seed: int
) -> None:
    sent = likely_given(random.Random(seed))
    every = answer(client, "/v1/choices?include=judged", sent)["judged"]
    judged_rightly(every, sent, every=True)
    judged = answer(client, "/v1/choices?explain=brief", sent)["judged"]
    judged_rightly(judged, sent, every=False)
    for pointer in {one["asks"] for one in judged if "asks" in one}:
        again = answer(client, "/v1/choices?explain=brief", leaf_stated(sent, pointer))["judged"]
        assert pointer not in {one.get("asks") for one in again}


@pytest.mark.slow
@given(seed=seeds, shown=shown)
@settings(max_examples=120)
def test_answers_are_as_the_document_says(client: FlaskClient, seed: int, shown: str) -> None:
    given = likely_given(random.Random(seed))
    found = answer(client, f"/v1/choices?{shown}", given)
    assert faults("Answer", found) == []


#: Names of `include` that a part of the answer has; the others tell more within parts that are always there.
PARTS = {"method_bars", "findings", "demands", "refusals", "confirmed", "rules"}


def unproved(found: Any) -> Any:
    """Give what was told without its proofs; of rules that are cited, their ids."""
    return [{key: one[key] for key in one if key != "from"} for one in found] if isinstance(found, list) else {*found}


@pytest.mark.parametrize(("path", "more"), [("/v1/choices", {}), ("/v1/checks", {"proposal": {"method": "lever"}})])
def test_what_is_included_is_there_and_nothing_else(client: FlaskClient, path: str, more: dict[str, Any]) -> None:
    asked = {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}, **more}
    least, whole = (answer(client, f"{path}?explain={explain}", asked) for explain in ("brief", "full"))
    assert PARTS >= whole.keys() - least.keys() != set()
    for name in INCLUDE:
        found = answer(client, f"{path}?include={name}", asked)
        added = {name} & PARTS & whole.keys()
        assert found.keys() - least.keys() == added, name
        assert all(unproved(found[key]) == unproved(whole[key]) for key in added - {"rules"}), name
        assert "rules" not in added or unproved(found["rules"]) <= unproved(whole["rules"]), name


@given(seed=seeds, shown=shown, proposal=proposals)
@settings(max_examples=80)
def test_checks_are_as_the_document_says(client: FlaskClient, seed: int, shown: str, proposal: dict[str, Any]) -> None:
    given = {**likely_given(random.Random(seed)), "proposal": proposal}
    found = answer(client, f"/v1/checks?{shown}", given)
    assert faults("CheckAnswer", found) == []


@pytest.mark.slow
@given(asked=boxes, seed=seeds)
@settings(max_examples=80)
def test_boxes_are_as_the_document_says(client: FlaskClient, asked: dict[str, Any], seed: int) -> None:
    joint = likely_given(random.Random(seed))["joint"]
    found = answer(client, "/v1/boxes", {**asked, "joints": [{"joint": joint}, {"joint": 3}]})
    assert faults("BoxFillAnswer", found) == []
    judged_rightly(found["judged"], asked, every=True)


@given(st.lists(seeds, max_size=5), explain)
@settings(max_examples=20)
def test_lines_of_a_batch_are_as_the_document_says(some: list[int], shown: str) -> None:
    asked = [orjson.dumps(likely_given(random.Random(seed))) for seed in some]
    body = b"\n".join([*asked, b"{}", b"nothing"])
    found = create_app().test_client().post(f"/v1/batches?{shown}", data=body, content_type="application/x-ndjson")
    lines = [orjson.loads(line) for line in found.data.splitlines()]
    assert [fault for line in lines for fault in faults("BatchLine", line)] == []


@pytest.mark.slow
@pytest.mark.parametrize("code", ["nfpa70-2017", "nfpa70-2020", "nfpa70-2023"])
def test_rules_are_as_the_document_says(client: FlaskClient, code: str) -> None:
    found = client.get(f"/v1/rules?code={code}").get_json()
    assert faults("Rules", found) == []
    for rule in found["rules"]:
        assert faults("Rule", client.get(f"/v1/rules/{rule['id']}?code={code}").get_json()) == []


def test_catalogue_and_vocabulary_are_as_the_document_says(client: FlaskClient) -> None:
    assert faults("Catalogues", client.get("/v1/catalogues").get_json()) == []
    assert faults("Catalogue", client.get("/v1/catalogues/shop").get_json()) == []
    assert faults("Vocabulary", client.get("/v1/vocabulary").get_json()) == []
