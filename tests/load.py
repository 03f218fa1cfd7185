"""A long time under load: the server answers different questions at four fifths of the most it can.

python -m tests.load --minutes 10                      the embedded server
python -m tests.load --minutes 10 --server gunicorn    several processes
python -m tests.load --minutes 2 --reload-every 1      while rules are changed on disk and read anew

First the top rate is measured: as many clients as keep it busy, each asking again as soon as it is answered. Then
requests fall due one after the other at 80% of that rate, whether or not earlier ones are answered; a request's time
counts from when it fell due. Every answer is compared with that of a chooser of its own; where rules are changed, with
those of before and after, and reloads that fall due while one is being proved are one. Prints errors, times and memory,
and exits with 1 on any error, or where memory at the end is more than 5% above that at the start (with reloads: more
than twice, for two rulebooks). Client and server share the machine. Linux only.
"""

from __future__ import annotations

import argparse
import itertools
import selectors
import signal
import socket
import statistics
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from splicewright import shipped
from splicewright.answering import Chooser
from tests.api.serving import Server, serving, workers
from tests.bench.proc import family, proportional
from tests.bench.questions import lines
from tests.soak import variants

SHARE = 0.8
MOST_GROWTH = 0.05
CONNECTIONS = 16
TOP_S = 8.0
_SEED, _DIFFERENT = 11, 1_000
_PATH = "/v1/choices?explain=brief"
_CACHE = "1000000"  # bytes: less than the answers take, so that some are found and some are not
_ENVIRONMENT = {"SPLICEWRIGHT_CACHE": _CACHE, "SPLICEWRIGHT_LOG_REQUESTS": "false"}
_LATE_S = 30.0  # for answers that are still to come at the end
SERVERS: dict[str, Callable[..., AbstractContextManager[Server]]] = {"embedded": serving, "gunicorn": workers}
RELOADED = "rules and catalogues reloaded"


@dataclass(frozen=True)
class Asked:
    """A request as it is sent, and the bodies that its answer may have."""

    sent: bytes
    right: frozenset[bytes]


