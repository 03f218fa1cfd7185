"""The embedded server in a process of its own: it answers, and it stops without dropping what it has begun."""

from __future__ import annotations

import http.client
import re
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import orjson
import pytest

from splicewright import shipped

BODY = orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "explain": "brief"})
HEAD = b"POST /v1/choices HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"


@contextmanager
def serving(*options: str) -> Iterator[tuple[subprocess.Popen[str], int]]:
    start = "from splicewright.cli.main import main; main()"
    command = [sys.executable, "-u", "-c", start, "serve", "--port", "0", *options]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stderr
            found = re.search(r"http://127\.0\.0\.1:(\d+)", process.stderr.readline())
            assert found
            yield process, int(found[1])
        finally:
            process.kill()  # a test that fails must not wait for a server that goes on


@pytest.fixture
def server() -> Iterator[tuple[subprocess.Popen[str], int]]:
    with serving() as started:
        yield started


def post(port: int, body: bytes | Iterable[bytes]) -> tuple[int, bytes]:
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=20)) as connection:
        chunked = not isinstance(body, bytes)
        connection.request("POST", "/v1/choices", body, {"Content-Type": "application/json"}, encode_chunked=chunked)
        response = connection.getresponse()
        return response.status, response.read()


def test_question_is_answered_over_a_real_connection(server: tuple[subprocess.Popen[str], int]) -> None:
    status, answer = post(server[1], BODY)
    assert status == 200
    assert orjson.loads(answer)["outcome"] == "options"


def test_chunked_body_is_read_whole(server: tuple[subprocess.Popen[str], int]) -> None:
    assert post(server[1], iter([BODY[:10], BODY[10:]]))[0] == 200


def test_overlong_chunked_body_is_refused(server: tuple[subprocess.Popen[str], int]) -> None:
    assert post(server[1], iter([b'{"id": "', *([b"x" * 100_000] * 11), b'"}']))[0] == 413


def test_request_in_flight_is_finished_after_the_stop_signal(server: tuple[subprocess.Popen[str], int]) -> None:
    process, port = server
    with socket.create_connection(("127.0.0.1", port), timeout=20) as slow:
        slow.sendall(HEAD + b"Content-Length: %d\r\nConnection: close\r\n\r\n" % len(BODY) + BODY[:20])
        # A second request that is answered shows that the first half of this one has arrived.
        assert post(port, BODY)[0] == 200
        process.send_signal(signal.SIGTERM)
        slow.sendall(BODY[20:])
        assert slow.makefile("rb").readline() == b"HTTP/1.1 200 OK\r\n"
    assert process.wait(20) == 0


def test_idle_connection_does_not_hold_up_the_stop(server: tuple[subprocess.Popen[str], int]) -> None:
    process, port = server
    with socket.create_connection(("127.0.0.1", port), timeout=20):
        assert post(port, BODY)[0] == 200
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 0


def digest(port: int) -> str:
    status, answer = post(port, BODY)
    assert status == 200
    return str(orjson.loads(answer)["rulesets"]["digest"])


def test_hangup_signal_takes_changed_rules_into_use_while_requests_go_on(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    shutil.copytree(shipped.folder("rulesets"), folder)
    with serving("--rulesets", str(folder)) as (process, port):
        assert process.stderr
        before = digest(port)
        path = folder / "nfpa70" / "environment.yaml"
        path.write_text(path.read_text(encoding="utf-8").replace("says: A joint in the", "says: Here a joint in the"))
        process.send_signal(signal.SIGHUP)
        seen = {digest(port)}
        while len(seen) == 1 and process.poll() is None:
            seen.add(digest(port))
        assert before in seen
        assert "rules and catalogues reloaded" in process.stderr.readline()
        path.write_text("rules: [")
        process.send_signal(signal.SIGHUP)
        assert "not reloaded" in process.stderr.readline()
        assert digest(port) in seen - {before}


def test_rules_with_a_fault_are_refused_at_the_start(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    shutil.copytree(shipped.folder("rulesets"), folder)
    (folder / "nfpa70" / "environment.yaml").write_text("rules: [")
    start = "from splicewright.cli.main import main; main()"
    command = [sys.executable, "-c", start, "serve", "--port", "0", "--rulesets", str(folder)]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert "nfpa70/environment.yaml:" in ended.stderr
