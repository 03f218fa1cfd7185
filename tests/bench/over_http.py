"""Answers over HTTP, against a view on the same server that parses JSON and returns a constant of the same size."""

from __future__ import annotations

import re
import signal
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import orjson

from tests.bench.processes import CHECKOUT, bench_module
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row

REPEATED_QUESTION = orjson.dumps(
    {"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "14 AWG"}]}, "place": {"exposure": "damp"}}
)
REPEATED, COLD = 80, 40  # percent of the rate of the view that returns a constant
CONNECTIONS = 4
_SEED = 6
_CHOICES = "/v1/choices?explain=brief"


@contextmanager
def serving() -> Iterator[int]:
    """Run the server of the bench and give its port."""
    with subprocess.Popen(bench_module("server"), cwd=CHECKOUT, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stderr
            found = re.search(r"http://127\.0\.0\.1:(\d+)", process.stderr.readline())
            if not found:
                raise ValueError(process.stderr.read())
            yield int(found[1])
        finally:
            process.send_signal(signal.SIGTERM)


def rate(port: int, path: str, bodies: Sequence[bytes], count: int) -> float:
    """Give how many requests a second are answered."""
    command = bench_module("client", str(port), path, str(count), str(CONNECTIONS))
    sent = b"\n".join(bodies)
    done = subprocess.run(command, cwd=CHECKOUT, input=sent, stdout=subprocess.PIPE, check=True)
    return count / float(done.stdout)


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the three views in turn. Each cold question is asked once."""
    cold = sizes.requests // 4
    bodies = lines(_SEED, cold * (sizes.runs + 1))
    constants, repeated, colds = [], [], []
    with serving() as port:
        for run in range(sizes.runs + 1):
            some = bodies[run * cold : (run + 1) * cold]
            found = (
                rate(port, "/constant", [REPEATED_QUESTION], sizes.requests),
                rate(port, _CHOICES, [REPEATED_QUESTION], sizes.requests),
                rate(port, _CHOICES, some, cold),
            )
            if run:
                for values, value in zip((constants, repeated, colds), found, strict=True):
                    values.append(value)
    yield Row("HTTP, a view that parses JSON and returns a constant", constants, "/s")
    for name, values, share in (("repeated", repeated, REPEATED), ("cold", colds, COLD)):
        yield Row(f"HTTP, brief, {name} question", values, "/s")
        shares = [100 * value / constant for value, constant in zip(values, constants, strict=True)]
        yield Row(
            f"HTTP, {name} question: share of that view's rate, run by run", shares, "%", Figure(share, most=False)
        )
