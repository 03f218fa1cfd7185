"""Workers of a batch go with it: killed or told to end, none is left behind, and none outlives a signal."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

COMMAND = [sys.executable, "-m", "splicewright", "batch", "--quiet"]
LINES = b"".join(
    b'{"joint": {"conductors": [{"size": "14 AWG", "count": %d}]}}\n' % (2 + at % 3) for at in range(9_000)
)


@pytest.fixture
def scratch_folder(tmp_path: Path) -> Path:
    folder = tmp_path / "scratch"
    folder.mkdir()
    return folder


@contextmanager
def at_work(
    out: Path, scratch_folder: Path, *options: str, file: str = "-"
) -> Iterator[tuple[subprocess.Popen[bytes], set[int]]]:
    """A batch that has answered some and waits for more, in a group of its own, and the processes that it started."""
    started = subprocess.Popen(
        [*COMMAND, file, "--output", str(out), *options],
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        env={**os.environ, "TMPDIR": str(scratch_folder)},
    )
    try:
        assert started.stdin
        if file == "-":
            started.stdin.write(LINES)
            started.stdin.flush()
        until(lambda: out.exists() and out.stat().st_size > 0)
        yield started, set(descendants(started.pid))
    finally:
        started.kill()
        started.communicate()


def until_still(out: Path) -> None:
    """Wait until all is answered that was sent, and the batch waits for more."""
    size = -1
    while size != (size := out.stat().st_size):
        time.sleep(0.5)


def until(holds: Callable[[], bool], patience: float = 60) -> None:
    deadline = time.monotonic() + patience
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.02)


def descendants(parent: int) -> Iterator[int]:
    for task in Path(f"/proc/{parent}/task").glob("*/children"):
        for child in map(int, task.read_text().split()):
            yield child
            yield from descendants(child)


def run_on(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


@pytest.mark.parametrize("options", [("--workers", "3"), ("--workers", "2", "--cluster", "local")])
def test_workers_end_within_seconds_of_a_parent_that_was_killed(
    tmp_path: Path, scratch_folder: Path, options: tuple[str, ...]
) -> None:
    with at_work(tmp_path / "out.ndjson", scratch_folder, *options) as (parent, children):
        assert len(children) >= int(options[1])
        os.kill(parent.pid, signal.SIGKILL)
        until(lambda: not any(map(run_on, children)), patience=10)
    # The cluster's library keeps its own scratch space in order: the next to start clears what this one left.
    assert {path.name for path in scratch_folder.iterdir()} <= {"dask-scratch-space"}


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_signal_to_the_whole_group_ends_all_and_keeps_whole_lines(
    tmp_path: Path, scratch_folder: Path, number: signal.Signals
) -> None:
    out = tmp_path / "out.ndjson"
    with at_work(out, scratch_folder, "--workers", "3") as (parent, children):
        os.killpg(parent.pid, number)
        _, told = parent.communicate(LINES, timeout=30)
        assert parent.returncode == 128 + number
        until(lambda: not any(map(run_on, children)), patience=5)
    assert out.read_bytes().endswith(b"\n")
    assert b"whole lines are in" in told
    assert b"Traceback" not in told
    assert list(scratch_folder.iterdir()) == []


@pytest.mark.parametrize("workers", ["1", "3"])
def test_batch_that_waits_for_lines_heeds_sigterm_and_answers_no_half_line(
    tmp_path: Path, scratch_folder: Path, workers: str
) -> None:
    out = tmp_path / "out.ndjson"
    with at_work(out, scratch_folder, "--workers", workers) as (parent, children):
        assert parent.stdin
        parent.stdin.write(b'{"joint": {"conductors": [{"size":')
        parent.stdin.flush()
        until_still(out)
        parent.send_signal(signal.SIGTERM)
        assert parent.wait(10) == 128 + signal.SIGTERM
        until(lambda: not any(map(run_on, children)), patience=5)
    assert out.read_bytes().endswith(b"\n")
    assert b'"outcome":"error"' not in out.read_bytes()


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM])
def test_workers_that_read_a_file_end_with_their_parent(
    tmp_path: Path, scratch_folder: Path, number: signal.Signals
) -> None:
    (tmp_path / "asked.ndjson").write_bytes(LINES * 40)
    out = tmp_path / "out.ndjson"
    with at_work(out, scratch_folder, "--workers", "3", file=str(tmp_path / "asked.ndjson")) as (parent, children):
        assert len(children) == 3
        parent.send_signal(number)
        parent.wait(20)
        until(lambda: not any(map(run_on, children)), patience=5)
    assert list(scratch_folder.iterdir()) == []


def test_worker_heeds_sigterm_and_its_batch_tells_that_it_was_ended(tmp_path: Path, scratch_folder: Path) -> None:
    out = tmp_path / "out.ndjson"
    with at_work(out, scratch_folder, "--workers", "3") as (parent, children):
        os.kill(min(children), signal.SIGTERM)
        _, told = parent.communicate(LINES, timeout=30)
        assert parent.returncode == 2
        assert not any(map(run_on, children))
    assert out.read_bytes().endswith(b"\n")
    assert b"a worker process was ended from outside" in told
