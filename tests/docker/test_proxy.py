"""The proxy's configuration on a real proxy in front of two real replicas."""

from __future__ import annotations

import http.client
import os
import signal
import socket
import subprocess
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

import orjson
import pytest

from tests.api.serving import BODY, HEAD, PATIENCE_S, Answer, ask, choose, delayed_ms, slowest_ms, stalled
from tests.chosen import CHOSEN
from tests.docker.composing import Composition, composition, configuration, nginx, processes

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        "SPLICEWRIGHT_DOCKER_TESTS" not in CHOSEN, reason="asks for nginx; chosen by SPLICEWRIGHT_DOCKER_TESTS=1"
    ),
]
COUNT, MOST_MS = 60, 100
NDJSON = "application/x-ndjson"
LINE = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}}\n'
LONG_ANSWER = LINE * 400  # its whole answers are more than any buffer of the system takes
BATCH = '"path":"/v1/batches","status":200'
DOCUMENT = b"GET /openapi.json HTTP/1.1\r\nHost: x\r\n\r\n"
GIVEN = '"path":"/openapi.json","status":200'


def batch_request(length: int) -> bytes:
    head = f"POST /v1/batches?explain=full HTTP/1.1\r\nHost: x\r\nContent-Type: {NDJSON}\r\n"
    return f"{head}Content-Length: {length}\r\n\r\n".encode()


def batch(port: int, lines: bytes) -> Answer:
    return ask(port, "POST", "/v1/batches", lines, Content_Type=NDJSON)


@pytest.fixture(scope="module")
def composed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Composition]:
    with composition(tmp_path_factory.mktemp("proxy")) as found:
        yield found


@pytest.fixture
def warm(composed: Composition) -> Composition:
    slowest_ms(composed.port, 20)  # every process has answered the question before
    return composed


@pytest.mark.alone
@pytest.mark.parametrize(
    "sent",
    [
        pytest.param(b"", id="silent"),
        pytest.param(b"POST /v1/choices HTTP/1.1\r\nHos", id="in-the-headers"),
        pytest.param(HEAD + b"Content-Length: 1000\r\n\r\n{", id="in-the-body"),
        pytest.param(HEAD + b"Transfer-Encoding: chunked\r\n\r\nff\r\n{", id="in-a-chunk"),
        pytest.param(batch_request(10_000) + LINE, id="in-a-batch"),
    ],
)
def test_stalled_clients_delay_nobody(warm: Composition, sent: bytes) -> None:
    with stalled(warm.port, sent, COUNT, small_window=True):
        assert delayed_ms(warm.port) < MOST_MS
        assert batch(warm.port, LINE).status == 200


def until_logged(composed: Composition, text: str, count: int) -> None:
    """Ask until the replicas have logged so many lines with a text between them."""
    for _ in range(5_000):
        if composed.count(text) >= count:
            return
        choose(composed.port)
    raise AssertionError(text)


@pytest.mark.alone
def test_clients_that_take_no_answer_delay_nobody(warm: Composition) -> None:
    before = warm.count(GIVEN)
    with stalled(warm.port, DOCUMENT, COUNT, small_window=True):
        until_logged(warm, GIVEN, before + COUNT)
        assert delayed_ms(warm.port) < MOST_MS


@pytest.mark.alone
def test_batches_that_nobody_reads_delay_nobody_and_hold_no_place(warm: Composition) -> None:
    before = warm.count(BATCH)
    with stalled(warm.port, batch_request(len(LONG_ANSWER)) + LONG_ANSWER, COUNT, small_window=True) as clients:
        taken = sum(client.recv(12) == b"HTTP/1.1 200" for client in clients)  # the others were told to come again
        assert taken
        until_logged(warm, BATCH, before + taken)
        assert delayed_ms(warm.port) < MOST_MS
        assert batch(warm.port, LINE).status == 200


def test_answers_come_from_both_replicas(composed: Composition) -> None:
    before = [replica.count('"path":"/v1/choices"') for replica in composed.replicas]
    for _ in range(10):
        assert choose(composed.port).status == 200
    for replica, count in zip(composed.replicas, before, strict=True):
        replica.has_logged('"path":"/v1/choices"', count + 3)


def test_request_id_goes_through_both_ways(composed: Composition) -> None:
    assert choose(composed.port, X_Request_Id="from-outside").headers["X-Request-Id"] == "from-outside"
    until_logged(composed, '"request_id":"from-outside"', 1)


@pytest.mark.parametrize("headers", [{}, {"X_Request_Id": "in\tsane"}], ids=["none", "no-sane-one"])
def test_request_without_an_id_gets_one_for_both_logs(composed: Composition, headers: dict[str, str]) -> None:
    given = choose(composed.port, **headers).headers["X-Request-Id"]
    assert len(given) == 32  # the proxy's; the service's own are shorter
    until_logged(composed, f'"request_id":"{given}"', 1)


