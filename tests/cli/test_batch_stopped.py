"""Long batches: whatever stops one, whole lines are kept, and the work goes on after them to the same bytes."""

from __future__ import annotations

import os
import pty
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import IO, Any

import orjson
import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main

LINES = 12_000  # more than the blocks that two workers are ahead by
COMMAND = [sys.executable, "-m", "splicewright", "batch"]


def question(at: int) -> bytes:
    sizes = ["14 AWG", "12 AWG", "10 AWG", "12"]
    joint = {"conductors": [{"size": sizes[at * 7 % 4], "count": 1 + at % 5}]}
    return orjson.dumps({"id": f"joint {at}", "joint": joint}) + b"\n"


QUESTIONS = b"".join(question(at) for at in range(LINES))
FEW = b"".join(question(at) for at in range(LINES // 4))  # where nothing is ahead of anything


@pytest.fixture
def asked(tmp_path: Path) -> Path:
    path = tmp_path / "asked.ndjson"
    path.write_bytes(QUESTIONS)
    return path


@pytest.fixture(scope="module")
def whole() -> bytes:
    return run("-", status=1, input=QUESTIONS).stdout_bytes


@pytest.fixture
def few(tmp_path: Path) -> Path:
    path = tmp_path / "few.ndjson"
    path.write_bytes(FEW)
    return path


@pytest.fixture(scope="module")
def whole_of_few() -> bytes:
    return run("-", status=1, input=FEW).stdout_bytes


def run(*options: str, status: int = 0, **more: Any) -> Result:
    """Run a batch in this process, for what its being a process of its own has no part in."""
    ended = CliRunner().invoke(main, ["batch", "--workers", "1", *options], **more)
    assert ended.exit_code == status, ended.stderr
    return ended


def run_apart(*options: str, status: int = 0, **more: Any) -> subprocess.CompletedProcess[bytes]:
    ended = subprocess.run([*COMMAND, *options], capture_output=True, check=False, timeout=120, **more)
    assert ended.returncode == status, ended.stderr.decode()
    return ended


def slowly(asked: Path, options: list[str]) -> tuple[subprocess.Popen[bytes], IO[bytes]]:
    """Start a batch that reads from a pipe, and give it the first half."""
    started = subprocess.Popen([*COMMAND, "-", *options], stdin=subprocess.PIPE, stderr=subprocess.PIPE)
    assert started.stdin
    started.stdin.write(asked.read_bytes()[: asked.stat().st_size // 2])
    started.stdin.flush()
    return started, started.stdin


def until_written(path: Path) -> None:
    deadline = time.monotonic() + 60
    while not (path.exists() and path.stat().st_size):
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_output_to_a_file_is_what_standard_output_gets(few: Path, whole_of_few: bytes, tmp_path: Path) -> None:
    run(str(few), "--output", str(tmp_path / "out.ndjson"), status=1)
    assert (tmp_path / "out.ndjson").read_bytes() == whole_of_few


@pytest.mark.parametrize("cut", [0, 1, 1_000, 300_001, -1])
def test_killed_batch_resumed_gives_the_bytes_of_one_never_killed(
    few: Path, whole_of_few: bytes, tmp_path: Path, cut: int
) -> None:
    out = tmp_path / "out.ndjson"
    out.write_bytes(whole_of_few[:cut])
    run(str(few), "--output", str(out), "--resume", status=1)
    assert out.read_bytes() == whole_of_few


@pytest.mark.slow
def test_batch_killed_at_once_is_resumed(asked: Path, whole: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    started, _ = slowly(asked, ["--output", str(out), "--workers", "1"])
    until_written(out)
    started.kill()
    started.communicate()
    assert 0 < out.stat().st_size < len(whole)
    run_apart(str(asked), "--output", str(out), "--resume", status=1)
    assert out.read_bytes() == whole


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("workers", ["1", "2"])
def test_interrupted_batch_leaves_whole_lines_and_tells_how_to_go_on(
    asked: Path, whole: bytes, tmp_path: Path, number: signal.Signals, workers: str
) -> None:
    out = tmp_path / "out.ndjson"
    started, feed = slowly(asked, ["--output", str(out), "--workers", workers])
    until_written(out)
    started.send_signal(number)
    _, told = started.communicate(asked.read_bytes()[asked.stat().st_size // 2 :], timeout=60)
    assert feed.closed
    assert started.returncode == 128 + number
    written = out.read_bytes()
    assert written.endswith(b"\n")
    assert whole.startswith(written)
    assert f"{len(written.splitlines()):,} whole lines are in {out}; go on by --resume" in told.decode()
    run_apart(str(asked), "--output", str(out), "--resume", status=1)
    assert out.read_bytes() == whole


@pytest.mark.slow
def test_full_disk_is_told_and_leaves_whole_lines(asked: Path, whole: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    room = 700_000

    def little_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))

    ended = run_apart(str(asked), "--output", str(out), status=2, preexec_fn=little_room)
    written = out.read_bytes()
    assert room - 10_000 < len(written) <= room
    assert whole.startswith(written)
    assert written.endswith(b"\n")
    assert "File too large" in ended.stderr.decode()
    assert f"{len(written.splitlines()):,} whole lines are in {out}; go on by --resume" in ended.stderr.decode()


@pytest.mark.slow
def test_reader_that_goes_away_is_told(asked: Path) -> None:
    reading, writing = os.pipe()
    started = subprocess.Popen([*COMMAND, str(asked)], stdout=writing, stderr=subprocess.PIPE)
    os.close(writing)
    os.read(reading, 1_000)
    os.close(reading)
    _, told = started.communicate(timeout=60)
    assert started.returncode == 1
    assert b"closed by its reader" in told
    assert b"Traceback" not in told


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda out, _asked: out.write_bytes(out.read_bytes().replace(b'"options"', b'"barred"')), "is not the answer"),
        (lambda _out, asked: asked.write_bytes(asked.read_bytes()[:1_000]), "only"),
        (
            lambda _out, asked: asked.write_bytes(asked.read_bytes().replace(b"joint 0", b"joint x")),
            "is not the answer",
        ),
    ],
)
def test_output_of_other_questions_or_rules_is_not_gone_on_with(
    few: Path, whole_of_few: bytes, tmp_path: Path, change: Any, says: str
) -> None:
    out = tmp_path / "out.ndjson"
    out.write_bytes(whole_of_few[:200_000])
    change(out, few)
    before = out.read_bytes()
    ended = run(str(few), "--output", str(out), "--resume", status=2)
    assert says in ended.stderr
    assert out.read_bytes() == before


def test_existing_output_is_not_written_over(few: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    out.write_text("mine\n")
    assert "exists already" in run(str(few), "--output", str(out), status=2).stderr
    assert "is the file that is read" in run(str(few), "--output", str(few), status=2).stderr
    assert out.read_text() == "mine\n"


def test_resume_without_a_file_is_wrong_usage(few: Path) -> None:
    assert "--output" in run(str(few), "--resume", status=2).stderr


@pytest.mark.slow
def test_bar_is_shown_on_a_terminal_where_it_takes_long_and_never_when_quiet(few: Path, asked: Path) -> None:
    assert "%" not in seen_on_a_terminal(few)
    asked.write_bytes(QUESTIONS * 8)
    assert "%" in seen_on_a_terminal(asked)
    assert seen_on_a_terminal(asked, "--quiet") == ""


def seen_on_a_terminal(asked: Path, *options: str) -> str:
    ours, theirs = pty.openpty()
    started = subprocess.Popen([*COMMAND, str(asked), *options], stdout=subprocess.DEVNULL, stderr=theirs)
    os.close(theirs)
    seen = b""
    try:
        while part := os.read(ours, 10_000):
            seen += part
    except OSError:
        pass  # how a terminal ends
    os.close(ours)
    started.wait(timeout=60)
    return seen.decode()
