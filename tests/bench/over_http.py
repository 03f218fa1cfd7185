"""Answers over HTTP, against views that parse JSON and return a constant of the same size: a plain one, and ours.

The plain one is a Flask application of its own by the stock server; ours has all that is around every answer of the
service (ids, logs, counts, limits), and its server.
"""

from __future__ import annotations

import re
import signal
import subprocess
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

import orjson

from splicewright import choose
from tests.bench.proc import processor_seconds
from tests.bench.processes import CHECKOUT, bench_module
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row

REPEATED_QUESTION = orjson.dumps(
    {"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "14 AWG"}]}, "place": {"exposure": "damp"}}
)
LEAST_SHARE = {"repeated": 80, "cold": 40}  # percent of the rate of the view that returns a constant
CONNECTIONS = 4  # as many as either server has threads
_SEED = 6
_PLAIN, _OURS = "the plain view", "our view"
_VIEWS = {
    _PLAIN: "a plain Flask view, stock server, that parses JSON and returns a constant",
    _OURS: "a view in our application, by our server, that parses JSON and returns a constant",
}
_CHOICES = "/v1/choices?explain=brief"


@dataclass(frozen=True)
class Server:
    """A server of the bench, running."""

    process: int
    port: int

    def exchange(self, path: str, bodies: Sequence[bytes], count: int) -> Exchange:
        """Have so many requests answered, the bodies over and over."""
        command = bench_module("client", str(self.port), path, str(count), str(CONNECTIONS))
        before = processor_seconds(self.process)
        done = subprocess.run(command, cwd=CHECKOUT, input=b"\n".join(bodies), stdout=subprocess.PIPE, check=True)
        return Exchange(count / float(done.stdout), 1e6 * (processor_seconds(self.process) - before) / count)


@dataclass(frozen=True)
class Exchange:
    """What came of many requests."""

    rate: float  # requests a second
    processor: float  # µs of the server's processor time a request


@contextmanager
def serving(module: str, given: bytes = b"") -> Iterator[Server]:
    """Run a server of the bench, which reads what it is given."""
    command = bench_module(module)
    pipes = {"stdin": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, cwd=CHECKOUT, **pipes) as process:
        try:
            assert process.stdin
            assert process.stderr
            process.stdin.write(given)
            process.stdin.close()
            found = re.search(rb"http://127\.0\.0\.1:(\d+)", process.stderr.readline())
            if not found:
                raise ValueError(process.stderr.read().decode(errors="replace"))
            # A server that says more than a pipe holds would wait for ever to be read.
            threading.Thread(target=process.stderr.read, daemon=True).start()
            yield Server(process.pid, int(found[1]))
        finally:
            process.send_signal(signal.SIGTERM)


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the four views in turn. Each cold question is asked once."""
    cold = sizes.requests // 4
    bodies = lines(_SEED, cold * (sizes.exchanges + 1))
    found: dict[str, list[Exchange]] = {name: [] for name in (_PLAIN, _OURS, *LEAST_SHARE)}
    constant = orjson.dumps(choose({**orjson.loads(REPEATED_QUESTION), "explain": "brief"}))
    with serving("plain_server", constant) as plain, serving("server") as ours:
        for run in range(sizes.exchanges + 1):
            some = bodies[run * cold : (run + 1) * cold]
            exchanges = {
                _PLAIN: plain.exchange("/constant", [REPEATED_QUESTION], sizes.requests),
                _OURS: ours.exchange("/constant", [REPEATED_QUESTION], sizes.requests),
                "repeated": ours.exchange(_CHOICES, [REPEATED_QUESTION], sizes.requests),
                "cold": ours.exchange(_CHOICES, some, cold),
            }
            if run:  # the first reads the rules
                for name, exchange in exchanges.items():
                    found[name].append(exchange)
    yield from _told(found)


def _told(found: dict[str, list[Exchange]]) -> Iterator[Row]:
    for name, says in _VIEWS.items():
        yield Row(f"HTTP, {says}", [one.rate for one in found[name]], "/s")
    processor = {
        name: Row(f"HTTP, {name}: processor time of the server", [one.processor for one in some], "µs")
        for name, some in found.items()
    }
    yield from (processor[name] for name in _VIEWS)
    for name, least in LEAST_SHARE.items():
        yield Row(f"HTTP, brief, {name} question", [one.rate for one in found[name]], "/s")
        for view in _VIEWS:
            pairs = zip(found[name], found[view], strict=True)
            shares = [100 * one.rate / constant.rate for one, constant in pairs]
            figure = Figure(least, most=False) if view == _OURS else None
            yield Row(f"HTTP, {name}: share of the rate of {view}, run by run", shares, "%", figure)
        yield replace(processor[name], against=(_PLAIN, processor[_PLAIN]))
