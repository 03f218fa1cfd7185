"""The embedded server in a process of its own: it answers, and it stops without dropping what it has begun."""

from __future__ import annotations

import functools
import http.client
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing
from pathlib import Path

import orjson
import pytest

from tests.api.serving import BODY, HEAD, QUESTION, START, Server, ask, choose, digest, serving, workers
from tests.api.small import change, small_rulesets, spoil
from tests.contract.schemas import faults

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with serving() as started:
        yield started


@pytest.fixture
def ending() -> Iterator[Server]:
    """Run a server for a test that ends it."""
    with serving() as started:
        yield started


def test_question_is_answered_over_a_real_connection(server: Server) -> None:
    answer = choose(server.port)
    assert answer.status == 200
    assert answer.json()["outcome"] == "options"


def test_chunked_body_is_read_whole(server: Server) -> None:
    assert choose(server.port, iter([BODY[:10], BODY[10:]])).status == 200


def test_overlong_chunked_body_is_refused(server: Server) -> None:
    assert choose(server.port, iter([b'{"id": "', *([b"x" * 100_000] * 11), b'"}'])).status == 413


@pytest.mark.parametrize("start", [serving, functools.partial(workers, SPLICEWRIGHT_WORKERS="1")])
def test_questions_that_come_together_are_each_answered_in_turn(
    start: Callable[..., AbstractContextManager[Server]],
) -> None:
    names = ["one", "two", "three"]
    bodies = [orjson.dumps({**QUESTION, "id": name}) for name in names]
    sent = b"".join(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body for body in bodies)
    with start() as server, socket.create_connection(("127.0.0.1", server.port), timeout=20) as client:
        client.sendall(sent + b"GET /health/live HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        answers = client.makefile("rb").read().split(b"HTTP/1.1 ")[1:]
    assert [answer[:3] for answer in answers] == [b"200"] * 4
    asked = [orjson.loads(answer.partition(b"\r\n\r\n")[2]) for answer in answers[:3]]
    assert [(answer["id"], answer["outcome"]) for answer in asked] == [(name, "options") for name in names]


@pytest.mark.parametrize(
    ("sent", "line"),
    [
        pytest.param(b"GET / HTTP/1.1\r\nContent-Length: x\r\n\r\n", "400 Bad Request", id="length"),
        pytest.param(b"GET / HTTP/1.1\r\nX: " + b"x" * 262_144, "431 Request Header Fields Too Large", id="headers"),
        pytest.param(HEAD + b"Transfer-Encoding: gzip\r\n\r\n", "501 Not Implemented", id="coding"),
    ],
)
def test_what_is_no_call_gets_a_problem_document_with_the_headers_of_every_answer(
    server: Server, sent: bytes, line: str
) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=20) as client:
        client.sendall(sent)
        head, _, body = client.makefile("rb").read().partition(b"\r\n\r\n")
    status, *headers = head.decode().split("\r\n")
    assert status.partition(" ")[2] == line
    assert "Content-Type: application/problem+json" in headers
    assert "Cache-Control: no-store" in headers
    (name,) = [header.removeprefix("X-Request-Id: ") for header in headers if header.startswith("X-Request-Id: ")]
    assert faults("Problem", orjson.loads(body)) == []
    server.logged(f"no call, answered by {line[:3]}: {name}")


def test_answer_that_a_client_has_already_keeps_the_connection(server: Server) -> None:
    with closing(http.client.HTTPConnection("127.0.0.1", server.port, timeout=20)) as connection:
        kept = []
        for _ in range(2):
            connection.request("GET", "/v1/vocabulary?list=exposure", headers={"If-None-Match": "*"})
            response = connection.getresponse()
            assert (response.status, response.read()) == (304, b"")
            assert "Connection" not in response.headers
            kept.append(connection.sock)
        assert kept[0] is kept[1] is not None


def test_answer_that_a_client_has_already_ends_the_connection_where_it_asks_for_that(server: Server) -> None:
    answer = ask(server.port, "GET", "/v1/vocabulary?list=exposure", If_None_Match="*", Connection="close")
    assert (answer.status, answer.headers["Connection"]) == (304, "close")


def test_request_in_flight_is_finished_after_the_stop_signal(ending: Server) -> None:
    with socket.create_connection(("127.0.0.1", ending.port), timeout=20) as slow:
        slow.sendall(HEAD + b"Content-Length: %d\r\nConnection: close\r\n\r\n" % len(BODY) + BODY[:20])
        # A second request that is answered shows that the first half of this one has arrived.
        assert choose(ending.port).status == 200
        ending.process.send_signal(signal.SIGTERM)
        slow.sendall(BODY[20:])
        assert slow.makefile("rb").readline() == b"HTTP/1.1 200 OK\r\n"
    assert ending.process.wait(20) == 0


def test_idle_connection_does_not_hold_up_the_stop(ending: Server) -> None:
    with socket.create_connection(("127.0.0.1", ending.port), timeout=20):
        assert choose(ending.port).status == 200
        assert ending.stop(signal.SIGINT) == 0


def test_hangup_signal_takes_changed_rules_into_use_while_requests_go_on(tmp_path: Path) -> None:
    folder = small_rulesets(tmp_path / "rulesets")
    with serving("--rulesets", str(folder)) as server:
        before = digest(server.port)
        change(folder)
        server.process.send_signal(signal.SIGHUP)
        seen = {digest(server.port)}
        while len(seen) == 1 and server.process.poll() is None:
            seen.add(digest(server.port))
        assert before in seen
        server.logged("rules and catalogues reloaded")
        spoil(folder)
        server.process.send_signal(signal.SIGHUP)
        server.logged("not reloaded, what is in use stays: .*environment.yaml:")
        assert digest(server.port) in seen - {before}


def test_rules_with_a_fault_are_refused_at_the_start(tmp_path: Path) -> None:
    folder = small_rulesets(tmp_path / "rulesets")
    spoil(folder)
    command = [sys.executable, "-c", START, "serve", "--port", "0", "--rulesets", str(folder)]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert "nfpa70/environment.yaml:" in ended.stderr


def test_key_may_be_asked_for_everywhere_and_admin_may_reload(tmp_path: Path) -> None:
    command = [sys.executable, "-c", START, "key", "boss", "--scope", "admin"]
    made = subprocess.run(command, capture_output=True, text=True, check=True)
    keys = tmp_path / "keys.yaml"
    keys.write_text("keys:\n" + made.stdout)
    with serving("--keys", str(keys), "--rulesets", str(small_rulesets(tmp_path / "rulesets"))) as server:
        assert choose(server.port).status == 401
        answer = ask(server.port, "POST", "/v1/reload", b"", Authorization=f"Bearer {made.stderr.strip()}")
        assert answer.status == 200
        assert answer.json()["status"] == "reloaded"
        assert not any(made.stderr.strip() in line for line in server.lines)
