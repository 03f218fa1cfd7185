"""Several processes give the same bytes as one, and none is left behind."""

from __future__ import annotations

import io
import threading
from pathlib import Path
from typing import Any

import pytest

from splicewright.answering.answer_json import Body
from splicewright.batch import pool, shared_memory
from splicewright.batch.lines import LONGEST_LINE
from splicewright.batch.pool import answer_stream, default_workers
from tests.batch.asking import job


def answers(stream: Any, workers: int, **told: Any) -> tuple[int, bytes, int]:
    """Give in how many pieces they came, the answers, and how many are errors."""
    found = list(answer_stream(stream, **{"explain": "brief", **told}, workers=workers, size=5_000))
    return len(found), b"".join(one.text for one in found), sum(one.errors for one in found)


@pytest.mark.parametrize(("explain", "include"), [("brief", ()), ("full", ()), ("brief", ("rules",))])
def test_several_workers_give_the_bytes_that_one_gives(tmp_path: Path, explain: str, include: tuple[str, ...]) -> None:
    text = job(1_000)
    (tmp_path / "asked").write_bytes(text)
    told = {"explain": explain, "include": include}
    count, one, errors = answers(io.BytesIO(text), 1, **told)
    assert (b'"rules":' in one) is (explain == "full" or "rules" in include)
    assert (count > 10, errors) == (True, 250)
    assert answers(io.BytesIO(text), 2, **told)[1:] == (one, 250)
    with (tmp_path / "asked").open("rb") as file:
        assert answers(file, 2, **told)[1:] == (one, 250)


def test_workers_read_a_file_as_it_is_from_where_it_stands(tmp_path: Path) -> None:
    before, text = job(3), b"".join([job(40), b"x" * (2 * LONGEST_LINE), b"\n\n", job(30)])[:-1]
    (tmp_path / "asked").write_bytes(before + text)
    alone = answers(io.BytesIO(text), 1, first=4)
    with (tmp_path / "asked").open("rb") as file:
        for _ in range(3):
            file.readline()
        assert answers(file, 2, first=4)[1:] == alone[1:]
    assert b'"line":44,"errors":[{"pointer":"","says":"the line is longer than' in alone[1]
    assert b'"line":45,"errors":[{"pointer":"","says":"the line is empty' in alone[1]


def test_answers_that_no_slot_has_room_for_come_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = job(200)
    alone = answers(io.BytesIO(text), 1)
    monkeypatch.setattr(shared_memory, "SLOT_BYTES", 50_000)
    assert answers(io.BytesIO(text), 2) == alone


def test_processes_that_can_not_be_forked_have_all_by_pipes(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "asked").write_bytes(job(200))
    alone = answers(io.BytesIO(job(200)), 1)
    monkeypatch.setattr(pool.multiprocessing, "get_all_start_methods", lambda: ["spawn"])
    with (tmp_path / "asked").open("rb") as file:
        assert answers(file, 2) == alone


def test_what_one_process_settled_the_others_find() -> None:
    shared = (threading.Lock(), bytearray(600))
    one, other = (shared_memory.SharingCache(shared_memory.Settled(*shared)) for _ in range(2))
    known, shown = shared_memory.Known("options", b"{}", 2), ("brief",)
    body = Body("options", b"head", b"tail")
    one.remember(shown, b"a question", known)
    one.keep(b"key", body)
    assert other.by_bytes(shown, b"a question") is None
    assert (other.renewed(), other.renewed(), one.renewed()) == (True, False, False)
    assert (other.by_bytes(shown, b"a question"), other.by_question(b"key")) == (known, body)
    assert other.by_question(b"another") is None
    for at in range(9):  # until there is no room
        one.remember(shown, b"%d" % at, known)
    assert other.renewed()
    found = [other.by_bytes(shown, b"%d" % at) for at in range(9)]
    assert (found[0], found[8], one.by_bytes(shown, b"8")) == (known, None, known)


def test_stream_that_is_given_up_leaves_no_worker_behind() -> None:
    found = answer_stream(io.BytesIO(job(8_000)), explain="brief", workers=2)
    assert next(found).text.count(b"\n") > 1
    found.close()


def test_there_is_a_worker_for_each_processor() -> None:
    assert default_workers() >= 1
