"""Batches packed by gzip: the same lines in and out, and whole ones kept whatever stops the writing."""

from __future__ import annotations

import errno
import gzip
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from splicewright.cli import gzip_lines
from splicewright.cli.gzip_lines import PackedLines
from splicewright.cli.main import main
from tests.batch.asking import job

JOB = job(3_000)


def run(*options: str, status: int = 1) -> Result:
    ended = CliRunner().invoke(main, ["batch", "--workers", "1", *options])
    assert ended.exit_code == status, ended.stderr
    return ended


@pytest.fixture
def asked(tmp_path: Path) -> Path:
    path = tmp_path / "asked.ndjson.gz"
    path.write_bytes(gzip.compress(JOB))
    return path


@pytest.fixture
def whole(tmp_path: Path) -> bytes:
    plain = tmp_path / "asked.ndjson"
    plain.write_bytes(JOB)
    return run(str(plain)).stdout_bytes


@pytest.mark.parametrize("workers", ["1", "2"])
def test_packed_lines_are_answered_like_plain_ones(asked: Path, whole: bytes, workers: str) -> None:
    assert run(str(asked), "--workers", workers).stdout_bytes == whole


def test_answers_are_packed_and_unpacked_by_any_program(asked: Path, whole: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson.gz"
    told = run(str(asked), "--output", str(out))
    assert gzip.decompress(out.read_bytes()) == whole
    assert "3,000 lines: 2,250 options, 750 error" in told.stderr
    assert len(out.read_bytes()) < len(whole) / 5


@pytest.mark.parametrize("cut", [0, 1, 60_000, -1])
def test_packed_answers_that_were_cut_off_are_gone_on_with(
    asked: Path, whole: bytes, tmp_path: Path, cut: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gzip_lines, "_CHUNK", 5_000)
    out = tmp_path / "out.ndjson.gz"
    file = PackedLines(out)
    for line in whole.splitlines(keepends=True)[:2_000]:
        file.write(line, 1)
    file.close()
    out.write_bytes(out.read_bytes()[:cut])
    run(str(asked), "--output", str(out), "--resume")
    assert gzip.decompress(out.read_bytes()) == whole


def test_file_that_is_no_whole_gzip_is_told(asked: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.gz"
    wrong.write_bytes(JOB)
    assert f"{wrong}: is no whole gzip file" in run(str(wrong), status=2).stderr
    asked.write_bytes(asked.read_bytes()[:-20])
    assert f"{asked}: is no whole gzip file" in run(str(asked), status=2).stderr


class FullDisk:
    """A path to a file that takes one write whole, and three bytes of the next."""

    def __init__(self, path: Path) -> None:
        self._path, self._writes = path, 0

    def open(self, *options: Any, **more: Any) -> Any:
        self._file = self._path.open(*options, **more)
        return self

    def write(self, text: memoryview) -> int:
        self._writes += 1
        self._file.write(text if self._writes == 1 else text[:3])
        if self._writes > 1:
            raise OSError(errno.ENOSPC, "No space left on device")
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


def test_packed_output_is_not_half_written(tmp_path: Path) -> None:
    path: Any = FullDisk(tmp_path / "out.gz")
    file = PackedLines(path)
    file.write(b"{}\n", 1)
    with pytest.raises(OSError, match="No space"):
        file.write(b"{}\n" * 9, 9)
    file.close()
    assert gzip.decompress((tmp_path / "out.gz").read_bytes()) == b"{}\n"
    assert file.lines == 1
