"""Files of figures: written in the library's own format, and never the end of a process."""

from __future__ import annotations

import logging
from pathlib import Path
from unittest import mock

import pytest
from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.mmap_dict import MmapedDict, mmap_key

from splicewright.api import metrics_files
from splicewright.api.metrics_files import SharedFigures, WrittenDict

KEY = mmap_key("asked", "asked_total", ["path"], ["/v1"], "Asked.")  # type: ignore[no-untyped-call]


@pytest.fixture(autouse=True)
def always_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(metrics_files, "_ANEW_S", 0.0)
    monkeypatch.setattr(metrics_files, "_files", [])


def read(path: Path) -> dict[str, float]:
    return {key: value for key, value, *_ in MmapedDict.read_all_values_from_file(str(path))}  # type: ignore[no-untyped-call]


def write(figures: WrittenDict, key: str, value: float) -> None:
    figures.write_value(key, value, 0.0)  # type: ignore[no-untyped-call]
    metrics_files.flush()


@pytest.mark.parametrize("anew_s", [0.0, 1_000.0])
def test_library_reads_what_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, anew_s: float) -> None:
    monkeypatch.setattr(metrics_files, "_ANEW_S", anew_s)
    figures = WrittenDict(str(tmp_path / "counter_1.db"))
    many = {KEY.replace("/v1", f"/v{at}"): float(at) for at in range(300)}
    for key in many:
        write(figures, key, -1)
    for key, value in many.items():
        figures.write_value(key, value, 0.0)  # type: ignore[no-untyped-call]
    metrics_files.flush()
    assert read(tmp_path / "counter_1.db") == many
    figures.close()  # type: ignore[no-untyped-call]


def test_process_of_the_same_id_goes_on_to_count(tmp_path: Path) -> None:
    path = tmp_path / "counter_1.db"
    by_library = MmapedDict(str(path))  # type: ignore[no-untyped-call]
    by_library.write_value(KEY, 7.0, 0.0)  # type: ignore[no-untyped-call]
    by_library.close()  # type: ignore[no-untyped-call]
    figures = WrittenDict(str(path))
    assert figures.read_value(KEY)[0] == 7  # type: ignore[no-untyped-call]
    write(figures, KEY, 8)
    assert read(path) == {KEY: 8}
    path.write_bytes(b"\xff" * 20)
    write(WrittenDict(str(path)), KEY, 1)
    assert read(path) == {KEY: 1}


def test_disk_without_room_is_told_once_and_made_good_later(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    figures = WrittenDict(str(tmp_path / "counter_1.db"))
    write(figures, KEY, 1)
    with mock.patch("os.pwrite", side_effect=OSError(28, "No space left on device")):
        for value in range(2, 5):
            write(figures, KEY, value)
    assert [record.levelno for record in caplog.records] == [logging.WARNING]
    write(figures, KEY, 5)
    assert read(tmp_path / "counter_1.db") == {KEY: 5}


def test_damaged_file_is_left_out_of_the_figures(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    for process in (1, 2):
        write(WrittenDict(str(tmp_path / f"counter_{process}.db")), KEY, process)
    (tmp_path / "counter_3.db").write_bytes(b"\x40\0\0\0\0\0\0\0\x05\0\0\0")
    (tmp_path / "counter_4.db").write_bytes(b"")
    registry = CollectorRegistry()
    SharedFigures(registry, str(tmp_path))  # type: ignore[no-untyped-call]
    assert 'asked_total{path="/v1"} 3.0' in generate_latest(registry).decode()
    assert "counter_3.db is damaged" in caplog.text


def test_files_are_read_as_the_library_reads_them(tmp_path: Path) -> None:
    write(WrittenDict(str(tmp_path / "counter_1.db")), KEY, 1)
    (tmp_path / "counter_1.db").write_bytes((tmp_path / "counter_1.db").read_bytes().ljust(4_096, b"\0"))
    figures = WrittenDict(str(tmp_path / "counter_1.db"), read_mode=True)
    assert [value for _, value, _ in figures.read_all_values()] == [1]  # type: ignore[no-untyped-call]
    figures.close()  # type: ignore[no-untyped-call]
