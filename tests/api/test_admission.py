"""How much of a body is read at all: as much as its address takes."""

from __future__ import annotations

import pytest

from splicewright.api.admission import Admission
from tests.api.asking import NDJSON, new_client, post, problems

MOST = {"/v1/jobs": 300, "/v1/batches": 200, "/v1/choices": 100, "/v1/checks": 100}


@pytest.mark.parametrize(("path", "most"), MOST.items())
def test_as_much_is_read_as_the_call_takes(path: str, most: int) -> None:
    client = new_client(max_job=300, max_batch=200, max_body=100)
    assert Admission(client.application).most_bytes("POST", path, "") == most
    kind = NDJSON if path == "/v1/batches" else "application/json"
    told = problems(post(client, path, b" " * (most + 1), kind), 413)
    assert told == {"": f"the body is longer than {most} bytes"}
    assert post(client, path, b" " * most, kind).status_code != 413


def test_list_of_questions_is_as_long_as_one_question_may_be() -> None:
    told = problems(post(new_client(max_batch=200, max_body=100), "/v1/batches", b" " * 101), 413)
    assert told == {"": "the body is longer than 100 bytes"}


@pytest.mark.parametrize(("method", "path"), [("GET", "/v1/jobs"), ("POST", "/v1/nothing")])
def test_nothing_is_read_where_no_call_takes_a_body(method: str, path: str) -> None:
    assert Admission(new_client().application).most_bytes(method, path, "") == 0