def test_answer_keeps_what_the_service_says_of_it(composed: Composition) -> None:
    through = choose(composed.port, Accept_Encoding="gzip", X_Request_Id="same")
    direct = choose(composed.replicas[0].port, Accept_Encoding="gzip", X_Request_Id="same")
    changed = {"Server", "Date", "Connection"}
    assert through.body == direct.body
    assert {n: v for n, v in through.headers.items() if n not in changed} == {
        n: v for n, v in direct.headers.items() if n not in changed
    }


def test_service_is_told_who_calls_whatever_the_caller_says(tmp_path: Path) -> None:
    with composition(tmp_path, SPLICEWRIGHT_RATE="3/minute", SPLICEWRIGHT_WORKERS="1") as composed:
        answers = [choose(composed.port, X_Forwarded_For=f"192.0.2.{number}").status for number in range(8)]
    assert answers == [200] * 6 + [429] * 2  # three from each replica


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        pytest.param(b"GET /metrics HTTP/1.1\r\nHost: x\r\n", 404, id="metrics"),
        pytest.param(b"POST /v1/reload HTTP/1.1\r\nHost: x\r\nContent-Length: 0\r\n", 404, id="reload"),
        pytest.param(b"POST /v1/%72eload HTTP/1.1\r\nHost: x\r\nContent-Length: 0\r\n", 404, id="reload-disguised"),
        pytest.param(b"GET //metrics HTTP/1.1\r\nHost: x\r\n", 404, id="metrics-disguised"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\r\nHost: y\r\n", 400, id="two-hosts"),
        pytest.param(b"\x16\x03\x01 nonsense\r\n", 400, id="no-request"),
        pytest.param(b"GET /problem HTTP/1.1\r\nHost: x\r\n", 404, id="what-is-inside"),
        pytest.param(b"TRACE / HTTP/1.1\r\nHost: x\r\n", 405, id="a-method-it-does-not-take"),
        pytest.param(HEAD + b"Content-Length: 1000001\r\n", 413, id="long-body"),
        pytest.param(batch_request(100_000_001)[:-2], 413, id="long-batch"),
        pytest.param(HEAD.replace(b"choices", b"jobs") + b"Content-Length: 20000001\r\n", 413, id="long-job"),
        pytest.param(b"GET /" + b"x" * 9_000 + b" HTTP/1.1\r\nHost: x\r\n", 414, id="long-address"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: x\r\nX-Long: " + b"x" * 9_000 + b"\r\n", 431, id="long-header"),
        pytest.param(HEAD + b"Transfer-Encoding: gzip\r\n", 501, id="an-encoding-it-does-not-know"),
    ],
)
def test_what_the_proxy_refuses_is_a_problem_document(composed: Composition, sent: bytes, status: int) -> None:
    answer = raw(composed.port, sent + b"X-Request-Id: told\r\nConnection: close\r\n\r\n")
    assert answer.status == status
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.headers["X-Request-Id"]
    told = answer.json()
    assert told["status"] == status
    assert told["errors"] == [{"pointer": "", "says": told["detail"]}]


def raw(port: int, sent: bytes) -> Answer:
    with closing(socket.create_connection(("127.0.0.1", port), timeout=PATIENCE_S)) as client:
        client.sendall(sent)
        response = http.client.HTTPResponse(client)
        response.begin()
        return Answer(response.status, response.read(), dict(response.getheaders()))


def test_overlong_chunked_body_is_refused(composed: Composition) -> None:
    answer = choose(composed.port, iter([b" " * 500_000, b" " * 500_000, BODY]))
    assert answer.status == 413


def test_longest_body_is_let_through(composed: Composition) -> None:
    assert choose(composed.port, BODY + b" " * (1_000_000 - len(BODY))).status == 200


def test_what_the_service_refuses_comes_through_as_it_is(composed: Composition) -> None:
    answer = choose(composed.port, b'{"joint": {}}')
    assert answer.status == 422
    assert answer.body == choose(composed.replicas[0].port, b'{"joint": {}}').body


def test_batch_may_be_longer_than_a_question_and_ends_with_its_summary(composed: Composition) -> None:
    count = 1_200_000 // len(LINE)
    answer = batch(composed.port, LINE * count)
    *answers, last = answer.body.splitlines()
    assert len(answers) == count
    assert orjson.loads(last) == {"summary": {"line_count": count, "answer_count": count, "error_count": 0}}


def test_answers_of_a_batch_are_passed_on_before_its_end(composed: Composition) -> None:
    before = composed.count(BATCH)
    count = 4_000  # far more than the proxy keeps: the replica cannot have ended before they are taken
    with closing(http.client.HTTPConnection("127.0.0.1", composed.port, timeout=PATIENCE_S)) as connection:
        connection.request("POST", "/v1/batches?explain=full", LINE * count, {"Content-Type": NDJSON})
        response = connection.getresponse()
        assert orjson.loads(response.readline())["outcome"] == "options"
        assert composed.count(BATCH) == before
        last = b""
        for last in response:  # noqa: B007 - the last line is what is wanted
            pass
    assert orjson.loads(last)["summary"]["answer_count"] == count


