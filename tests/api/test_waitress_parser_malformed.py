"""Requests that two servers could read as two: closed with a 4xx, alone or under a master; no key in a log."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from splicewright.api.waitress_channel import LINGER_S
from tests.api.serving import BODY, Server, choose, serving, workers

pytestmark = pytest.mark.slow
SECRET = b"splicewright_secret-that-no-log-may-hold"
LINE, HOST, KIND = b"POST /v1/choices HTTP/1.1\r\n", b"Host: x\r\n", b"Content-Type: application/json\r\n"
LENGTH, CHUNKED = b"Content-Length: %d\r\n" % len(BODY), b"Transfer-Encoding: chunked\r\n"
CHUNK, LAST, END = b"%x\r\n%b\r\n" % (len(BODY), BODY), b"0\r\n\r\n", b"\r\n"
IN_CHUNKS = LINE + HOST + KIND + CHUNKED + END


@pytest.fixture(scope="module", params=["embedded", "gunicorn"])
def server(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    if request.param == "embedded":
        with serving() as started:
            yield started
    else:
        with workers(SPLICEWRIGHT_WORKERS="1", TMPDIR=str(tmp_path_factory.mktemp("files"))) as started:
            yield started


def sent(server: Server, data: bytes) -> bytes:
    """Give all that comes back until the server closes. Raises `TimeoutError` where it keeps the connection."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=8) as client:
        found = b""
        try:
            client.sendall(data)
            while block := client.recv(65_536):
                found += block
        except (ConnectionResetError, BrokenPipeError):
            pass
        return found


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(LINE + HOST + KIND + LENGTH + CHUNKED + END + CHUNK + LAST, id="length-and-chunks"),
        pytest.param(LINE + HOST + KIND + LENGTH * 2 + END + BODY, id="two-lengths"),
        pytest.param(LINE + KIND + LENGTH + END + BODY, id="no-host"),
        pytest.param(LINE + HOST + b"Host: y\r\n" + KIND + LENGTH + END + BODY, id="two-hosts"),
        pytest.param(LINE + HOST * 2 + KIND + LENGTH + END + BODY, id="the-same-host-twice"),
        pytest.param(LINE + b"Host: a b\r\n" + KIND + LENGTH + END + BODY, id="bad-host"),
        pytest.param(b"GET //v1/vocabulary HTTP/1.1\r\n" + HOST + END, id="two-slashes"),
        pytest.param(b"GET /v1/vocabulary HTTP/2.0\r\n" + HOST + END, id="other-version"),
        pytest.param(b"GET /v1/vocabulary\r\n" + HOST + END, id="no-version"),
        pytest.param(LINE + HOST + KIND + CHUNKED * 2 + END + CHUNK + LAST, id="chunked-twice"),
        pytest.param(IN_CHUNKS + b"zz\r\n" + BODY + END + LAST, id="size-is-no-number"),
        pytest.param(IN_CHUNKS + b"-1\r\n" + BODY + END + LAST, id="size-below-zero"),
        pytest.param(IN_CHUNKS + b"%x\r\n%bXX" % (len(BODY), BODY) + LAST, id="longer-than-its-size"),
        pytest.param(IN_CHUNKS + END * 2 + CHUNK + LAST, id="no-size"),
        pytest.param(IN_CHUNKS + b"%x;\x01=\r\n%b\r\n" % (len(BODY), BODY) + LAST, id="bad-extension"),
        pytest.param(IN_CHUNKS + b"1" * 20_000, id="size-without-end"),
        pytest.param(IN_CHUNKS + b"1\r\n \r\n" * 200_000 + CHUNK + LAST, id="one-byte-chunks"),
        pytest.param(LINE + HOST + b" continued\r\n" + KIND + LENGTH + END + BODY, id="continued-header"),
    ],
)
def test_malformed_request_is_refused_and_closed(server: Server, data: bytes) -> None:
    answer = sent(server, data)
    assert answer.startswith((b"HTTP/1.1 4", b"HTTP/1.0 4"))
    assert answer.count(b"\r\n\r\n") == 1
    assert choose(server.port).status == 200


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\r\nAuthorization Bearer %b\r\n\r\n" % SECRET, id="no-colon"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\r\nAuthorization : Bearer %b\r\n\r\n" % SECRET, id="blank"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\nAuthorization: Bearer %b\r\n\r\n" % SECRET, id="bare-line-feed"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer %b\0\r\n\r\n" % SECRET, id="nul"),
        pytest.param(b"GET / HTTP/1.1\r\n Authorization: Bearer %b\r\n\r\n" % SECRET, id="continued"),
        pytest.param(b"%b / HTTP/1.1\r\nHost: x\r\n\r\n" % SECRET, id="as-method"),
        pytest.param(b"GET /?%b x HTTP/1.1\r\nHost: x\r\n\r\n" % SECRET, id="in-the-address"),
        pytest.param(IN_CHUNKS + b"%b\r\n" % SECRET, id="as-size"),
        pytest.param(IN_CHUNKS + CHUNK + b"0\r\n%b\r\n\r\n" % SECRET, id="as-trailer"),
    ],
)
def test_what_was_sent_stands_neither_in_a_log_nor_in_the_answer(server: Server, data: bytes) -> None:
    answer = sent(server, data)
    assert answer.startswith((b"HTTP/1.1 4", b"HTTP/1.0 4"))
    assert SECRET not in answer
    assert choose(server.port).status == 200  # by then the log has told of it
    assert server.count(SECRET.decode()) == 0


