"""A whole job, by the clock, rules read anew."""

from __future__ import annotations

import sys
import time

import orjson

from splicewright import plan_job
from tests.bench.sides.timed import tell

if __name__ == "__main__":
    asked = orjson.loads(sys.stdin.buffer.read())
    started = time.perf_counter_ns()
    answer = plan_job(asked)
    tell([time.perf_counter_ns() - started], counts=answer["counts"])
