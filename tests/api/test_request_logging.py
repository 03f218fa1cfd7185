"""Every request has an id, a line in the log, and is counted."""

from __future__ import annotations

import hashlib
import logging
from pathlib import Path
from typing import Any, cast

import pytest
from flask import Flask
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families
from werkzeug.test import TestResponse

from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.api.keys import Keys
from splicewright.api.settings import Settings

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
BARRED = {**QUESTION, "place": {"reach": "concealed"}}
CHOICES = {"method": "POST", "path": "/v1/choices", "status": "200"}


class Client(FlaskClient):
    """Reads every answer to its end, as servers do."""

    def open(self, *args: Any, **kwargs: Any) -> TestResponse:
        return super().open(*args, **{"buffered": True, **kwargs})


def client_of(app: Flask) -> Client:
    app.test_client_class = Client
    return cast("Client", app.test_client())


@pytest.fixture
def client() -> Client:
    return client_of(create_app(Chooser()))


def figure(client: Client, figure_name: str, /, **labels: str) -> float:
    families = text_string_to_metric_families(client.get("/metrics").text)
    return sum(
        sample.value
        for family in families
        for sample in family.samples
        if sample.name == figure_name and labels.items() <= sample.labels.items()
    )


def requests(caplog: pytest.LogCaptureFixture) -> list[dict[str, object]]:
    return [record.request for record in caplog.records if hasattr(record, "request")]


def test_sane_id_of_the_caller_is_given_back(client: Client) -> None:
    assert client.get("/health/live", headers={"X-Request-Id": "job-7.a_b"}).headers["X-Request-Id"] == "job-7.a_b"


@pytest.mark.parametrize("given", ["", "a b", "x" * 65, "a\tb", 'a"b', "é"])
def test_other_id_is_replaced(client: Client, given: str) -> None:
    found = client.get("/health/live", headers={"X-Request-Id": given}).headers["X-Request-Id"]
    assert len(found) == 16
    assert found != given


def test_errors_have_an_id_too(client: Client) -> None:
    assert client.get("/v1/nothing").headers["X-Request-Id"]


def test_request_is_logged_by_its_route_and_without_secrets(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    path = tmp_path / "keys.yaml"
    path.write_text(f"keys:\n  - {{name: app, sha256: {hashlib.sha256(b'secret-key').hexdigest()}, scopes: [ask]}}\n")
    client = client_of(create_app(asked=Keys(path)))
    with caplog.at_level(logging.INFO):
        client.get("/v1/rules/environment/buried-is-wet?x=secret-query", headers={"Authorization": "Bearer secret-key"})
        client.post("/v1/choices", json={"id": "secret-body"}, headers={"Authorization": "Bearer secret-wrong"})
    first, second = requests(caplog)
    assert first["path"] == "/v1/rules/<ruleset>/<rule>"
    assert (first["status"], first["key"]) == (422, "app")
    assert (second["status"], second["key"]) == (401, None)
    assert "secret" not in caplog.text + str([first, second])


def test_addresses_that_are_none_of_ours_are_logged_as_one(client: Client, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO):
        client.get("/v1/nothing%0aforged")
        client.open("/v1/rules", method="BREW")
    assert [request["path"] for request in requests(caplog)] == ["none", "none"]
    assert [request["method"] for request in requests(caplog)] == ["GET", "other"]


def test_length_that_was_sent_is_logged(client: Client, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO):
        one = client.post("/v1/choices", json=QUESTION)
        lines = client.post("/v1/batches", data=b"{}\n{}\n", content_type="application/x-ndjson")
        zipped = client.post("/v1/choices", json=QUESTION, headers={"Accept-Encoding": "gzip"})
    assert [found["bytes"] for found in requests(caplog)] == [len(one.data), len(lines.data), len(zipped.data)]


def test_lines_may_be_turned_off(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO):
        client_of(create_app(settings=Settings(log_requests=False))).get("/health/live")
    assert not requests(caplog)


def test_requests_and_their_times_are_counted_by_route(client: Client) -> None:
    for _ in range(3):
        client.post("/v1/choices", json=QUESTION)
    client.post("/v1/choices", data=b"{", content_type="application/json")
    assert figure(client, "splicewright_requests_total", **CHOICES) == 3
    assert figure(client, "splicewright_requests_total", path="/v1/choices", status="400") == 1
    assert figure(client, "splicewright_request_seconds_count", path="/v1/choices") == 4


def test_answers_are_counted_by_outcome_alone_in_lists_in_lines_and_compressed(client: Client) -> None:
    client.post("/v1/choices", json=QUESTION)
    client.post("/v1/choices", json=BARRED, headers={"Accept-Encoding": "gzip"})
    client.post("/v1/batches", json=[QUESTION, BARRED])
    line = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}\n'
    client.post("/v1/batches", data=line * 3, content_type="application/x-ndjson")
    assert figure(client, "splicewright_answers_total", outcome="options") == 5
    assert figure(client, "splicewright_answers_total", outcome="barred") == 2


def test_text_of_a_caller_is_not_taken_for_an_outcome(client: Client) -> None:
    forged = '"answer":"sha256:' + "0" * 64 + '","outcome":"options"'
    client.post("/v1/choices", json={**BARRED, "id": forged[:100]})
    assert figure(client, "splicewright_answers_total", outcome="options") == 0


def test_hits_and_misses_of_the_cache_are_counted_over_a_change_of_rules() -> None:
    chooser = Chooser()
    client = client_of(create_app(chooser))
    for _ in range(3):
        client.post("/v1/choices", json=QUESTION)
    chooser.use(chooser.holding)  # with an empty cache
    client.post("/v1/choices", json=QUESTION)
    assert figure(client, "splicewright_cache_lookups_total", result="hit") == 2
    assert figure(client, "splicewright_cache_lookups_total", result="miss") == 2


def test_rules_and_catalogue_in_use_are_told(client: Client) -> None:
    answer = client.post("/v1/choices", json=QUESTION).json
    digest = answer["rulesets"]["digest"]
    assert figure(client, "splicewright_rules_info", code="nfpa70-2023", digest=digest) == 1
    assert figure(client, "splicewright_catalogue_info", name="shop", digest=answer["catalogue"]["digest"]) == 1


def test_nothing_is_under_way_but_the_request_that_asks(client: Client) -> None:
    client.post("/v1/choices", json=QUESTION)
    client.get("/v1/nothing")
    assert figure(client, "splicewright_requests_in_flight") == 1


def test_memory_is_told(client: Client) -> None:
    told = figure(client, "splicewright_process_resident_memory_bytes")
    assert 20_000_000 < told < 10_000_000_000
    assert abs(told - figure(client, "process_resident_memory_bytes")) < 0.5 * told
