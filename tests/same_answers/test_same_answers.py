"""Versions are told apart by their answers, whatever their rules' digests; what is asked depends on the seed only."""

from __future__ import annotations

import gzip
from pathlib import Path
from typing import Any

import orjson
import pytest

from tests.same_answers import answering
from tests.same_answers.__main__ import main
from tests.same_answers.drawing import drawn

pytestmark = pytest.mark.slow

QUESTIONS = 120


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("answers") / "answers.gz"
    assert main(["--write", str(path), "--questions", str(QUESTIONS), "--processes", "1"]) == 0
    return path


def lines(path: Path) -> list[list[bytes]]:
    return [line.split(b"\t") for line in gzip.decompress(path.read_bytes()).splitlines()]


def test_the_same_version_gives_the_same_answers_in_one_process_and_in_two(written, capsys):
    for processes in ("1", "2"):
        assert main(["--compare", str(written), "--processes", processes]) == 0
        assert f"{QUESTIONS} of {QUESTIONS} answers are the same" in capsys.readouterr().out


def test_one_word_of_one_kind_of_answer_is_a_difference_and_is_shown(written, monkeypatch, capsys):
    right = answering.WAYS["choose"]

    def otherwise(asked: Any) -> Any:
        answer = {**right(asked)}
        return {**answer, "cautions": answer["cautions"][:-1]} if answer["outcome"] == "options" else answer

    changed = sum(orjson.loads(line[3]).get("outcome") == "options" for line in lines(written) if line[1] == b"choose")
    assert changed
    monkeypatch.setattr(answering, "WAYS", {**answering.WAYS, "choose": otherwise})
    assert main(["--compare", str(written), "--processes", "1", "--show", "1"]) == 1
    told = capsys.readouterr().out
    assert f"{QUESTIONS - changed} of {QUESTIONS} answers are the same" in told
    assert f"{changed} choose; their parts, of the first 200: {changed} cautions" in told
    assert "\n  cautions:\n@@" in told


def test_other_digests_are_no_difference_and_a_fault_is_one(written, monkeypatch, capsys):
    right = answering.WAYS["box"]

    def renamed(asked: Any) -> Any:
        answer = right(asked)
        return {**answer, "joints": [{**joint, "answer": "sha256:0"} for joint in answer["joints"]]}

    monkeypatch.setattr(answering, "WAYS", {**answering.WAYS, "box": renamed})
    assert main(["--compare", str(written), "--processes", "1"]) == 0
    # a check, and not a job: of so few drawn, about two are jobs, and now and then none is
    monkeypatch.setattr(answering, "WAYS", {**answering.WAYS, "check": lambda _: 1 / 0})
    assert main(["--compare", str(written), "--processes", "1"]) == 1
    assert "ZeroDivisionError" in capsys.readouterr().out


def test_what_is_asked_is_drawn_alike_and_of_every_way():
    asked = [orjson.dumps(one) for one in drawn(400, 7)]
    assert asked == [orjson.dumps(one) for one in drawn(400, 7)]
    assert asked != [orjson.dumps(one) for one in drawn(400, 8)]
    assert {way for way, _ in drawn(400, 7)} == set(answering.WAYS)
    assert len(set(asked)) > 380
