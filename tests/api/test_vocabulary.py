"""GET /v1/vocabulary: whatever it offers is taken, at the place that it names."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from splicewright.api.openapi import document
from splicewright.units import size
from tests.api.asking import new_client, problems
from tests.contract.schemas import named

KINDS = ("numbers", "flags", "texts")
#: What other requests share with a question is told of questions alone.
SHARED = ("Question", "Joint", "Place", "Circuit", "Work")
JOINT = {"conductors": [{"size": "12 AWG"}]}
#: Requests that say as little as can be.
LEAST: dict[str, Any] = {
    "/v1/choices": {"joint": JOINT},
    "/v1/checks": {"joint": JOINT, "proposal": {"method": "lever"}},
    "/v1/boxes": {"wires": [{"size": "12 AWG"}], "devices": [{}], "terminal_blocks": [{}]},
    "/v1/jobs": {"joints": [{"joint": JOINT}], "stock": {}},
}
SCHEMAS = {"/v1/choices": "Question", "/v1/checks": "Check", "/v1/boxes": "BoxFill", "/v1/jobs": "Job"}


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def placed(pointer: str, value: Any) -> Any:
    """Make a body that holds a value at a pointer, and nothing else."""
    found = value
    for step in reversed(steps(pointer)):
        found = [found] if step == 0 else {step: found}
    return copy.deepcopy(found)


def steps(pointer: str) -> list[str | int]:
    """Give the steps to the first place of each list that a pointer names, and to one of each map's names."""
    named = pointer.replace("/prices/*", "/prices/any").split("/")[1:]
    return [0 if step == "*" else step for step in named]


def refused(call: str, pointer: str, value: Any) -> list[str]:
    """Give what the document's schema has against a value there; what else is missing does not matter."""
    pointer = pointer.replace("/lead_advance/", "/strip/")  # a length like that one, where it is no flag
    found = named(SCHEMAS[call]).iter_errors(placed(pointer, value))
    return [one.message for one in found if list(one.instance_path) == steps(pointer) and "required" not in one.message]


def test_every_word_may_stand_where_the_list_says(client: FlaskClient) -> None:
    lists = client.get("/v1/vocabulary").get_json()["lists"]
    offered = [
        (place["call"], place["pointer"], [word["word"]] if of["several"] else word["word"])
        for of in lists
        for place in of["at"]
        for word in of["words"]
    ]
    assert len(offered) > 150
    assert [one for one in offered if refused(*one)] == []


def test_every_number_has_the_ends_that_are_read(client: FlaskClient) -> None:
    numbers = client.get("/v1/vocabulary").get_json()["numbers"]
    for number in numbers:
        call, pointer = number["at"]["call"], number["at"]["pointer"]
        assert not refused(call, pointer, number["least"]), pointer
        assert not refused(call, pointer, number["most"]), pointer
        assert refused(call, pointer, number["most"] + 1), pointer
    assert len(numbers) > 10


def test_every_flag_is_true_or_false_and_every_text_as_long_as_told(client: FlaskClient) -> None:
    told = client.get("/v1/vocabulary").get_json()
    for flag in told["flags"]:
        call, pointer = flag["at"]["call"], flag["at"]["pointer"]
        assert not refused(call, pointer, True), pointer
        assert refused(call, pointer, "yes"), pointer
    for text in told["texts"]:
        call, pointer = text["at"]["call"], text["at"]["pointer"]
        assert not refused(call, pointer, "x" * text["longest"]), pointer
        assert refused(call, pointer, "x" * (text["longest"] + 1)), pointer
    assert all(one["about"] for kind in KINDS for one in told[kind])


@pytest.mark.parametrize("call", SCHEMAS)
def test_every_part_of_a_request_is_told(client: FlaskClient, call: str) -> None:
    told = client.get("/v1/vocabulary").get_json()
    places = [place for of in told["lists"] for place in of["at"]]
    places += [one["at"] for kind in KINDS for one in told[kind]]
    found = {place["pointer"] for place in places if place["call"] == call}
    assert found == set(leaves(SCHEMAS[call], told_elsewhere=() if call == "/v1/choices" else SHARED))


