"""Bodies made to cost as much as they can, each in a process of its own: within 5 s of processor and 300 MB."""

from __future__ import annotations

import pytest

from tests import child

MOST_S, MOST_MB = 5.0, 300
KEYS = ", ".join(f'"{letter}": 1' for letter in "qwrtypasdfghjklzxcvb")
ASKING = """
from splicewright.api.app import create_app

client = create_app().test_client()
client.post("/v1/choices", json={"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})

def asked(path, body):
    answer = client.post(path, data=eval(body).encode(), content_type="application/json")
    return answer.status_code, sum(map(len, answer.response)), peak_kb()
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
            spread(25_000, f'"joint": {{"conductors": [{{"@": 1, {KEYS}}}]}}, {KEYS}'),
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
        pytest.param(JOB, listed('{"a": 1}', 590_000, '{"joints": [', "]}"), 422, id="small-joints"),
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
    took = child.run(ASKING, "asked(*sys.argv[1:])", path, body)
    answered, length, peak = took.gave
    assert answered == status
    assert took.seconds < MOST_S
    assert peak / 1024 < MOST_MB
    assert length < 40_000_000
