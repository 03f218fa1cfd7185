"""The service as several gunicorn processes: one may be killed, rules may break on disk, and answers go on."""

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
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from prometheus_client.parser import text_string_to_metric_families

from tests.api.serving import BODY, HEAD, Server, ask, choose, digest, workers
from tests.api.small import change, small_rulesets, spoil

pytestmark = pytest.mark.slow

CLIENTS = 6


@pytest.fixture
def rulesets(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


def processes(server: Server) -> list[int]:
    return [int(found[1]) for line in server.lines if (found := re.search(r"Booting worker with pid: (\d+)", line))]


@dataclass
class Load:
    """What came of clients that ask without pause, each request on a connection of its own."""

    port: int
    answers: set[bytes] = field(default_factory=set)
    lost: list[int] = field(default_factory=list)  # by client: requests without an answer
    ending: threading.Event = field(default_factory=threading.Event)

    def ask(self, client: int) -> None:
        while not self.ending.is_set():
            try:
                answer = choose(self.port)
            except (OSError, http.client.HTTPException):  # no answer, or one that was cut off
                self.lost.append(client)
            else:
                self.answers.add(answer.body if answer.status == 200 else b"%d" % answer.status)


@contextmanager
def load(server: Server, count: int = CLIENTS) -> Iterator[Load]:
    found = Load(server.port)
    clients = [threading.Thread(target=found.ask, args=(number,)) for number in range(count)]
    for client in clients:
        client.start()
    try:
        yield found
    finally:
        found.ending.set()
        for client in clients:
            client.join()


def test_killing_a_process_loses_at_most_its_requests_in_flight(rulesets: Path) -> None:
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets)) as server:
        right = choose(server.port).body
        with load(server) as asked:
            os.kill(processes(server)[0], signal.SIGKILL)
            server.has_logged("Booting worker", 3)
            server.has_logged('"path":"/v1/choices"', server.count('"path":"/v1/choices"') + 200)
        assert len(asked.lost) == len(set(asked.lost))  # none lost a second one
        assert asked.answers == {right}


def test_requests_in_flight_are_finished_after_the_stop_signal(rulesets: Path) -> None:
    with (
        workers(SPLICEWRIGHT_RULESETS=str(rulesets)) as server,
        socket.create_connection(("127.0.0.1", server.port), timeout=20) as slow,
    ):
        slow.sendall(HEAD + b"Content-Length: %d\r\nConnection: close\r\n\r\n" % len(BODY) + BODY[:20])
        assert choose(server.port).status == 200
        server.process.send_signal(signal.SIGTERM)
        server.logged("Handling signal: term")
        slow.sendall(BODY[20:])
        assert slow.makefile("rb").readline() == b"HTTP/1.1 200 OK\r\n"


def test_changed_rules_are_taken_into_use_and_no_request_is_lost(rulesets: Path) -> None:
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets)) as server:
        before = digest(server.port)
        change(rulesets)
        with load(server, 1) as asked:
            server.process.send_signal(signal.SIGHUP)
            server.has_logged("answers from the rules that were reloaded", 2)
            server.has_logged('"path":"/v1/choices"', server.count('"path":"/v1/choices"') + 50)
        assert digest(server.port) != before
        assert not asked.lost
        assert len(asked.answers) == 2


def test_rules_broken_on_disk_neither_get_into_use_nor_stop_the_service(rulesets: Path) -> None:
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets)) as server:
        before = digest(server.port)
        spoil(rulesets)
        server.process.send_signal(signal.SIGHUP)
        server.logged(r"not reloaded, what is in use stays: .*nfpa70/environment\.yaml:\d+")
        for process in processes(server):
            os.kill(process, signal.SIGKILL)
        server.has_logged("Booting worker", 4)
        assert digest(server.port) == before


def test_reloading_over_and_over_under_load_changes_no_answer_but_its_digest(rulesets: Path) -> None:
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets), SPLICEWRIGHT_LOG_REQUESTS="false") as server:
        with load(server, 1) as asked:
            for number in range(1, 3):
                change(rulesets, "Now " * number)
                server.process.send_signal(signal.SIGHUP)
                server.has_logged("answers from the rules that were reloaded", 2 * number)
        assert not asked.lost
        assert len({without_digests(body) for body in asked.answers}) == 1
        assert len(asked.answers) > 1


def without_digests(body: bytes) -> bytes:
    return re.sub(rb"sha256:[0-9a-f]{64}", b"", body)


def test_hangup_signal_to_every_process_ends_none(rulesets: Path) -> None:
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets)) as server:
        server.has_logged("Worker ready", 2)
        for process in (*processes(server), server.process.pid):
            os.kill(process, signal.SIGHUP)
        server.logged("rules and catalogues reloaded")
        assert choose(server.port).status == 200
        assert len(processes(server)) == 2


def test_stop_signal_is_not_kept_waiting_by_reloads() -> None:
    with workers() as server:  # the shipped rules: a proof of them takes seconds
        for number in range(1, 6):
            server.process.send_signal(signal.SIGHUP)
            server.has_logged("Handling signal: hup", number)
        assert server.stop() == 0
        assert not server.count("rules and catalogues reloaded")  # the stop did not wait for one


