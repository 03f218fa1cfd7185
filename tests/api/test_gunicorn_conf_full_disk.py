"""Several processes on a full temporary folder, or without their master: each answers, or ends."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.api.serving import Server, ask, choose, digest, workers
from tests.api.small import change, small_rulesets
from tests.api.test_gunicorn_conf import figures, made_keys, processes
from tests.full_disk import small_disk

pytestmark = pytest.mark.slow

COUNTED = "splicewright_requests_total [('method', 'POST'), ('path', '/v1/choices'), ('status', '200')]"


def until(holds: Callable[[], bool], patience: float = 30) -> None:
    deadline = time.monotonic() + patience
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def killed(server: Server) -> None:
    """Kill the processes of a service and wait until others answer."""
    ready = server.count("Worker ready")
    for process in processes(server)[-2:]:
        os.kill(process, signal.SIGKILL)
    server.has_logged("Worker ready", ready + 2)


def test_full_temporary_folder_costs_figures_and_reloads_but_no_answer(tmp_path: Path) -> None:
    rulesets = small_rulesets(tmp_path / "rulesets")
    path, bearer = made_keys(tmp_path)
    settings = {"SPLICEWRIGHT_RULESETS": str(rulesets), "SPLICEWRIGHT_KEYS": str(path)}
    with (
        small_disk(tmp_path, "3072k") as disk,
        workers(TMPDIR=str(disk.folder), **settings, **disk.environment) as server,
    ):
        before = digest(server.port, Authorization=bearer)
        disk.fill()
        for _ in range(2):
            killed(server)
            assert {choose(server.port, Authorization=bearer).status for _ in range(20)} == {200}
        assert not server.count("SIGBUS")
        server.logged("figures of this process are not told for now: .*No space left on device")
        assert figures(server, bearer).get(COUNTED, 0) <= 41  # those that are told
        change(rulesets)
        answer = ask(server.port, "POST", "/v1/reload", b"", Authorization=bearer)
        assert answer.status == 409
        assert b"No space left on device" in answer.body
        assert digest(server.port, Authorization=bearer) == before
        disk.free()
        assert ask(server.port, "POST", "/v1/reload", b"", Authorization=bearer).status == 200
        assert digest(server.port, Authorization=bearer) != before
        time.sleep(1)  # after which figures are told once more
        assert {choose(server.port, Authorization=bearer).status for _ in range(20)} == {200}
        assert figures(server, bearer)[COUNTED] >= 20
        assert not server.count("Traceback")


def test_files_of_figures_that_are_harmed_cost_figures_only(tmp_path: Path) -> None:
    path, bearer = made_keys(tmp_path)
    (tmp_path / "scratch").mkdir()
    with workers(TMPDIR=str(tmp_path / "scratch"), SPLICEWRIGHT_KEYS=str(path)) as server:
        assert choose(server.port, Authorization=bearer).status == 200
        for harm in (lambda file: os.truncate(file, 0), lambda file: file.write_bytes(b"\xff" * 100), os.unlink):
            for file in tmp_path.glob("scratch/*/figures/*.db"):
                harm(file)
            assert ask(server.port, "GET", "/metrics", Authorization=bearer).status == 200
            time.sleep(1)  # after which figures are told once more
            assert {choose(server.port, Authorization=bearer).status for _ in range(20)} == {200}
        until(lambda: figures(server, bearer).get(COUNTED, 0) == 61)
        assert server.count("Booting worker with pid: ") == 2


def test_processes_of_a_master_that_was_killed_end_and_leave_nothing(tmp_path: Path) -> None:
    (tmp_path / "scratch").mkdir()
    with workers(TMPDIR=str(tmp_path / "scratch")) as server:
        server.has_logged("Worker ready", 2)
        children = processes(server)
        assert list((tmp_path / "scratch").iterdir())
        server.process.kill()
        until(lambda: not any(Path(f"/proc/{child}").exists() for child in children), patience=15)
        until(lambda: not list((tmp_path / "scratch").iterdir()), patience=1)


def test_service_that_finds_no_room_to_begin_says_so(tmp_path: Path) -> None:
    with small_disk(tmp_path, "3072k") as disk:
        disk.fill()
        code = "import sys, tempfile; tempfile.tempdir = sys.argv.pop(1); from gunicorn.app.wsgiapp import run; run()"
        command = [sys.executable, "-c", code, str(disk.folder), "-c", "python:splicewright.api.gunicorn_conf"]
        around = {**os.environ, **disk.environment, "SPLICEWRIGHT_PORT": "0"}
        ended = subprocess.run(command, env=around, capture_output=True, text=True, check=False, timeout=60)
        assert ended.returncode == 1
        assert "No space left on device" in ended.stderr
        assert "Traceback" not in ended.stderr
        assert disk.names() == []
