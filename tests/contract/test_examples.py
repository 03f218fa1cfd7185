"""Every worked call is answered as printed, and is valid by the schemas of the document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import orjson
import pytest

from splicewright.api.examples import Example, examples
from splicewright.api.openapi import document
from splicewright.catalogue import load_catalogue
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook
from tests.contract.examples import ask, body_of
from tests.contract.schemas import faults, validator
from tests.zeros import as_zeros

NDJSON = "application/x-ndjson"
EVERY = pytest.mark.parametrize("example", examples(), ids=lambda one: one.name)


def operation(example: Example) -> dict[str, Any]:
    for methods in document()["paths"].values():
        for method in methods.values():
            if method["operationId"] == example.operation:
                return dict(method)
    raise KeyError(example.operation)


@EVERY
def test_example_is_answered_as_printed(example: Example) -> None:
    response = ask(example)
    told = "run: python -m tests.contract.examples, and read the difference"
    assert (response.status_code, response.mimetype) == (example.status, example.gives), told
    assert as_zeros(body_of(response)) == example.answer, told


def digests_of(value: Any) -> Iterator[tuple[str, str]]:
    """Give each digest of rules or of a catalogue in an answer, with the code or the catalogue's name."""
    if isinstance(value, list):
        for inner in value:
            yield from digests_of(inner)
    elif isinstance(value, dict):
        if "digest" in value:
            yield value.get("code") or value["name"], value["digest"]
        for inner in value.values():
            yield from digests_of(inner)


def with_digests(example: Example) -> Example:
    """Let what is asked ask for digests too, where it is a question, a check or a box."""
    if example.operation in ("choose", "check", "fillBox"):
        return replace(example, send={**example.send, "include": ["digests"]})
    if example.operation == "batch":
        return replace(example, send=[{**one, "include": ["digests"]} for one in example.send])
    return example


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("batches-list", 4),
        ("boxes-fits", 2),
        ("catalogues-levers", 1),
        ("catalogues-list", 1),
        ("checks-all-said", 2),
        ("choices-whole", 2),
        ("choices-brief", 2),
        ("health-ready", 2),
        ("jobs-slip", 2),
        ("rules-one", 1),
        ("rules-referrals", 1),
    ],
)
def test_digests_printed_as_zeros_are_those_in_use(name: str, count: int) -> None:
    (example,) = [one for one in examples() if one.name == name]
    in_use = {code: load_rulebook(code).digest for code in CODES} | {"shop": load_catalogue("shop").digest}
    found = list(digests_of(body_of(ask(with_digests(example)))))
    assert len(found) == count
    assert [of for of, digest in found if digest != in_use[of]] == []


@EVERY
def test_answer_of_an_example_is_valid_by_its_schema(example: Example) -> None:
    if example.operation is None:
        assert faults("Problem", example.answer) == []
        return
    content = operation(example)["responses"]["200"]["content"][example.gives]
    if example.gives == NDJSON:
        lines = [orjson.loads(line) for line in example.answer.splitlines()]
        assert [fault for line in lines for fault in faults("BatchLine", line)] == []
    else:
        assert list(validator(content["schema"]).iter_errors(example.answer)) == []


@pytest.mark.parametrize("example", [one for one in examples() if one.operation and one.kind], ids=lambda one: one.name)
def test_question_of_an_example_is_valid_by_its_schema(example: Example) -> None:
    content = operation(example)["requestBody"]["content"][example.kind]
    if example.name.startswith("batches-"):
        texts = (example.text or "").splitlines()
        asked = [orjson.loads(text) for text in texts] if texts else example.send
        wrong = [at for at, one in enumerate(asked) if faults("BatchQuestion", one)]
        assert wrong == ([1] if texts else [])  # the second line shows an error
    else:
        assert list(validator(content["schema"]).iter_errors(example.send)) == []