def made_keys(folder: Path) -> tuple[Path, str]:
    command = [sys.executable, "-m", "splicewright", "key", "boss", "--scope", "admin", "--scope", "ask"]
    made = subprocess.run(command, capture_output=True, text=True, check=True)
    path = folder / "keys.yaml"
    path.write_text("keys:\n" + made.stdout)
    return path, f"Bearer {made.stderr.strip()}"


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    return made_keys(tmp_path_factory.mktemp("keys"))


@pytest.fixture(scope="module")
def guarded(keys: tuple[Path, str]) -> Iterator[Server]:
    """Run a service that asks for keys, whatever application the command line names."""
    with workers("splicewright.api.app:create_app()", SPLICEWRIGHT_KEYS=str(keys[0])) as server:
        yield server


def test_keys_are_asked_for_whatever_application_the_command_line_names(
    guarded: Server, keys: tuple[Path, str]
) -> None:
    assert choose(guarded.port).status == 401
    assert choose(guarded.port, Authorization=keys[1]).status == 200


def test_address_of_the_command_line_needs_keys_too() -> None:
    command = [sys.executable, "-m", "gunicorn", "-c", "python:splicewright.api.gunicorn_conf", "-b", "0.0.0.0:0"]
    ended = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ended.returncode == 1
    assert "0.0.0.0 can be reached from other machines" in ended.stderr


def test_reload_by_an_admin_is_answered_when_every_process_follows(rulesets: Path, keys: tuple[Path, str]) -> None:
    path, bearer = keys
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets), SPLICEWRIGHT_KEYS=str(path)) as server:
        change(rulesets)
        answer = ask(server.port, "POST", "/v1/reload", b"", Authorization=bearer)
        assert answer.json()["status"] == "reloaded"
        found = answer.json()["rulesets"]
        assert isinstance(found, dict)
        assert {digest(server.port, Authorization=bearer) for _ in range(20)} == {found["nfpa70-2023"]}
        spoil(rulesets)
        assert ask(server.port, "POST", "/v1/reload", b"", Authorization=bearer).status == 409


def test_keys_are_renewed_though_the_rules_are_broken(rulesets: Path, tmp_path: Path) -> None:
    path, bearer = made_keys(tmp_path)
    with workers(SPLICEWRIGHT_RULESETS=str(rulesets), SPLICEWRIGHT_KEYS=str(path)) as server:
        spoil(rulesets)
        path.write_text(path.read_text().replace("sha256: ", f"sha256: {'0' * 64} #"))
        assert ask(server.port, "POST", "/v1/reload", b"", Authorization=bearer).status == 409
        assert {choose(server.port, Authorization=bearer).status for _ in range(20)} == {401}


def figures(server: Server, bearer: str) -> dict[str, float]:
    time.sleep(0.2)  # each process tells its figures ten times a second
    text = ask(server.port, "GET", "/metrics", Authorization=bearer).body.decode()
    return {
        f"{sample.name} {sorted(sample.labels.items())}": sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def test_figures_are_those_of_all_processes_and_no_key_is_logged(guarded: Server, keys: tuple[Path, str]) -> None:
    bearer = keys[1]
    counted = "splicewright_requests_total [('method', 'POST'), ('path', '/v1/choices'), ('status', '200')]"
    logged, before = guarded.count('"path":"/v1/choices"'), figures(guarded, bearer).get(counted, 0)
    for _ in range(20):
        assert choose(guarded.port, Authorization=bearer).status == 200
    guarded.has_logged('"path":"/v1/choices"', logged + 20)
    assert figures(guarded, bearer)[counted] == before + 20
    assert not any(bearer.removeprefix("Bearer ") in line for line in guarded.lines)


def test_memory_is_told_of_each_process_while_it_lives(guarded: Server, keys: tuple[Path, str]) -> None:
    def told() -> dict[int, float]:
        found = figures(guarded, keys[1])
        memory = {name: value for name, value in found.items() if "process_resident_memory_bytes" in name}
        return {int(re.findall(r"'pid', '(\d+)'", name)[0]): value for name, value in memory.items()}

    guarded.has_logged("Worker ready", 2)
    before = told()
    assert set(before) == set(processes(guarded))
    assert all(20_000_000 < one < 500_000_000 for one in before.values())
    os.kill(processes(guarded)[0], signal.SIGKILL)
    guarded.has_logged("Worker ready", 3)
    assert set(told()) == set(processes(guarded)[1:])


def test_service_does_not_start_from_broken_rules(rulesets: Path) -> None:
    spoil(rulesets)
    command = [sys.executable, "-m", "gunicorn", "-c", "python:splicewright.api.gunicorn_conf"]
    environment = {**os.environ, "SPLICEWRIGHT_PORT": "0", "SPLICEWRIGHT_RULESETS": str(rulesets)}
    ended = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    assert ended.returncode == 1
    assert "nfpa70/environment.yaml:" in ended.stderr
