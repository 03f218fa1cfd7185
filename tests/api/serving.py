"""Servers in processes of their own, and clients that behave well or badly."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field

import orjson

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "explain": "brief"}
BODY = orjson.dumps(QUESTION)
HEAD = b"POST /v1/choices HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
START = "from splicewright.cli.main import main; main()"
PATIENCE_S = 60


@dataclass
class Server:
    """A server that runs."""

    process: subprocess.Popen[str]
    port: int = 0
    lines: list[str] = field(default_factory=list)
    _news: threading.Condition = field(default_factory=threading.Condition)

    def listen_to(self) -> None:
        """Take in what it logs, so that it never waits for a reader."""
        assert self.process.stderr
        for line in self.process.stderr:
            with self._news:
                self.lines.append(line)
                self._news.notify_all()
        with self._news:
            self.lines.append("(ended)")
            self._news.notify_all()

    def logged(self, pattern: str, after: int = 0) -> re.Match[str]:
        """Wait for a log line that matches, beyond the first `after`. Raises AssertionError where none comes."""
        deadline = time.monotonic() + PATIENCE_S
        with self._news:
            while True:
                for line in self.lines[after:]:
                    if found := re.search(pattern, line):
                        return found
                assert "(ended)" not in self.lines, "".join(self.lines)
                assert self._news.wait(deadline - time.monotonic()), "".join(self.lines)

    def count(self, text: str) -> int:
        """Count the log lines that hold a text."""
        with self._news:
            return sum(text in line for line in self.lines)

    def has_logged(self, text: str, count: int) -> None:
        """Wait until so many log lines hold a text."""
        deadline = time.monotonic() + PATIENCE_S
        with self._news:
            while sum(text in line for line in self.lines) < count:
                assert self._news.wait(deadline - time.monotonic()), f"too few of {text}"

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Signal it to stop, wait, and give its exit status."""
        self.process.send_signal(number)
        return self.process.wait(PATIENCE_S)


@contextmanager
def started(command: list[str], listens: str, environment: Mapping[str, str]) -> Iterator[Server]:
    """Run a server until it says where it listens, and end it in the end."""
    around = {**os.environ, **environment}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=around, start_new_session=True) as process:
        server = Server(process)
        listening = threading.Thread(target=server.listen_to)
        listening.start()
        try:
            server.port = int(server.logged(listens)[1])
            yield server
        finally:
            with suppress(ProcessLookupError):
                # A test that fails must not wait for a server that goes on, nor for the processes that it has started.
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()
            listening.join()


@contextmanager
def serving(*options: str, **environment: str) -> Iterator[Server]:
    """Run the embedded server."""
    command = [sys.executable, "-c", START, "serve", "--port", "0", *options]
    with started(command, r"listens on http://127\.0\.0\.1:(\d+)", environment) as server:
        yield server


@contextmanager
def workers(*more: str, **environment: str) -> Iterator[Server]:
    """Run gunicorn as in production, with `more` on its command line, and wait until it answers."""
    command = [sys.executable, "-m", "gunicorn", "-c", "python:splicewright.api.gunicorn_conf", *more]
    environment = {"SPLICEWRIGHT_PORT": "0", **environment}
    with started(command, r"Listening at: http://127\.0\.0\.1:(\d+)", environment) as server:
        wait_until_ready(server.port)
        yield server
        server.stop()


def wait_until_ready(port: int) -> None:
    """Wait until the server answers."""
    assert ask(port, "GET", "/health/ready").status == 200


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    body: bytes
    headers: Mapping[str, str]

    def json(self) -> dict[str, object]:
        """Read the body."""
        found: dict[str, object] = orjson.loads(self.body)
        return found


def ask(port: int, method: str, path: str, body: bytes | Iterable[bytes] | None = None, **headers: str) -> Answer:
    """Send one request on a connection of its own."""
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)) as connection:
        chunked = body is not None and not isinstance(body, bytes)
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        if body is not None:
            sent.setdefault("Content-Type", "application/json")
        with suppress(BrokenPipeError, ConnectionResetError):
            # A server may refuse by the head alone and close while the body is still being sent (RFC 9110, 10.1.1);
            # its answer has come then, and is read below, where a lost one fails.
            connection.request(method, path, body, sent, encode_chunked=chunked)
        response = connection.getresponse()
        return Answer(response.status, response.read(), dict(response.getheaders()))


def choose(port: int, body: bytes | Iterable[bytes] = BODY, **headers: str) -> Answer:
    """Ask about a joint."""
    return ask(port, "POST", "/v1/choices", body, **headers)


def digest(port: int, **headers: str) -> str:
    """Ask which rules the answers come from."""
    answer = choose(port, orjson.dumps({**QUESTION, "include": ["digests"]}), **headers)
    assert answer.status == 200, answer.body
    rulesets = answer.json()["rulesets"]
    assert isinstance(rulesets, dict)
    return str(rulesets["digest"])


@contextmanager
def stalled(port: int, sent: bytes, count: int, *, small_window: bool = False) -> Iterator[list[socket.socket]]:
    """Keep so many clients that have sent this much and then do nothing."""
    clients = []
    try:
        for _ in range(count):
            client = socket.socket()
            client.settimeout(PATIENCE_S)
            if small_window:
                client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4_096)
            client.connect(("127.0.0.1", port))
            client.sendall(sent)
            clients.append(client)
        yield clients
    finally:
        for client in clients:
            client.close()


def slowest_ms(port: int, count: int = 20) -> float:
    """Ask so many good questions one after the other, and give the longest time."""
    times = []
    for _ in range(count):
        began = time.perf_counter()
        assert choose(port).status == 200
        times.append(1000 * (time.perf_counter() - began))
    return max(times)


def delayed_ms(port: int) -> float:
    """Give the longest time of good questions in the quietest of three rounds.

    What other clients hold up is held up in each of them; what the machine does meanwhile is not.
    """
    return min(slowest_ms(port) for _ in range(3))
