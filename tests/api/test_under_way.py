"""Calls under way: long ones by what they cost, ended when their client leaves, and in nobody's way."""

from __future__ import annotations

import http.client
import itertools
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, suppress
from pathlib import Path

import orjson
import pytest
from werkzeug.exceptions import ServiceUnavailable

from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from splicewright.api.under_way import CONNECTION, LONG_WORK, ClientLeft, Places, UnderWay, has_left
from tests.api.serving import Server, ask, choose, serving, workers

SIZES = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG")
#: Joints that all ask something else: 25 s of work, or nearly.
JOB = orjson.dumps(
    {
        "joints": [
            {
                "joint": {"conductors": [{"size": one, "count": 1}, {"size": other, "count": 1 + at % 3}]},
                "circuit": {"volts": volts, "amps": 1 + at / 10},
            }
            for one, other, volts, at in itertools.product(SIZES, SIZES, (120, 208, 240, 277, 480), range(112))
        ][:20_000]
    }
)


@pytest.fixture
def pair() -> Iterator[tuple[socket.socket, socket.socket]]:
    """Give both ends of a connection."""
    own, other = socket.socketpair()
    with own, other:
        yield own, other


def call(most: int = 1, connection: socket.socket | None = None) -> UnderWay:
    return UnderWay(Places(Settings(threads=most + 1)), {CONNECTION: connection})


# --- whether the client is there -------------------------------------------------------------


def test_client_that_waits_or_sends_more_has_not_left(pair: tuple[socket.socket, socket.socket]) -> None:
    own, other = pair
    assert not has_left(own)
    other.sendall(b"GET")
    assert not has_left(own)


@pytest.mark.parametrize("close", [socket.socket.close, lambda one: one.shutdown(socket.SHUT_WR)])
@pytest.mark.parametrize("sent", [b"", b"GET"])
def test_client_that_has_closed_has_left_whatever_it_sent_before(
    pair: tuple[socket.socket, socket.socket], close: Callable[[socket.socket], None], sent: bytes
) -> None:
    own, other = pair
    other.sendall(sent)
    close(other)
    assert has_left(own)


def test_connection_that_the_server_has_closed_has_left(pair: tuple[socket.socket, socket.socket]) -> None:
    pair[0].close()
    assert has_left(pair[0])


def test_where_no_connection_is_known_nobody_has_left() -> None:
    assert not has_left(None)


def test_work_ends_when_the_client_has_left(pair: tuple[socket.socket, socket.socket]) -> None:
    own, other = pair
    one = call(connection=own)
    one.watch(5_000)
    other.close()
    one.watch(10)  # not looked at so soon
    with pytest.raises(ClientLeft):
        one.watch(5_000)


def test_nothing_is_sent_to_who_has_left(pair: tuple[socket.socket, socket.socket]) -> None:
    own, other = pair
    other.close()
    client = create_app().test_client()
    many = {"joint": {"conductors": [{"size": one, "count": 6} for one in SIZES[:4]]}}
    for path, body in (("choices", many), ("jobs", {"joints": [many] * 200})):
        answer = client.post(f"/v1/{path}", json=body, environ_overrides={CONNECTION: own})
        assert (answer.status_code, answer.data) == (499, b"")
    lines = b"\n".join([orjson.dumps(many)] * 20)
    kind = {"content_type": "application/x-ndjson", "environ_overrides": {CONNECTION: own}}
    assert b"summary" not in client.post("/v1/batches", data=lines, **kind).data
    for count in (2, 30):
        listed = client.post("/v1/batches", json=[many] * count, environ_overrides={CONNECTION: own})
        assert b"]" not in listed.data[-1:]


# --- places ----------------------------------------------------------------------------------


def test_call_becomes_long_by_its_work_and_gives_its_place_back_once() -> None:
    places = Places(Settings(threads=2))
    one, other = UnderWay(places, {}), UnderWay(places, {})
    one.watch(LONG_WORK + 1)
    one.watch(LONG_WORK)
    other.watch(LONG_WORK)
    with pytest.raises(ServiceUnavailable, match="1 long calls are under way; try again in 5 s"):
        other.watch(LONG_WORK)
    for _ in range(2):
        one.ends()
    other.watch(LONG_WORK)
    with pytest.raises(ServiceUnavailable):
        one.is_long()


def test_small_body_that_asks_for_much_is_long_and_a_small_job_is_not() -> None:
    app = create_app(settings=Settings(threads=2))
    many = [
        {"joint": {"conductors": [{"size": "12 AWG", "count": count}, {"size": "10 AWG", "count": 12}]}}
        for count in range(1, 9)
    ]
    wires = [{"size": "12 AWG", "count": 50}]
    lines = [orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})] * 2
    with closing(app.test_client().post("/v1/batches", json=[{}] * 30, buffered=False)):
        small = app.test_client()
        assert (
            small.post("/v1/jobs", json={"joints": [{"joint": {"conductors": [{"size": "12 AWG"}]}}]}).status_code
            == 200
        )
        assert small.post("/v1/batches", data=b"\n".join(lines), content_type="application/x-ndjson").status_code == 200
        assert small.post("/v1/boxes", json={"wires": wires, "joints": many}).status_code == 503
    assert app.test_client().post("/v1/boxes", json={"wires": wires, "joints": many}).status_code == 200


# --- in a server -----------------------------------------------------------------------------


def seconds_used(pid: int) -> float:
    """Give the processor time that a process has taken, in ticks of a hundredth."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / 100


def under_way(port: int) -> http.client.HTTPConnection:
    """Send the job, and give the connection on which its answer is to come, once it is worked on."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    connection.request("POST", "/v1/jobs", JOB, {"Content-Type": "application/json"})
    return connection


def one_process() -> AbstractContextManager[Server]:
    return serving("--threads", "1", SPLICEWRIGHT_MAX_WORK="1000000000")


def of_several() -> AbstractContextManager[Server]:
    return workers(SPLICEWRIGHT_WORKERS="1", SPLICEWRIGHT_THREADS="1", SPLICEWRIGHT_MAX_WORK="1000000000")


@pytest.mark.slow
@pytest.mark.parametrize("server", [one_process, of_several])
def test_with_one_thread_a_long_job_is_in_nobodys_way_and_ends_within_a_second_of_its_client(
    server: Callable[[], AbstractContextManager[Server]],
) -> None:
    with server() as running, closing(under_way(running.port)) as connection:
        pid = worker_of(running)
        waited = []
        for _ in range(20):
            began = time.monotonic()
            assert ask(running.port, "GET", "/health/live").status == 200
            waited.append(time.monotonic() - began)
        assert max(waited) < 1
        assert choose(running.port).status == 200
        began = time.monotonic()
        refused = ask(running.port, "POST", "/v1/jobs", JOB)
        assert refused.status == 503
        assert time.monotonic() - began < 3  # not once the first one has ended
        assert refused.headers["Retry-After"] == "5"
        began, used = time.monotonic(), seconds_used(pid)
        while seconds_used(pid) - used < 0.3:  # it is at work
            assert time.monotonic() - began < 30
            time.sleep(0.05)
        connection.close()
        time.sleep(1)
        used = seconds_used(pid)
        time.sleep(1)
        assert seconds_used(pid) - used < 0.2
        running.has_logged('"status":499', 1)
        assert ask(running.port, "POST", "/v1/jobs", b'{"joints": []}').status == 422


def worker_of(server: Server) -> int:
    """Give the id of the process that answers."""
    with suppress(FileNotFoundError):
        pid = server.process.pid
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        if children:
            return int(children[-1])
    return server.process.pid
