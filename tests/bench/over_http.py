"""Answers over HTTP, against a view on the same server that parses JSON and returns a constant of the same size."""

from __future__ import annotations

import re
import signal
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import orjson

from tests.bench.proc import processor_seconds
from tests.bench.processes import CHECKOUT, bench_module
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row

REPEATED_QUESTION = orjson.dumps(
    {"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "14 AWG"}]}, "place": {"exposure": "damp"}}
)
LEAST_SHARE = {"repeated": 80, "cold": 40}  # percent of the rate of the view that returns a constant
CONNECTIONS = 8  # as many as the server has threads
_SEED = 6
_CHOICES = "/v1/choices?explain=brief"


@dataclass(frozen=True)
class Server:
    """The server of the bench, running."""

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
def serving() -> Iterator[Server]:
    """Run the server of the bench."""
    with subprocess.Popen(bench_module("server"), cwd=CHECKOUT, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stderr
            found = re.search(r"http://127\.0\.0\.1:(\d+)", process.stderr.readline())
            if not found:
                raise ValueError(process.stderr.read())
            yield Server(process.pid, int(found[1]))
        finally:
            process.send_signal(signal.SIGTERM)


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the three views in turn. Each cold question is asked once."""
    cold = sizes.requests // 4
    bodies = lines(_SEED, cold * (sizes.exchanges + 1))
    found: dict[str, list[Exchange]] = {"constant": [], "repeated": [], "cold": []}
    with serving() as server:
        for run in range(sizes.exchanges + 1):
            some = bodies[run * cold : (run + 1) * cold]
            exchanges = {
                "constant": server.exchange("/constant", [REPEATED_QUESTION], sizes.requests),
                "repeated": server.exchange(_CHOICES, [REPEATED_QUESTION], sizes.requests),
                "cold": server.exchange(_CHOICES, some, cold),
            }
            if run:  # the first reads the rules
                for name, one in exchanges.items():
                    found[name].append(one)
    yield from _told(found)


def _told(found: dict[str, list[Exchange]]) -> Iterator[Row]:
    constants = found["constant"]
    yield Row("HTTP, a view that parses JSON and returns a constant", [one.rate for one in constants], "/s")
    of_constant = Row("HTTP, that view: processor time of the server", [one.processor for one in constants], "µs")
    yield of_constant
    for name, least in LEAST_SHARE.items():
        yield Row(f"HTTP, brief, {name} question", [one.rate for one in found[name]], "/s")
        pairs = zip(found[name], constants, strict=True)
        shares = [100 * one.rate / constant.rate for one, constant in pairs]
        yield Row(f"HTTP, {name}: share of that view's rate, run by run", shares, "%", Figure(least, most=False))
        processor = [one.processor for one in found[name]]
        yield Row(f"HTTP, {name}: processor time of the server", processor, "µs", against=("that view", of_constant))
