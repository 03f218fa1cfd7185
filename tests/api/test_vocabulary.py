"""GET /v1/vocabulary: whatever it offers is taken, at the place that it names."""

from __future__ import annotations

import copy
import functools
from collections.abc import Iterator
from typing import Any

import jsonschema_rs
import pytest
from flask.testing import FlaskClient

from splicewright.api.openapi import document
from splicewright.rulebook.concerns import concerns_that_hurt
from splicewright.units import size
from tests.api.asking import new_client, problems

JOINT = {"conductors": [{"size": "12 AWG"}]}
SCHEMAS = {"/v1/choices": "Question", "/v1/checks": "Check", "/v1/boxes": "BoxFill", "/v1/jobs": "Job"}
#: Requests that say as little as can be.
LEAST: dict[str, Any] = {
    "/v1/choices": {"joint": JOINT},
    "/v1/checks": {"joint": JOINT, "proposal": {"method": "lever"}},
    "/v1/boxes": {"wires": [{"size": "12 AWG"}]},
    "/v1/jobs": {"joints": [{"joint": JOINT}]},
}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


@pytest.fixture(scope="module")
def told(client: FlaskClient) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/v1/vocabulary").get_json()
    return found


def parts_of(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    return ((form["call"], part) for form in told["forms"] for part in form["parts"])


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
    at = steps(pointer)
    found = stated(SCHEMAS[call]).iter_errors(placed(pointer, value))
    return [one.message for one in found if list(one.instance_path)[: len(at)] == at and "required" not in one.message]


@functools.cache
def stated(name: str) -> jsonschema_rs.Draft202012Validator:
    """Make a validator that takes no null, so that what it has against a part is told of the part itself."""

    def without_null(part: Any) -> Any:
        if isinstance(part, list):
            return [without_null(one) for one in part if one != {"type": "null"}]
        if not isinstance(part, dict):
            return part
        found = {key: without_null(one) for key, one in part.items()}
        if isinstance(found.get("type"), list):
            found["type"] = [one for one in found["type"] if one != "null"]
        if len(found.get("oneOf", ())) == 1:
            (only,) = found.pop("oneOf")
            found |= only
        return found

    whole = {"$ref": f"#/components/schemas/{name}", "components": without_null(document()["components"])}
    return jsonschema_rs.Draft202012Validator(whole)


def test_every_word_may_stand_where_a_part_has_its_list(told: dict[str, Any]) -> None:
    lists = {one["name"]: [word["word"] for word in one["words"]] for one in told["lists"]}
    offered = [
        (call, part["pointer"], [word] if part["several"] else word)
        for call, part in parts_of(told)
        if "list" in part
        for word in lists[part["list"]]
    ]
    assert len(offered) > 1_000
    assert [one for one in offered if refused(*one)] == []


def test_every_number_has_the_ends_that_are_read(told: dict[str, Any]) -> None:
    numbers = [(call, part) for call, part in parts_of(told) if "least" in part]
    for call, part in numbers:
        ends = [{"value": part[end], "unit": part["units"][-1]} if "quantity" in part["kind"] else part[end]
                for end in ("least", "most")]  # fmt: skip
        beyond = part["most"] + 1
        off = {"value": beyond, "unit": part["units"][-1]} if "quantity" in part["kind"] else beyond
        assert not refused(call, part["pointer"], ends[0]), part
        assert not refused(call, part["pointer"], ends[1]), part
        assert refused(call, part["pointer"], off), part
    assert len(numbers) > 40


def test_every_flag_is_true_or_false_and_every_text_as_long_as_told(told: dict[str, Any]) -> None:
    for call, part in parts_of(told):
        if part["kind"] == "flag":
            assert not refused(call, part["pointer"], True), part
            assert refused(call, part["pointer"], "yes"), part
        if part["kind"] == "text":
            several = (lambda text: [text]) if part["several"] else (lambda text: text)
            assert not refused(call, part["pointer"], several("x" * part["longest"])), part
            assert refused(call, part["pointer"], several("x" * (part["longest"] + 1))), part


@pytest.mark.parametrize("call", SCHEMAS)
def test_every_part_of_a_request_is_told_in_one_order_in_a_group_that_is_told(told: dict[str, Any], call: str) -> None:
    (form,) = [one for one in told["forms"] if one["call"] == call]
    found = [part["pointer"] for part in form["parts"]]
    assert set(found) == set(leaves(SCHEMAS[call]))
    assert len(set(found)) == len(found)
    assert [part["order"] for part in form["parts"]] == list(range(1, len(found) + 1))
    groups = {group["pointer"] for group in form["groups"]}
    assert {part["group"] for part in form["parts"]} | {""} <= groups | {""}
    assert all(part["pointer"].rpartition("/")[0] == part["group"] for part in form["parts"])
    assert all(one["label"] and one["about"] for one in (*form["groups"], *form["parts"]))
    conditions = [one for part in form["parts"] for key in ("asked_if", "required_if") for one in part.get(key, ())]
    assert all(one["pointer"] in found for one in conditions)


def leaves(name: str) -> Iterator[str]:
    """Give a pointer to every part of a schema that has no parts itself; a quantity is one."""
    schemas = document()["components"]["schemas"]

    def walk(schema: dict[str, Any], pointer: str) -> Iterator[str]:
        if "$ref" in schema:
            yield from walk(schemas[schema["$ref"].rpartition("/")[2]], pointer)
        elif set(schema.get("properties", ())) == {"value", "unit"}:
            yield pointer
        elif "properties" in schema:
            for key, one in schema["properties"].items():
                yield from walk(one, f"{pointer}/{key}")
        elif "additionalProperties" in schema:
            yield from walk(schema["additionalProperties"], f"{pointer}/*")
        elif "array" in schema.get("type", ()):
            (item,) = [resolved(schema["items"])]
            yield from walk(schema["items"], pointer if item.get("type") == "string" else f"{pointer}/*")
        elif "oneOf" in schema:
            for one in schema["oneOf"]:
                if one != {"type": "null"}:
                    yield from walk(one, pointer)
        else:
            yield pointer

    def resolved(schema: dict[str, Any]) -> dict[str, Any]:
        found: dict[str, Any] = schemas[schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema
        return found

    return walk(schemas[name], "")


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
    assert told["forms"] == []


@pytest.mark.parametrize("call", SCHEMAS)
def test_one_form_can_be_asked_for(client: FlaskClient, told: dict[str, Any], call: str) -> None:
    found = client.get(f"/v1/vocabulary?call={call}").get_json()
    assert found["forms"] == [form for form in told["forms"] if form["call"] == call]
    assert found["lists"] == told["lists"]


def test_unknown_list_is_refused_with_the_nearest(client: FlaskClient) -> None:
    assert "did you mean 'exposure'?" in problems(client.get("/v1/vocabulary?list=exposures"), 422)[""]
    assert "did you mean '/v1/checks'?" in problems(client.get("/v1/vocabulary?call=/v1/check"), 422)[""]


def test_concerns_that_can_hurt_are_told_apart(client: FlaskClient) -> None:
    (listed,) = client.get("/v1/vocabulary?list=concern").get_json()["lists"]
    assert {one["word"] for one in listed["words"] if one.get("hurts")} == concerns_that_hurt()
    (others,) = client.get("/v1/vocabulary?list=outcome").get_json()["lists"]
    assert not any("hurts" in one for one in others["words"])


@pytest.mark.parametrize("call", LEAST)
def test_every_concern_that_an_answer_tells_of_is_a_word_with_its_meaning(client: FlaskClient, call: str) -> None:
    (listed,) = client.get("/v1/vocabulary?list=concern").get_json()["lists"]
    means = {word["word"]: word["means"] for word in listed["words"]}
    told = {one["concern"] for one in client.post(call, json=LEAST[call]).get_json()["judged"]}
    assert told
    assert all(means[one].startswith("Whether ") for one in told)
