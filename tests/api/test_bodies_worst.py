"""Bodies made to cost as much as they can, each in a process of its own: within 5 s of processor and 300 MB."""

from __future__ import annotations

import subprocess
import sys

import pytest

MOST_S, MOST_MB = 5.0, 300
KEYS = ", ".join(f'"{letter}": 1' for letter in "qwrtypasdfghjklzxcvb")
# The peak that getrusage tells begins at that of the process which forked this one; the kernel's own status does not.
CHILD = """
import re, sys, time
from pathlib import Path
from splicewright.api.app import create_app

path, body = sys.argv[1], eval(sys.argv[2])
client = create_app().test_client()
client.post("/v1/choices", json={"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})
began = time.process_time()
answer = client.post(path, data=body.encode(), content_type="application/json")
length = sum(map(len, answer.response))
seconds = time.process_time() - began
megabytes = int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) / 1024
print(answer.status_code, len(body), length, seconds, megabytes)
"""
JOB, CHOICE, BATCH = "/v1/jobs", "/v1/choices", "/v1/batches"


def listed(one: str, count: int, before: str, after: str) -> str:
    """Write a body of so many alike as an expression, which fits a command line."""
    return f"{before!r} + ', '.join([{one!r}.replace('@', str(at)) for at in range({count})]) + {after!r}"


def spread(count: int, more: str) -> str:
    return listed(f'{{"i@": 1, {more}}}', count, '{"joints": [', "]}")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("path", "body", "status"),
    [
        pytest.param(JOB, spread(49_000, KEYS), 422, id="joints-with-many-unknown-keys"),
        pytest.param(
            JOB,
            spread(28_000, f'"joint": {{"conductors": [{{"@": 1, {KEYS}}}]}}, {KEYS}'),
            422,
            id="joints-and-conductors-with-many-unknown-keys",
        ),
        pytest.param(
            JOB,
            listed(f'{{"quantity": 0, "id": 1, {KEYS}}}', 49_000, '{"joints": [', "]}"),
            422,
            id="the-same-bad-joint-many-times",
        ),
        pytest.param(JOB, listed(f'{{"id": "a@", {KEYS}}}', 49_000, '{"joints": [', "]}"), 200, id="bad-alike"),
        pytest.param(JOB, listed("{}", 4_900_000, '{"joints": [', "]}"), 413, id="empty-joints"),
        pytest.param(JOB, listed('{"a": 1}', 700_000, '{"joints": [', "]}"), 422, id="small-joints"),
        pytest.param(JOB, listed("1", 6_000_000, '{"joints": [', '], "joints": []}'), 413, id="a-key-twice"),
        pytest.param(JOB, listed('"k@": 1', 700_000, "{", "}"), 422, id="keys"),
        pytest.param(BATCH, listed("{}", 240_000, "[", "]"), 422, id="empty-questions"),
        pytest.param(BATCH, listed("{}", 24_000, "[", "]"), 200, id="as-many-empty-questions-as-may-be"),
        pytest.param(CHOICE, listed("{}", 240_000, '{"joint": {"conductors": [', "]}}"), 422, id="empty-conductors"),
        pytest.param(
            CHOICE,
            listed('"q"', 190_000, '{"joint": {"conductors": [{"size": "12 AWG", "insulation": [', "]}]}}"),
            422,
            id="unknown-words",
        ),
    ],
)
def test_worst_bodies_cost_no_more_than_is_allowed(path: str, body: str, status: int) -> None:
    command = [sys.executable, "-c", CHILD, path, body]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=100, check=False)
    assert ran.returncode == 0, ran.stderr
    answered, _, length, seconds, megabytes = ran.stdout.split()
    assert int(answered) == status
    assert float(seconds) < MOST_S
    assert float(megabytes) < MOST_MB
    assert int(length) < 40_000_000
