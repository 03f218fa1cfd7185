"""POST /v1/batches: lines and lists, in order, streamed, and never spoiled by one that is bad."""

from __future__ import annotations

from typing import Any

import orjson
import pytest
from flask.testing import FlaskClient

from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from tests.api.asking import BARRED, GOOD, NDJSON, Body, in_chunks, new_client, post, problems


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def lines(body: bytes) -> list[Any]:
    assert body.endswith(b"\n")
    return [orjson.loads(line) for line in body.splitlines()]


def test_lines_are_answered_in_order_with_a_summary_last(client: FlaskClient) -> None:
    body = b"\n".join(orjson.dumps({**GOOD, "id": str(number)}) for number in range(700))
    response = post(client, "/v1/batches", body, NDJSON)
    assert response.content_type == NDJSON
    *answers, last = lines(response.data)
    assert [answer["id"] for answer in answers] == [str(number) for number in range(700)]
    assert last == {"summary": {"line_count": 700, "answer_count": 700, "error_count": 0}}


def test_bad_lines_get_error_lines_and_the_rest_go_on(client: FlaskClient) -> None:
    bad = [b"{", b"3", b'{"id":"no joint"}', b'{"id":1,"id":2}', b"[" * 100_000, b'"\xff"', b'{"id":"\\ud800"}']
    body = b"\n".join([orjson.dumps(GOOD), *bad, orjson.dumps(BARRED)])
    first, *errors, barred, last = lines(post(client, "/v1/batches", body, NDJSON).data)
    assert (first["outcome"], barred["outcome"]) == ("options", "barred")
    assert [error["line"] for error in errors] == [2, 3, 4, 5, 6, 7, 8]
    assert {error["outcome"] for error in errors} == {"error"}
    assert [error.get("id") for error in errors] == [None, None, "no joint", None, None, None, None]
    assert errors[2]["errors"] == [{"pointer": "/joint", "says": "is required", "code": "missing"}]
    assert last == {"summary": {"line_count": 9, "answer_count": 2, "error_count": 7}}


def test_answers_are_brief_unless_asked_for_whole(client: FlaskClient) -> None:
    body = orjson.dumps(GOOD)
    assert "rules" not in lines(post(client, "/v1/batches", body, NDJSON).data)[0]
    assert lines(post(client, "/v1/batches?explain=full", body, NDJSON).data)[0]["rules"]


CHECK = {**GOOD, "proposal": {"connector": "lever-2-port"}}


def test_lines_and_lists_have_what_is_included_where_they_do_not_say(client: FlaskClient) -> None:
    asked = [GOOD, {**GOOD, "include": ["meets"]}, CHECK]
    body = b"\n".join(map(orjson.dumps, asked))
    *answers, _ = lines(post(client, "/v1/batches?include=rules,confirmed", body, NDJSON).data)
    assert ["rules" in answer for answer in answers] == [True, False, True]
    assert ["meets" in answer["options"][0] for answer in answers] == [False, True, False]
    assert ["confirmed" in answer for answer in answers] == [False, False, True]
    assert post(client, "/v1/batches?include=rules,confirmed", orjson.dumps(asked)).json == answers


def test_name_of_what_to_include_that_is_none_is_refused_before_any_line(client: FlaskClient) -> None:
    response = post(client, "/v1/batches?include=rules,prooves", orjson.dumps(GOOD), NDJSON)
    assert response.status_code == 422
    (error,) = response.get_json()["errors"]
    assert (error["says"].partition(":")[0], error["nearest"]) == ("?include/1", "proofs")


def test_line_is_the_answer_that_the_question_gets_alone(client: FlaskClient) -> None:
    alone = post(client, "/v1/choices?explain=brief", BARRED).data
    assert post(client, "/v1/batches", orjson.dumps(BARRED), NDJSON).data.splitlines()[0] == alone


def test_no_line_gives_a_summary_of_none(client: FlaskClient) -> None:
    summary = [{"summary": {"line_count": 0, "answer_count": 0, "error_count": 0}}]
    assert lines(post(client, "/v1/batches", b"", NDJSON).data) == summary


CHECK = {**GOOD, "proposal": {"connector": "lever-2-port", "tugged": True}}


