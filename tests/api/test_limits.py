"""How much a caller may ask for."""

from __future__ import annotations

import hashlib
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest

from splicewright.api.app import create_app
from splicewright.api.keys import Keys
from splicewright.api.limits import asks_for_extra
from splicewright.api.settings import Settings
from splicewright.api.under_way import LONG_BODY
from splicewright.faults import Faults

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
FROM_ONE, FROM_OTHER = {"REMOTE_ADDR": "192.0.2.1"}, {"REMOTE_ADDR": "192.0.2.2"}


def test_call_beyond_the_rate_is_told_how_long_to_wait() -> None:
    client = create_app(settings=Settings(rate="3/minute")).test_client()
    for path in ("/v1/vocabulary", "/v1/rules", "/v1/vocabulary"):
        assert client.get(path).status_code == 200
    answer = client.get("/v1/rules")
    assert answer.status_code == 429
    assert answer.content_type == "application/problem+json"
    assert 1 <= int(answer.headers["Retry-After"]) <= 61
    assert "more calls than 3 per 1 minute" in answer.json["detail"]


@pytest.mark.parametrize("set_by", [-86_400, 86_400])
def test_clock_that_is_set_neither_keeps_callers_out_nor_lets_them_in(set_by: float) -> None:
    client = create_app(settings=Settings(rate="1/minute")).test_client()
    assert client.get("/v1/rules").status_code == 200
    with patch("time.time", return_value=time.time() + set_by):
        answer = client.get("/v1/rules")
    assert answer.status_code == 429
    assert 1 <= int(answer.headers["Retry-After"]) <= 61


def test_calls_are_counted_for_each_address_by_itself() -> None:
    client = create_app(settings=Settings(rate="1/minute")).test_client()
    assert client.get("/v1/vocabulary", environ_base=FROM_ONE).status_code == 200
    assert client.get("/v1/vocabulary", environ_base=FROM_OTHER).status_code == 200
    assert client.get("/v1/vocabulary", environ_base=FROM_ONE).status_code == 429


def test_calls_are_counted_for_each_key_wherever_it_calls_from(tmp_path: Path) -> None:
    path = tmp_path / "keys.yaml"
    digests = {name: hashlib.sha256(name.encode()).hexdigest() for name in ("one", "other")}
    path.write_text("keys:\n" + "".join(f"  - {{name: {n}, sha256: {d}, scopes: [ask]}}\n" for n, d in digests.items()))
    client = create_app(settings=Settings(rate="1/minute"), asked=Keys(path)).test_client()

    def status(key: str, place: dict[str, str]) -> int:
        return client.get("/v1/vocabulary", headers={"Authorization": f"Bearer {key}"}, environ_base=place).status_code

    assert status("one", FROM_ONE) == 200
    assert status("other", FROM_ONE) == 200
    assert status("one", FROM_OTHER) == 429


def test_calls_with_wrong_keys_are_counted_too(tmp_path: Path) -> None:
    path = tmp_path / "keys.yaml"
    path.write_text(f"keys:\n  - {{name: a, sha256: {'0' * 64}, scopes: [ask]}}\n")
    client = create_app(settings=Settings(rate="2/minute"), asked=Keys(path)).test_client()
    headers = {"Authorization": "Bearer guess"}
    assert [client.get("/v1/rules", headers=headers).status_code for _ in range(3)] == [401, 401, 429]


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/nothing", 404),
        ("PUT", "/v1/choices", 405),
        ("POST", "/v1/choices", 415),
        ("OPTIONS", "/v1/rules", 200),
    ],
)
def test_every_call_is_counted_right_or_wrong_or_without_a_route(method: str, path: str, status: int) -> None:
    client = create_app(settings=Settings(rate="2/minute")).test_client()
    assert [client.open(path, method=method).status_code for _ in range(3)] == [status, status, 429]
    assert client.get("/v1/rules").status_code == 429


def test_address_told_by_a_proxy_counts_only_where_there_is_one() -> None:
    def statuses(proxies: int) -> list[int]:
        client = create_app(settings=Settings(rate="1/minute", proxies=proxies)).test_client()
        told = ({"X-Forwarded-For": f"192.0.2.{number}"} for number in (1, 2))
        return [client.get("/v1/vocabulary", headers=headers).status_code for headers in told]

    assert statuses(0) == [200, 429]
    assert statuses(1) == [200, 200]


def test_health_may_be_asked_at_any_rate() -> None:
    client = create_app(settings=Settings(rate="1/minute")).test_client()
    assert {client.get("/health/live").status_code for _ in range(5)} == {200}


def test_without_a_rate_calls_are_not_counted() -> None:
    client = create_app().test_client()
    assert {client.get("/v1/vocabulary").status_code for _ in range(50)} == {200}


def test_rate_that_is_none_is_refused() -> None:
    with pytest.raises(Faults, match="'often' is no rate; write `600/minute`"):
        create_app(settings=Settings(rate="often"))


def test_storage_that_is_none_is_refused() -> None:
    with pytest.raises(Faults, match="rate_storage"):
        create_app(settings=Settings(rate="1/minute", rate_storage="cupboard://"))


def test_missing_extra_is_named() -> None:
    with patch("splicewright.api.limits.importlib.util.find_spec", return_value=None):
        assert "pip install 'splicewright[web]'" in (asks_for_extra(Settings(rate="1/minute")) or "")
        assert asks_for_extra(Settings()) is None


class _Open:
    """A body that ends only when it is told to."""

    def __init__(self) -> None:
        self.end, self.begun = threading.Event(), threading.Event()

    def read(self, _size: int = -1, /) -> bytes:
        self.begun.set()
        self.end.wait(20)
        return b""


@pytest.fixture
def body() -> Iterator[_Open]:
    found = _Open()
    yield found
    found.end.set()


def test_long_calls_leave_a_thread_to_short_ones_and_give_their_places_back(body: _Open) -> None:
    app = create_app(settings=Settings(threads=2))

    def batch() -> int:
        lines = {"data": b"{}\n", "content_type": "application/x-ndjson", "buffered": True}
        return app.test_client().post("/v1/batches", **lines).status_code

    environ = {"wsgi.input": body, "wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"}
    kind = {"content_type": "application/x-ndjson", "environ_overrides": environ, "buffered": True}
    first = threading.Thread(target=lambda: app.test_client().post("/v1/batches", **kind))
    first.start()
    assert body.begun.wait(20)
    refused = app.test_client().post("/v1/batches", data=b"{}\n" * LONG_BODY, content_type="application/x-ndjson")
    assert refused.status_code == 503
    assert refused.headers["Retry-After"] == "5"
    assert app.test_client().post("/v1/choices", json=QUESTION).status_code == 200
    assert batch() == 200  # a short one, whatever its address
    body.end.set()
    first.join()
    assert [batch() for _ in range(3)] == [200, 200, 200]


def test_long_call_that_is_refused_gives_its_place_back() -> None:
    client = create_app(settings=Settings(threads=1)).test_client()
    wrong = {"data": b"x", "content_type": "text/plain", "buffered": True}
    statuses = {client.post("/v1/batches", **wrong).status_code for _ in range(3)}
    assert statuses == {415}


@pytest.mark.parametrize("rate", ["0/minute", "20/second;0/hour"])
def test_rate_that_lets_nobody_call_is_none(rate: str) -> None:
    with pytest.raises(Faults, match="is no rate"):
        create_app(settings=Settings(rate=rate))
