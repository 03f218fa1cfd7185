"""GET /v1/vocabulary: whatever it offers is taken, at the place that it names."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.asking import new_client, problems
from tests.contract.schemas import named

SCHEMAS = {"/v1/choices": "Question", "/v1/checks": "Check", "/v1/boxes": "BoxFill", "/v1/jobs": "Job"}


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def placed(pointer: str, value: Any) -> Any:
    """Make a body that holds a value at a pointer, and nothing else."""
    found = value
    for step in reversed(pointer.split("/")[1:]):
        found = [found] if step == "*" else {step: found}
    return copy.deepcopy(found)


def refused(call: str, pointer: str, value: Any) -> list[str]:
    """Give what the document's schema has against a value there; what else is missing does not matter."""
    steps = [0 if step == "*" else step for step in pointer.split("/")[1:]]
    found = named(SCHEMAS[call]).iter_errors(placed(pointer, value))
    return [one.message for one in found if list(one.instance_path) == steps and "required" not in one.message]


def test_every_word_may_stand_where_the_list_says(client: FlaskClient) -> None:
    lists = client.get("/v1/vocabulary").get_json()["lists"]
    offered = [
        (place["call"], place["pointer"], [one["word"]] if of["several"] else one["word"])
        for of in lists
        for place in of["at"]
        for one in of["words"]
    ]
    assert len(offered) > 150
    assert [one for one in offered if refused(*one)] == []


def test_every_number_has_the_ends_that_are_read(client: FlaskClient) -> None:
    numbers = client.get("/v1/vocabulary").get_json()["numbers"]
    for one in numbers:
        call, pointer = one["at"]["call"], one["at"]["pointer"]
        assert not refused(call, pointer, one["least"]), pointer
        assert not refused(call, pointer, one["most"]), pointer
        assert refused(call, pointer, one["most"] + 1), pointer
    assert len(numbers) > 10


def test_every_word_has_a_meaning_of_its_own_words(client: FlaskClient) -> None:
    lists = client.get("/v1/vocabulary").get_json()["lists"]
    assert len({of["name"] for of in lists}) == len(lists)
    assert all(one["means"] for of in lists for one in of["words"])


def test_one_list_can_be_asked_for(client: FlaskClient) -> None:
    told = client.get("/v1/vocabulary?list=exposure").get_json()
    assert [one["word"] for one in told["lists"][0]["words"]] == ["dry", "damp", "wet", "buried", "submerged"]
    assert told["lists"][0]["assumed"] == "dry"


def test_unknown_list_is_refused_with_the_nearest(client: FlaskClient) -> None:
    assert "did you mean 'exposure'?" in problems(client.get("/v1/vocabulary?list=exposures"), 422)[""]
