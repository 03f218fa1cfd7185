"""Files are written whole or left as they were, with nothing beside them."""

from __future__ import annotations

import os
import stat
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from splicewright.whole_file import WholeFile, write_files, write_whole


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_new_file_has_the_permissions_that_any_has(tmp_path: Path) -> None:
    write_whole(tmp_path / "a", b"whole", new=True)
    (tmp_path / "b").touch()
    assert (tmp_path / "a").read_bytes() == b"whole"
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


def test_file_replaced_keeps_its_permissions_and_a_link_stays_one(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"before")
    (tmp_path / "a").chmod(0o640)
    (tmp_path / "link").symlink_to("a")
    write_whole(tmp_path / "link", b"after")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "a").read_bytes() == b"after"
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o640
    assert names(tmp_path) == ["a", "link"]


def test_what_is_there_is_not_replaced_by_a_new_one(tmp_path: Path) -> None:
    (tmp_path / "nowhere").symlink_to("no file")
    with pytest.raises(FileExistsError, match="nowhere"):
        write_whole(tmp_path / "nowhere", b"", new=True)
    assert names(tmp_path) == ["nowhere"]


def test_what_was_not_committed_leaves_what_was_there(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"before")
    with WholeFile(path) as file:
        file.write(b"half")
    assert path.read_bytes() == b"before"
    assert names(tmp_path) == ["a"]


def test_fault_names_the_file_that_was_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(FileNotFoundError) as missing:
        write_whole(tmp_path / "no" / "a", b"")
    assert missing.value.filename == str(tmp_path / "no" / "a")

    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted", "beside")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(PermissionError) as refused:
        write_whole(tmp_path / "a", b"whole")
    assert refused.value.filename == str(tmp_path / "a")
    assert names(tmp_path) == []


def test_of_several_files_all_are_written_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_bytes(b"before")
    monkeypatch.setattr(WholeFile, "flush", raise_at(tmp_path / "b"))
    with pytest.raises(IsADirectoryError):
        write_files(tmp_path, {"a": b"after", "b": b"after", "c": b"after"})
    assert (tmp_path / "a").read_bytes() == b"before"
    assert names(tmp_path) == ["a"]
    monkeypatch.undo()
    write_files(tmp_path, {"a": b"after", "b": b"after"})
    assert names(tmp_path) == ["a", "b"]
    assert (tmp_path / "a").read_bytes() == b"after"


def test_each_of_several_files_is_brought_to_the_disk_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced, fsync = [], os.fsync
    monkeypatch.setattr(os, "fsync", lambda number: synced.append(fsync(number)))
    write_files(tmp_path, {"a": b"one", "b": b"other"})
    assert len(synced) == 2


def test_of_several_files_those_before_one_that_can_not_be_placed_are_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace

    def refuse(file: Path, target: Path) -> None:
        if target.name == "b":
            raise PermissionError(1, "Operation not permitted", str(file))
        replace(file, target)

    monkeypatch.setattr(Path, "replace", refuse)
    for name in "abc":
        (tmp_path / name).write_bytes(b"before")
    with pytest.raises(PermissionError):
        write_files(tmp_path, dict.fromkeys("abc", b"after"))
    assert [(tmp_path / name).read_bytes() for name in names(tmp_path)] == [b"after", b"before", b"before"]
    assert names(tmp_path) == ["a", "b", "c"]


def raise_at(path: Path) -> Callable[[WholeFile], None]:
    flush = WholeFile.flush

    def flushed(file: WholeFile) -> None:
        if file.path == path:
            raise IsADirectoryError(21, "Is a directory", str(path))
        flush(file)

    return flushed


def test_pipe_is_written_to_as_it_is(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    taken: list[bytes] = []
    reader = threading.Thread(target=lambda: taken.append((tmp_path / "pipe").read_bytes()))
    reader.start()
    write_whole(tmp_path / "pipe", b"whole")
    reader.join()
    assert taken == [b"whole"]
    assert names(tmp_path) == ["pipe"]
    with pytest.raises(OSError, match="full"):
        write_whole(Path("/dev/full"), b"x" * 100_000)