@pytest.mark.parametrize("explain", ["brief", "full"])
def test_line_or_item_with_a_proposal_is_a_check(client: FlaskClient, explain: str) -> None:
    alone = [post(client, f"{path}?explain={explain}", one).get_json() for path, one in
             (("/v1/choices", GOOD), ("/v1/checks", CHECK))]  # fmt: skip
    escaped = orjson.dumps(CHECK).replace(b"proposal", b"\\u0070roposal")
    body = b"\n".join([orjson.dumps(GOOD), orjson.dumps(CHECK), escaped, orjson.dumps({**GOOD, "proposal": None})])
    *answers, last = lines(post(client, f"/v1/batches?explain={explain}", body, NDJSON).data)
    assert answers == [alone[0], alone[1], alone[1], alone[0]]
    assert last["summary"]["answer_count"] == 4
    assert post(client, f"/v1/batches?explain={explain}", [GOOD, CHECK]).get_json() == alone


def test_bad_proposal_is_an_error_of_its_line(client: FlaskClient) -> None:
    bad = {**CHECK, "proposal": {"connector": "lever-2-prt"}}
    first, second, _ = lines(post(client, "/v1/batches", orjson.dumps(bad) + b"\n" + orjson.dumps(CHECK), NDJSON).data)
    assert [error["pointer"] for error in first["errors"]] == ["/proposal/connector"]
    assert second["verdict"]


def test_list_gives_a_list_with_errors_in_their_places(client: FlaskClient) -> None:
    response = post(client, "/v1/batches", [GOOD, 3, {"id": "y"}, BARRED])
    assert response.content_type == "application/json"
    good, number, empty, barred = response.get_json()
    assert (good["outcome"], barred["outcome"]) == ("options", "barred")
    says = [error["says"] for one in (number, empty) for error in one["errors"]]
    assert number == {
        "outcome": "error",
        "pointer": "/1",
        "errors": [{"pointer": "/1", "says": says[0], "code": "wrong-type"}],
    }
    assert empty == {
        "outcome": "error",
        "id": "y",
        "pointer": "/2",
        "errors": [{"pointer": "/2/joint", "says": says[1], "code": "missing"}],
    }


def test_empty_list_gives_an_empty_list(client: FlaskClient) -> None:
    assert post(client, "/v1/batches", []).get_json() == []


def test_what_is_no_list_is_refused(client: FlaskClient) -> None:
    assert problems(post(client, "/v1/batches", GOOD), 422) == {"": "a batch is a list of questions and checks"}


def test_batch_of_another_type_is_refused_by_name(client: FlaskClient) -> None:
    told = problems(post(client, "/v1/batches", b"x", "text/csv"), 415)
    assert NDJSON in told[""]


def test_batch_that_is_said_to_be_too_long_is_refused_at_once() -> None:
    client = new_client(max_batch=100)
    assert "100 bytes" in problems(post(client, "/v1/batches", b"x" * 101, NDJSON), 413)[""]


def test_chunked_batch_that_grows_too_long_ends_in_a_problem_line() -> None:
    body = Body((orjson.dumps(GOOD) + b"\n") * 2_000)
    app = create_app(settings=Settings(max_batch=50_000))
    with in_chunks(app, "/v1/batches", body, NDJSON) as (status, parts):
        *answers, last = lines(b"".join(parts))
    assert status == ["200 OK"]
    assert last["problem"]["status"] == 413
    assert answers
    assert all(answer["outcome"] == "options" for answer in answers)
    assert body.taken < 120_000


def test_batch_whose_last_line_uses_up_the_work_is_whole() -> None:
    line = orjson.dumps(BARRED) + b"\n"
    client = new_client(max_batch=200)
    barred, last = lines(post(client, "/v1/batches", line, NDJSON).data)
    assert barred["outcome"] == "barred"
    assert last == {"summary": {"line_count": 1, "answer_count": 1, "error_count": 0}}
    barred, last = lines(post(client, "/v1/batches", line + b"{}\n", NDJSON).data)
    assert barred["outcome"] == "barred"
    assert last["problem"]["detail"].startswith("line 2 has used up the work")


def test_answers_come_while_questions_are_still_sent() -> None:
    body = Body((orjson.dumps(GOOD) + b"\n") * 5_000)
    with in_chunks(create_app(), "/v1/batches", body, NDJSON) as (_, parts):
        first = next(parts)
        assert body.taken < 100_000
        assert first.count(b"\n") + sum(part.count(b"\n") for part in parts) == 5_001
