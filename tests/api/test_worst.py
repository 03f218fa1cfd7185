"""The calls that cost most of those that were found, each in a process of its own: within 5 s and 300 MB."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from tests.api.worst import KINDS, MOST_MB, MOST_S, Asker, kept, search

MOST_OF_A_LINE_S = 1.0
ANSWERED = {"look-up": (200, 404, 422)}


@pytest.fixture(scope="module")
def asker() -> Iterator[Asker]:
    with Asker.started() as found:
        yield found


def test_every_kind_of_call_has_its_worst_kept() -> None:
    assert list(kept()) == list(KINDS)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_worst_call_costs_no_more_than_is_allowed(kind: str, asker: Asker) -> None:
    plan = kept()[kind]
    cost = asker.cost(KINDS[kind][1](plan))
    assert cost.status in ANSWERED.get(kind, (200,))
    assert cost.seconds < (MOST_OF_A_LINE_S * plan["lines"] if kind == "lines" else MOST_S)
    assert cost.megabytes < MOST_MB


@pytest.mark.slow
def test_search_gives_what_costs_no_less_than_where_it_began(asker: Asker, capsys: pytest.CaptureFixture[str]) -> None:
    begin = {"path": "/problems", "text": "a", "length": 1}
    plan, cost = search("look-up", asker, 0.5, random.Random(1), begin)
    assert plan != begin
    assert cost.share >= asker.cost(KINDS["look-up"][1](begin)).share / 2
    assert "plans" in capsys.readouterr().out