def test_well_formed_chunks_are_taken(server: Server) -> None:
    parts = [BODY[at : at + 7] for at in range(0, len(BODY), 7)]
    assert choose(server.port, parts).status == 200
    assert choose(server.port, [BODY[at : at + 1] for at in range(len(BODY))]).status == 200
    extended = IN_CHUNKS + b'%x;a="b"\r\n%b\r\n' % (len(BODY), BODY) + b"0\r\nX-Sum: 1\r\n\r\n"
    closing = extended.replace(HOST, HOST + b"Connection: close\r\n", 1)
    assert sent(server, closing).startswith(b"HTTP/1.1 200")


def test_client_that_sends_on_and_reads_late_is_told_why_it_is_refused(server: Server) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=8) as client:
        client.sendall(LINE + HOST + KIND + b"Content-Length: 30000000\r\n\r\n")
        for _ in range(300):
            client.sendall(b" " * 100_000)
        assert client.recv(100).startswith(b"HTTP/1.1 413")


def test_client_that_is_refused_and_never_stops_is_not_listened_to_for_long(server: Server) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=8) as client:
        client.sendall(LINE + HOST + KIND + b"Content-Length: 30000000\r\n\r\n")
        began = time.monotonic()
        with suppress(OSError):
            while time.monotonic() - began < LINGER_S + 8:
                client.sendall(b" " * 100)
                time.sleep(0.1)
        assert time.monotonic() - began < LINGER_S + 4


def test_body_of_a_call_without_a_key_is_not_read(tmp_path: Path) -> None:
    keys = tmp_path / "keys.yaml"
    keys.write_text(f"keys:\n  - {{name: a, sha256: {'0' * 64}, scopes: [ask]}}\n")
    with serving("--keys", str(keys)) as server:
        head = b"POST /v1/batches HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-ndjson\r\n"
        assert sent(server, head + b"Content-Length: 90000000\r\n\r\n").startswith(b"HTTP/1.1 401")
        assert sent(server, head + CHUNKED + END).startswith(b"HTTP/1.1 401")


def test_body_that_no_call_takes_is_not_read(server: Server) -> None:
    head = LINE + HOST + KIND
    assert sent(server, head + b"Content-Length: 1000001\r\n\r\n").startswith(b"HTTP/1.1 413")
    assert sent(server, head.replace(b"choices", b"nothing") + CHUNKED + END).startswith(b"HTTP/1.1 404")
