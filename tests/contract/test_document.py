"""The API's document: valid, current, served, and complete."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import orjson
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from openapi_spec_validator import validate

from splicewright import shipped
from splicewright.api.app import create_app
from splicewright.api.examples import examples
from splicewright.api.json_schema import SIZE_PATTERN
from splicewright.api.openapi import as_yaml, document
from splicewright.api.operations import OPERATIONS
from splicewright.units import size

HTTP = ("get", "post", "put", "delete", "patch")


def operations() -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, methods in document()["paths"].items():
        for method in HTTP:
            if method in methods:
                yield method, path, methods[method]


def test_document_is_valid() -> None:
    validate(document())


def test_written_document_is_current() -> None:
    written = (shipped.folder("openapi") / "openapi.yaml").read_text(encoding="utf-8")
    assert written == as_yaml(), "run: python -m tests.contract.examples"


def test_served_document_is_the_written_one() -> None:
    served = create_app().test_client().get("/openapi.json").get_json()
    assert served == yaml.safe_load((shipped.folder("openapi") / "openapi.yaml").read_text(encoding="utf-8"))


def test_every_route_under_v1_is_in_the_document() -> None:
    routes = {
        (method.lower(), re.sub(r"<(\w+)>", r"{\1}", rule.rule))
        for rule in create_app().url_map.iter_rules()
        for method in rule.methods or ()
        if rule.rule.startswith("/v1/") and method not in ("HEAD", "OPTIONS")
    }
    assert routes <= {(method, path) for method, path, _ in operations()}


def test_every_operation_is_described_and_its_id_used_once() -> None:
    ids = [one["operationId"] for _, _, one in operations()]
    assert len(ids) == len(set(ids)) == sum(map(len, OPERATIONS.values()))
    assert all(one["summary"] and len(one["description"]) > 20 for _, _, one in operations())


def test_every_operation_has_an_example_of_its_question_and_answer() -> None:
    # The document is its own example.
    missing = [
        (one["operationId"], kind)
        for _, _, one in operations()
        if one["operationId"] != "openapi"
        for part in (one.get("requestBody"), one["responses"]["200"])
        for kind, content in (part or {}).get("content", {}).items()
        if not content.get("examples")
    ]
    assert not missing


def test_every_error_has_an_example() -> None:
    missing = [
        name
        for name, response in document()["components"]["responses"].items()
        if not response["content"]["application/problem+json"].get("examples")
    ]
    assert not missing


def test_every_field_of_every_schema_is_described() -> None:
    missing = [
        f"{name}.{key}"
        for name, schema in document()["components"]["schemas"].items()
        for key, part in schema.get("properties", {}).items()
        if not part.get("description")
    ]
    assert not missing
    assert all(schema.get("description") for schema in document()["components"]["schemas"].values())


def test_what_is_read_is_closed_and_what_is_answered_is_open() -> None:
    schemas = document()["components"]["schemas"]
    assert schemas["Question"]["additionalProperties"] is False
    assert "additionalProperties" not in schemas["OptionsAnswer"]


def test_what_lies_over_the_words_of_a_box_or_job_has_no_default() -> None:
    # A generated client would fill it in and send it, over what the box or the job says.
    schemas = document()["components"]["schemas"]
    laid = ("LaidPlace", "LaidCircuit", "LaidWork", "Box", "Defaults")
    assert '"default":' not in orjson.dumps([schemas[name] for name in laid]).decode()
    assert not {"code", "catalogue"} & {
        key for key, part in schemas["BoxQuestion"]["properties"].items() if "default" in part
    }


def test_every_choice_has_a_name_of_its_own() -> None:
    schemas = document()["components"]["schemas"]
    assert [name for name in schemas if name[-1].isdigit()] == []  # what the library gives a second of the same name
    choices = ("Answer", "CheckAnswer", "Remedy", "BatchItem", "BatchLine", "BatchQuestion", "BoxJoint", "JobProblem")
    assert [name for name in choices if "oneOf" not in schemas[name]] == []


def test_every_closed_list_of_words_stands_under_its_name() -> None:
    named = document()["components"]["schemas"]

    def inline(part: Any, within: str) -> Iterator[str]:
        if isinstance(part, dict):
            if "enum" in part and "const" not in part:
                yield within
            for key, inner in part.items():
                yield from inline(inner, f"{within}/{key}")
        elif isinstance(part, list):
            for inner in part:
                yield from inline(inner, within)

    found = [*inline(document()["paths"], "paths"), *inline(named, "schemas")]
    assert [one for one in found if one.count("/") != 1] == []
    assert len(found) > 50


def test_every_example_has_a_value() -> None:
    def without(part: Any, within: str) -> Iterator[str]:
        if isinstance(part, dict):
            for name, example in part.get("examples", {}).items() if "schema" in part else ():
                if "value" not in example:
                    yield f"{within}/{name}"
            for key, inner in part.items():
                yield from without(inner, f"{within}/{key}")

    assert [*without(document(), "")] == []


@pytest.mark.parametrize(
    ("union", "tag"),
    [("Answer", "outcome"), ("CheckAnswer", "verdict"), ("Remedy", "kind")],
)
def test_each_variant_carries_its_tag_as_const_and_enum(union: str, tag: str) -> None:
    schemas = document()["components"]["schemas"]
    words = []
    for ref in schemas[union]["oneOf"]:
        variant = schemas[ref["$ref"].rpartition("/")[2]]
        assert tag in variant["required"]
        part = variant["properties"][tag]
        assert part["enum"] == [part["const"]]
        words.append(part["const"])
    assert len(set(words)) == len(words)


def test_what_is_true_or_false_is_a_plain_boolean() -> None:
    # A usual generator takes `const: true` for the word "true", and its client then refuses the answer.
    told = orjson.dumps(document()["components"]["schemas"]).decode()
    assert '"type":"boolean"' in told
    assert [word for word in ("true", "false") if f'"const":{word}' in told or f'"enum":[{word}' in told] == []


def test_batch_is_told_as_json_before_it_is_told_as_lines() -> None:
    # Of several types of body, some generators know the first only, and of lines they make a text.
    batch = document()["paths"]["/v1/batches"]["post"]
    kinds = ["application/json", "application/x-ndjson"]
    assert [*batch["requestBody"]["content"]] == [*batch["responses"]["200"]["content"]] == kinds


def is_size(text: str) -> bool:
    try:
        size(text)
    except ValueError:
        return False
    return True


EVERY = [f"{number} AWG" for number in range(45)] + [f"{number}/0 AWG" for number in range(7)]
EVERY += [f"{number} kcmil" for number in range(2600)]
EVERY += [f"{whole}{part} mm2" for whole in range(2510) for part in ("", ".0", ".00", ".5", ".05", ".04", ".001", ".")]


def test_size_pattern_takes_every_size_that_is_read_and_no_other() -> None:
    pattern = re.compile(SIZE_PATTERN)
    assert [text for text in EVERY if bool(pattern.fullmatch(text)) != is_size(text)] == []


@given(
    st.one_of(
        st.from_regex(SIZE_PATTERN),
        st.from_regex(r"[0-9./ ]{1,6} ?(AWG|kcmil|mm2|awg|mm)\n?", fullmatch=True),
        st.text(max_size=12),
    )
)
def test_size_pattern_agrees_with_the_reader(text: str) -> None:
    matches = bool(re.compile(SIZE_PATTERN.replace("$", r"\Z")).match(text))
    assert matches == is_size(text)


def test_examples_are_read_from_their_files() -> None:
    assert len(examples()) >= 20