def leaves(name: str, told_elsewhere: tuple[str, ...]) -> Iterator[str]:
    """Give a pointer to every part of a schema that has no parts itself, but for schemas that are told elsewhere."""
    schemas = document()["components"]["schemas"]

    def walk(schema: dict[str, Any], pointer: str) -> Iterator[str]:
        if "$ref" in schema:
            of = schema["$ref"].rpartition("/")[2]
            if of not in told_elsewhere:
                yield from walk(schemas[of], pointer)
        elif "properties" in schema:
            for key, one in schema["properties"].items():
                yield from walk(one, f"{pointer}/{key}")
        elif schema.get("type") == "object":
            yield from walk(schema["additionalProperties"], f"{pointer}/*")
        elif schema.get("type") == "array":
            words = "enum" in resolved(schema["items"])
            yield from walk(schema["items"], pointer if words else f"{pointer}/*")
        elif "oneOf" in schema or "allOf" in schema:
            for one in schema.get("oneOf") or schema["allOf"]:
                yield from walk(one, pointer)
        else:
            yield pointer

    def resolved(schema: dict[str, Any]) -> dict[str, Any]:
        return schemas[schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema

    return walk(schemas[name], "")


def test_what_is_told_as_assumed_is_what_is_assumed(client: FlaskClient) -> None:
    told = client.get("/v1/vocabulary").get_json()
    places = [(of["at"][0], of["assumed"]) for of in told["lists"] if "assumed" in of]
    places += [(one["at"], one["assumed"]) for kind in KINDS for one in told[kind] if "assumed" in one]
    assert {place["call"] for place, _ in places} == set(SCHEMAS)
    assumed = {call: values(client.post(call, json=body).get_json()["assumed"]) for call, body in LEAST.items()}
    wrong = [
        (place, value)
        for place, value in places
        if at_pointer(assumed[place["call"]], steps(place["pointer"])) != value
        and not place["pointer"].startswith("/boxes/")  # told of boxes themselves
    ]
    assert wrong == []
    assert at_pointer(assumed["/v1/choices"], steps("/place/ambient/value")) == 30


def values(assumed: dict[str, Any]) -> dict[str, Any]:
    """Give what was filled in; boxes and jobs say beside it that it is a default."""
    return {at: one["value"] if isinstance(one, dict) and "from" in one else one for at, one in assumed.items()}


def at_pointer(assumed: dict[str, Any], steps: list[str | int]) -> Any:
    """Find what is assumed at a place, also inside of a map that is assumed as a whole."""
    for count in range(len(steps), 0, -1):
        found = assumed.get("/" + "/".join(map(str, steps[:count])))
        for step in steps[count:] if found is not None else ():
            found = found[step]
        if found is not None:
            return found
    return None


def test_sizes_are_listed_from_the_smallest_gauge_and_others_may_be_asked(client: FlaskClient) -> None:
    (sizes,) = client.get("/v1/vocabulary?list=size").get_json()["lists"]
    words = [one["word"] for one in sizes["words"]]
    assert {"12 AWG", "4/0 AWG", "250 kcmil", "2.5 mm2"} <= set(words)
    gauges = [size(word) for word in words if word.endswith("AWG")]
    assert len(gauges) == 44
    assert gauges == sorted(gauges)
    assert sizes["others"] is True
    assert {"word": "12 AWG", "means": "3.31 mm2"} in sizes["words"]


def test_every_word_has_a_meaning_of_its_own_words(client: FlaskClient) -> None:
    lists = client.get("/v1/vocabulary").get_json()["lists"]
    assert len({of["name"] for of in lists}) == len(lists)
    assert all(word["means"] for of in lists for word in of["words"])


def test_one_list_can_be_asked_for(client: FlaskClient) -> None:
    told = client.get("/v1/vocabulary?list=exposure").get_json()
    assert [word["word"] for word in told["lists"][0]["words"]] == ["dry", "damp", "wet", "buried", "submerged"]
    assert told["lists"][0]["assumed"] == "dry"


def test_unknown_list_is_refused_with_the_nearest(client: FlaskClient) -> None:
    assert "did you mean 'exposure'?" in problems(client.get("/v1/vocabulary?list=exposures"), 422)[""]


@pytest.mark.parametrize("call", LEAST)
def test_every_concern_that_an_answer_tells_of_is_a_word_with_its_meaning(client: FlaskClient, call: str) -> None:
    (listed,) = client.get("/v1/vocabulary?list=concern").get_json()["lists"]
    means = {word["word"]: word["means"] for word in listed["words"]}
    told = {one["concern"] for one in client.post(call, json=LEAST[call]).get_json()["judged"]}
    assert told
    assert all(means[one].startswith("Whether ") for one in told)
