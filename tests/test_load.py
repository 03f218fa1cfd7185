"""The load itself, in small: it finds nothing wrong where nothing is, and finds what is wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from splicewright.answering import Chooser
from tests.api.serving import BODY, serving
from tests.load import Asked, Found, asked, run, told

pytestmark = pytest.mark.slow


@pytest.fixture
def question() -> Asked:
    return asked(BODY, Chooser().answer_json(BODY, explain="brief"))


def test_right_answers_are_no_errors_and_a_wrong_one_is(question: Asked) -> None:
    with serving() as server:
        paced = run(server.port, [question], 0.5, 40, look=lambda: 1)
        wrong = run(server.port, [replace(question, right=frozenset([b"{}"]))], 0.2, 20, look=lambda: 1)
    assert len(paced.seconds) == 20
    assert not paced.errors
    assert len(wrong.errors) == len(wrong.seconds) > 0


def test_error_and_growth_are_told_and_not_well() -> None:
    times = [0.001, 0.002, 0.003]
    assert told(Found(times, [], [100, 100, 104]))[1]
    assert not told(Found(times, [], [100, 100, 106]))[1]
    assert not told(Found(times, ["no answer"], [100, 100, 100]))[1]