def asked(body: bytes, *right: bytes) -> Asked:
    """Write a request."""
    head = (
        f"POST {_PATH} HTTP/1.1\r\nHost: load\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    )
    return Asked(head.encode() + body, frozenset(right))


@dataclass
class Found:
    """What came of a run."""

    seconds: list[float] = field(default_factory=list)  # of each request
    errors: list[str] = field(default_factory=list)
    memory: list[int] = field(default_factory=list)  # bytes at the start, in the middle and at the end
    lasted: float = 0.0


@dataclass
class _Client:
    """A connection, and what it waits for."""

    port: int
    socket: socket.socket
    waits_for: Asked | None = None
    since: float = 0.0
    received: bytes = b""

    @classmethod
    def opened(cls, port: int) -> _Client:
        client = cls(port, socket.create_connection(("127.0.0.1", port), timeout=_LATE_S))
        client.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        return client

    def ask(self, one: Asked, since: float) -> None:
        self.waits_for, self.since, self.received = one, since, b""
        self.socket.sendall(one.sent)

    def answered(self) -> str | None:
        """Take in what has come. Gives None while more is to come, else what is wrong with the answer, or nothing."""
        some = self.socket.recv(262_144)
        if not some:
            return "the connection was closed"
        self.received += some
        head, _, body = self.received.partition(b"\r\n\r\n")
        length = next((line for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:")), None)
        if length is None or len(body) < int(length.partition(b":")[2]):
            return None
        if not head.startswith(b"HTTP/1.1 200 "):
            return self.received[:300].decode(errors="replace")
        assert self.waits_for
        return "" if body in self.waits_for.right else f"a wrong answer: {body[:300]!r}"


def run(port: int, questions: Sequence[Asked], seconds: float, rate: float | None, *, look: Callable[[], int]) -> Found:
    """Ask for so many seconds: at a rate (requests a second), or as fast as answers come where it is None."""
    found = Found(memory=[look()])
    free: deque[_Client] = deque(_Client.opened(port) for _ in range(CONNECTIONS))
    number = 0
    with selectors.DefaultSelector() as selector:
        for client in free:
            selector.register(client.socket, selectors.EVENT_READ, client)
        began = time.perf_counter()
        while True:
            now = time.perf_counter() - began
            if len(found.memory) == 1 and now >= seconds / 2:
                found.memory.append(look())
            while free and (due := now if rate is None else number / rate) <= now and due < seconds:
                client = free.popleft()
                client.ask(questions[number % len(questions)], due)
                number += 1
            if now >= seconds and (len(free) == CONNECTIONS or now > seconds + _LATE_S):
                break
            pause = 0.5 if rate is None or not free or now >= seconds else max(0.0, number / rate - now)
            for key, _ in selector.select(pause):
                client = key.data
                wrong = _taken(client)
                if wrong is None:
                    continue
                found.seconds.append(time.perf_counter() - began - client.since)
                if wrong:
                    found.errors.append(wrong)
                    selector.unregister(client.socket)
                    client.socket.close()
                    client = _Client.opened(port)
                    selector.register(client.socket, selectors.EVENT_READ, client)
                free.append(client)
        found.lasted = time.perf_counter() - began
        found.errors += ["no answer"] * (CONNECTIONS - len(free))
        for key in list(selector.get_map().values()):
            with suppress(OSError):
                key.data.socket.close()
    found.memory.append(look())
    return found


def _taken(client: _Client) -> str | None:
    try:
        return client.answered()
    except OSError as error:
        return str(error)


@contextmanager
def reloading(server: Server, folders: Sequence[Path], seconds: float) -> Iterator[None]:
    """Turn the first folder into the other and back every so many seconds, and have the server read it anew."""
    other, file = folders[1], Path("nfpa70") / "environment.yaml"
    texts = [(folder / file).read_bytes() for folder in (other, folders[0])]
    ended = threading.Event()

    def turn() -> None:
        for text in itertools.cycle(texts):
            if ended.wait(seconds):
                return
            fresh = folders[0] / "fresh"
            fresh.write_bytes(text)
            fresh.replace(folders[0] / file)
            server.process.send_signal(signal.SIGHUP)

    turning = threading.Thread(target=turn)
    turning.start()
    try:
        yield
    finally:
        ended.set()
        turning.join()


def told(found: Found, most_growth: float = MOST_GROWTH) -> tuple[str, bool]:
    """Write what came of a run, and tell whether all was well."""
    parts = statistics.quantiles(found.seconds, n=1000)
    start, middle, end = (one / 1e6 for one in found.memory)
    growth = end / start - 1
    text = (
        f"{len(found.seconds):,} requests in {found.lasted:.0f} s, {len(found.errors)} errors\n"
        f"times: p50 {1000 * parts[499]:.1f} ms, p99 {1000 * parts[989]:.1f} ms, p99.9 {1000 * parts[998]:.1f} ms, "
        f"longest {1000 * max(found.seconds):.1f} ms\n"
        f"memory: {start:.1f} MB at the start, {middle:.1f} MB in the middle, {end:.1f} MB at the end ({growth:+.1%})\n"
    )
    text += "".join(f"error: {error}\n" for error in found.errors[:5])
    return text, not found.errors and growth <= most_growth


def main(arguments: Sequence[str] | None = None) -> int:
    """Run it. Gives 1 where anything was wrong."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.load", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--server", choices=SERVERS, default="embedded")
    parser.add_argument("--reload-every", type=float, metavar="SECONDS", help="change the rules, and have them read")
    parser.add_argument("--top-seconds", type=float, default=TOP_S, help="for measuring the top rate")
    options = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as temporary, ExitStack() as running:
        folders = variants(Path(temporary)) if options.reload_every else [shipped.folder("rulesets")]
        choosers = [Chooser(folder) for folder in folders]
        questions = [
            asked(line, *(chooser.answer_json(line, explain="brief") for chooser in choosers))
            for line in lines(_SEED, _DIFFERENT)
        ]
        in_use = {"SPLICEWRIGHT_RULESETS": str(folders[0])} if options.reload_every else {}
        server = running.enter_context(SERVERS[options.server](**_ENVIRONMENT, **in_use))

        def look() -> int:
            return sum(map(proportional, family(server.process.pid)))

        run(server.port, questions, options.top_seconds, None, look=look)  # rules are read, memory is taken
        top = run(server.port, questions, options.top_seconds, None, look=look)
        rate = (len(top.seconds) - len(top.errors)) / top.lasted
        sys.stdout.write(f"{options.server}: top rate {rate:.0f} a second; now {SHARE * rate:.0f} a second\n")
        sys.stdout.flush()
        if options.reload_every:
            running.enter_context(reloading(server, folders, options.reload_every))
        found = run(server.port, questions, 60 * options.minutes, SHARE * rate, look=look)
        reloaded = server.count(RELOADED)
    found.errors += top.errors
    text, well = told(found, 1.0 if options.reload_every else MOST_GROWTH)
    if options.reload_every:
        text += f"rules reloaded {reloaded} times\n"
        well = well and reloaded > 0
    sys.stdout.write(text)
    return 0 if well else 1


if __name__ == "__main__":
    sys.exit(main())