def test_busy_replicas_are_no_failed_ones(tmp_path: Path) -> None:
    """Where every place for long calls is taken, batches are told to come again, and questions are answered."""
    with composition(tmp_path, SPLICEWRIGHT_WORKERS="1", SPLICEWRIGHT_THREADS="2") as composed, ExitStack() as stack:
        for number, replica in enumerate(composed.replicas):
            for answered in (2 * number + 1, 2 * number + 2):
                assert batch(composed.port, LINE).status == 200  # while one has a place, it is found
                until_logged(composed, BATCH, answered)  # a place is given back when the whole answer is out
            asked = batch_request(len(LINE) * 2_000) + LINE * 2_000
            [client] = stack.enter_context(stalled(replica.port, asked, 1, small_window=True))
            assert client.recv(12) == b"HTTP/1.1 200"  # and takes no more of it
        for _ in range(10):
            refused = batch(composed.port, LINE * 1_000)
            assert refused.status == 503
            assert refused.headers["Retry-After"]
            assert choose(composed.port).status == 200


@dataclass
class Load:
    """Clients that ask without pause, each request on a connection of its own."""

    port: int
    found: list[bytes | int] = field(default_factory=list)  # bodies of answers, statuses of others
    cut_off: list[int] = field(default_factory=list)  # by client: answers that began and did not end
    ending: threading.Event = field(default_factory=threading.Event)
    news: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(0))

    def ask(self, client: int) -> None:
        while not self.ending.is_set():
            try:
                answer = choose(self.port)
            except http.client.IncompleteRead:
                self.cut_off.append(client)
            else:
                self.found.append(answer.body if answer.status == 200 else answer.status)
            self.news.release()


@pytest.mark.alone
def test_replica_killed_under_load_cuts_off_at_most_the_answers_that_had_begun(tmp_path: Path) -> None:
    with composition(tmp_path) as composed:
        right = choose(composed.port).body
        load = Load(composed.port)
        clients = [threading.Thread(target=load.ask, args=(client,)) for client in range(6)]
        for client in clients:
            client.start()
        for number in range(400):
            assert load.news.acquire(timeout=PATIENCE_S)
            if number == 100:
                for process in processes(composed.replicas[0]):
                    os.kill(process, signal.SIGKILL)
        load.ending.set()
        for client in clients:
            client.join()
        # What had no answer yet was asked of the other one; an answer on its way can't be taken back, and shows it.
        assert len(load.cut_off) == len(set(load.cut_off))  # no client lost a second one
        assert set(load.found) == {right}
        assert delayed_ms(composed.port) < MOST_MS


def test_question_at_a_replica_that_dies_is_asked_of_the_other(tmp_path: Path) -> None:
    with composition(tmp_path) as composed, ThreadPoolExecutor(6) as clients:
        dying = processes(composed.replicas[0])
        for process in dying:
            os.kill(process, signal.SIGSTOP)
        answers = as_completed([clients.submit(choose, composed.port) for _ in range(6)])
        answered = list(islice(answers, 3))  # by the other one; the rest wait for an answer
        for process in dying:
            os.kill(process, signal.SIGKILL)
        assert [one.result().status for one in [*answered, *answers]] == [200] * 6


def test_batch_whose_replica_is_killed_does_not_look_whole(tmp_path: Path) -> None:
    with composition(tmp_path, SPLICEWRIGHT_WORKERS="1") as composed, ExitStack() as stack:
        connection = stack.enter_context(closing(http.client.HTTPConnection("127.0.0.1", composed.port, PATIENCE_S)))
        connection.request("POST", "/v1/batches?explain=full", LINE * 4_000, {"Content-Type": NDJSON})
        response = connection.getresponse()
        assert orjson.loads(response.readline())["outcome"] == "options"
        for replica in composed.replicas:
            for process in processes(replica):
                os.kill(process, signal.SIGKILL)
        with pytest.raises(http.client.IncompleteRead) as cut:
            response.read()
        assert b'"summary":{' not in cut.value.partial


def test_no_replica_at_all_is_said_at_once(tmp_path: Path) -> None:
    with composition(tmp_path, SPLICEWRIGHT_WORKERS="1") as composed:
        for replica in composed.replicas:
            assert replica.stop() == 0
        answer = choose(composed.port, X_Request_Id="in-vain")
        assert answer.status == 502
        assert answer.json()["detail"] == "no replica answers"
        assert answer.headers["Retry-After"] == "5"
        assert answer.headers["X-Request-Id"] == "in-vain"


def test_configuration_is_one_that_the_proxy_takes_without_a_word(tmp_path: Path) -> None:
    file = configuration(tmp_path, 8080, [1, 2])
    ended = subprocess.run([nginx(), "-t", "-c", file], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr
    assert all(word not in ended.stderr for word in ("warn", "alert", "error"))
