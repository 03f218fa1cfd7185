"""Every worked call is answered as printed, and is valid by the schemas of the document."""

from __future__ import annotations

from typing import Any

import orjson
import pytest

from splicewright.api.examples import Example, examples
from splicewright.api.openapi import document
from tests.contract.examples import ask, body_of
from tests.contract.schemas import faults, validator

NDJSON = "application/x-ndjson"
EVERY = pytest.mark.parametrize("example", examples(), ids=lambda one: one.name)


def operation(example: Example) -> dict[str, Any]:
    for methods in document()["paths"].values():
        for one in methods.values():
            if one["operationId"] == example.operation:
                return dict(one)
    raise KeyError(example.operation)


@EVERY
def test_example_is_answered_as_printed(example: Example) -> None:
    response = ask(example)
    told = "run: python -m tests.contract.examples, and read the difference"
    assert (response.status_code, response.mimetype) == (example.status, example.gives), told
    assert body_of(response) == example.answer, told


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
        return_bad = [1]  # the second question of each batch shows an error
        texts = (example.text or "").splitlines()
        asked = [orjson.loads(one) for one in texts] if texts else example.send
        wrong = [at for at, one in enumerate(asked) if faults("Question", one)]
        assert wrong == return_bad
    else:
        assert list(validator(content["schema"]).iter_errors(example.send)) == []
