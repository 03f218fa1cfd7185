"""The embedded server in a process of its own: it answers, and it stops without dropping what it has begun."""

from __future__ import annotations

import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from splicewright import shipped
from tests.api.serving import BODY, HEAD, START, Server, ask, choose, digest, serving


@pytest.fixture
def server() -> Iterator[Server]:
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


def test_what_is_no_http_gets_a_problem_document(server: Server) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=20) as client:
        client.sendall(b"GET / HTTP/1.1\r\nContent-Length: x\r\n\r\n")
        answer = client.makefile("rb").read()
    assert answer.startswith(b"HTTP/1.1 400 Bad Request\r\n")
    assert b"application/problem+json" in answer


def test_request_in_flight_is_finished_after_the_stop_signal(server: Server) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=20) as slow:
        slow.sendall(HEAD + b"Content-Length: %d\r\nConnection: close\r\n\r\n" % len(BODY) + BODY[:20])
        # A second request that is answered shows that the first half of this one has arrived.
        assert choose(server.port).status == 200
        server.process.send_signal(signal.SIGTERM)
        slow.sendall(BODY[20:])
        assert slow.makefile("rb").readline() == b"HTTP/1.1 200 OK\r\n"
    assert server.process.wait(20) == 0


def test_idle_connection_does_not_hold_up_the_stop(server: Server) -> None:
    with socket.create_connection(("127.0.0.1", server.port), timeout=20):
        assert choose(server.port).status == 200
        assert server.stop(signal.SIGINT) == 0


def test_hangup_signal_takes_changed_rules_into_use_while_requests_go_on(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    shutil.copytree(shipped.folder("rulesets"), folder)
    with serving("--rulesets", str(folder)) as server:
        before = digest(server.port)
        path = folder / "nfpa70" / "environment.yaml"
        path.write_text(path.read_text(encoding="utf-8").replace("says: A joint in the", "says: Here a joint in the"))
        server.process.send_signal(signal.SIGHUP)
        seen = {digest(server.port)}
        while len(seen) == 1 and server.process.poll() is None:
            seen.add(digest(server.port))
        assert before in seen
        server.logged("rules and catalogues reloaded")
        path.write_text("rules: [")
        server.process.send_signal(signal.SIGHUP)
        server.logged("not reloaded, what is in use stays: .*environment.yaml:")
        assert digest(server.port) in seen - {before}


def test_rules_with_a_fault_are_refused_at_the_start(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    shutil.copytree(shipped.folder("rulesets"), folder)
    (folder / "nfpa70" / "environment.yaml").write_text("rules: [")
    command = [sys.executable, "-c", START, "serve", "--port", "0", "--rulesets", str(folder)]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert "nfpa70/environment.yaml:" in ended.stderr


def test_key_may_be_asked_for_everywhere_and_admin_may_reload(tmp_path: Path) -> None:
    command = [sys.executable, "-c", START, "key", "boss", "--scope", "admin"]
    made = subprocess.run(command, capture_output=True, text=True, check=True)
    keys = tmp_path / "keys.yaml"
    keys.write_text("keys:\n" + made.stdout)
    with serving("--keys", str(keys)) as server:
        assert choose(server.port).status == 401
        answer = ask(server.port, "POST", "/v1/reload", b"", Authorization=f"Bearer {made.stderr.strip()}")
        assert answer.status == 200
        assert answer.json()["status"] == "reloaded"
        assert not any(made.stderr.strip() in line for line in server.lines)
