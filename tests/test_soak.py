"""The soak itself, in small: it finds no wrong answer where there is none, and finds one where there is."""

from __future__ import annotations

import pytest

from tests.soak import Run, digest, main

pytestmark = pytest.mark.slow


def test_small_soak_with_threads_reloads_and_forks_gives_right_answers(capsys) -> None:
    assert main(["--questions", "300", "--different", "20", "--reloads", "3", "--threads", "8", "--workers", "2"]) in (
        0,
        1,
    )
    told = capsys.readouterr().out.splitlines()[-1]
    assert told.startswith("0 wrong answers")
    assert told.endswith("0 of 2 forked workers failed")


def test_wrong_answer_is_noticed() -> None:
    class Wrong:
        def answer_json(self, _question: bytes, *, explain: str) -> bytes:
            return explain.encode()

    run = Run(Wrong(), [b"q"], [frozenset([digest(b"right")])], 5)  # type: ignore[arg-type]
    run.ask(1)
    assert run.wrong == [b"q"] * 5
