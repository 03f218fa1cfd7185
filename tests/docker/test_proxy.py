"""The proxy's configuration on a real proxy in front of two real replicas, each of two processes."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from splicewright.api.settings import Settings
from tests.api.serving import BODY, HEAD, PATIENCE_S, Server, ask, choose, slowest_ms, stalled, started, workers
from tests.api.test_stalled import COUNT, DOCUMENT, MOST_MS
from tests.chosen import CHOSEN

CONFIGURATION = Path(__file__).parents[2] / "docker" / "nginx.conf"
pytestmark = pytest.mark.skipif(
    "SPLICEWRIGHT_DOCKER_TESTS" not in CHOSEN, reason="chosen by SPLICEWRIGHT_DOCKER_TESTS=1"
)


@dataclass
class Composition:
    """A proxy and its replicas."""

    port: int
    proxy: Server
    replicas: list[Server]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def composition(folder: Path) -> Iterator[Composition]:
    """Run the proxy with the shipped configuration, but for ports and places."""
    with ExitStack() as stack:
        replicas = [stack.enter_context(workers(SPLICEWRIGHT_PROXIES="1")) for _ in range(2)]
        text = CONFIGURATION.read_text(encoding="utf-8").replace(" /tmp/", f" {folder}/")
        port = free_port()
        for old, new in (
            ("server one:8000", f"server 127.0.0.1:{replicas[0].port}"),
            ("server two:8000", f"server 127.0.0.1:{replicas[1].port}"),
            ("listen 8080;", f"listen 127.0.0.1:{port};"),
            ("/dev/stdout", str(folder / "requests.log")),
            ("error_log stderr warn;", "error_log stderr notice;"),
        ):
            assert text.count(old) == 1
            text = text.replace(old, new)
        file = folder / "nginx.conf"
        file.write_text(text)
        nginx = shutil.which("nginx") or "/usr/sbin/nginx"
        command = [nginx, "-p", str(folder), "-c", str(file), "-g", "daemon off; user root;"]
        proxy = stack.enter_context(started(command, r"start worker process ()", {}))
        yield Composition(port, proxy, replicas)
        proxy.stop(signal.SIGQUIT)


@pytest.fixture(scope="module")
def composed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Composition]:
    with composition(tmp_path_factory.mktemp("proxy")) as found:
        yield found


@pytest.mark.parametrize(
    "sent",
    [
        pytest.param(b"", id="silent"),
        pytest.param(b"POST /v1/choices HTTP/1.1\r\nHos", id="in-the-headers"),
        pytest.param(HEAD + b"Content-Length: 1000\r\n\r\n{", id="in-the-body"),
        pytest.param(HEAD + b"Transfer-Encoding: chunked\r\n\r\nff\r\n{", id="in-a-chunk"),
        pytest.param(DOCUMENT * 30, id="taking-no-answers"),
    ],
)
def test_stalled_clients_delay_nobody(composed: Composition, sent: bytes) -> None:
    slowest_ms(composed.port, 5)
    with stalled(composed.port, sent, COUNT, small_window=True):
        choose(composed.port)
        assert slowest_ms(composed.port) < MOST_MS


def test_answers_come_from_both_replicas(composed: Composition) -> None:
    before = [replica.count('"path":"/v1/choices"') for replica in composed.replicas]
    for _ in range(10):
        assert choose(composed.port).status == 200
    for replica, count in zip(composed.replicas, before, strict=True):
        replica.has_logged('"path":"/v1/choices"', count + 3)


def test_request_id_goes_through_both_ways(composed: Composition) -> None:
    assert choose(composed.port, X_Request_Id="from-outside").headers["X-Request-Id"] == "from-outside"
    assert sum(replica.count("from-outside") for replica in composed.replicas) == 1


def test_proxy_is_not_told_of(composed: Composition) -> None:
    headers = choose(composed.port).headers
    assert headers["Server"] == "nginx"
    assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(("method", "path"), [("GET", "/metrics"), ("POST", "/v1/reload")])
def test_what_is_for_the_operator_is_not_there_for_outsiders(composed: Composition, method: str, path: str) -> None:
    answer = ask(composed.port, method, path)
    assert answer.status == 404
    assert answer.headers["Content-Type"] == "application/problem+json"


def test_overlong_body_is_refused_with_a_problem_document(composed: Composition) -> None:
    answer = choose(composed.port, b'"' + b"x" * 1_100_000 + b'"')
    assert answer.status == 413
    assert answer.json()["status"] == 413


def test_batch_may_be_longer_than_a_question(composed: Composition) -> None:
    line = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}\n'
    count = 2 * Settings().max_body // len(line)
    answer = ask(composed.port, "POST", "/v1/batches", line * count, Content_Type="application/x-ndjson")
    assert answer.status == 200
    assert b'"summary":{"lines":%d,"answers":%d,"errors":0}' % (count, count) in answer.body[-200:]


def test_what_the_service_refuses_comes_through_as_it_is(composed: Composition) -> None:
    answer = choose(composed.port, b'{"joint": {}}')
    assert answer.status == 422
    assert answer.body == choose(composed.replicas[0].port, b'{"joint": {}}').body


def test_killed_replica_loses_no_question_and_the_other_answers(tmp_path: Path) -> None:
    with composition(tmp_path) as composed:
        right = choose(composed.port).body
        children = [int(m[1]) for line in composed.replicas[0].lines if (m := re.search(r"Booting.*pid: (\d+)", line))]
        for process in (composed.replicas[0].process.pid, *children):
            os.kill(process, signal.SIGKILL)
        composed.replicas[0].process.wait(PATIENCE_S)
        assert {choose(composed.port).body for _ in range(20)} == {right}
        assert slowest_ms(composed.port) < MOST_MS
        assert composed.replicas[1].stop() == 0
        assert choose(composed.port, BODY).status == 502


def test_configuration_is_one_that_the_proxy_takes(tmp_path: Path) -> None:
    text = (
        CONFIGURATION.read_text(encoding="utf-8").replace("one:8000", "127.0.0.1:1").replace("two:8000", "127.0.0.1:2")
    )
    file = tmp_path / "nginx.conf"
    file.write_text(text.replace(" /tmp/", f" {tmp_path}/"))
    ended = subprocess.run(
        [shutil.which("nginx") or "/usr/sbin/nginx", "-t", "-c", file], capture_output=True, text=True, check=False
    )
    assert ended.returncode == 0, ended.stderr
    assert "warn" not in ended.stderr
