"""Figures that the processes of one service share, in files that a full disk, or whoever cuts or removes one, spoils.

The metrics library maps its files into memory: where the disk has no room for a page, or a file was cut, the system
ends the process. Here the files are written to, by a thread and not while calls wait, so that this is an error, which
costs figures and nothing else.
"""

from __future__ import annotations

import atexit
import logging
import os
import struct
import sys
import threading
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from prometheus_client import values
from prometheus_client.mmap_dict import MmapedDict
from prometheus_client.multiprocess import MultiProcessCollector

_FLUSH_S, _ANEW_S = 0.1, 1.0
_HEAD = 8  # bytes before the first figure
_DAMAGED = (OSError, ValueError, LookupError, TypeError, AttributeError, RuntimeError, struct.error)
_lock = threading.Lock()
_log = logging.getLogger(__name__)


class _Written(bytearray):
    """What is to stand in a file. Each second it is written to a file opened anew, whatever became of the last one."""

    def __init__(self, path: Path, found: bytes) -> None:
        super().__init__(found)
        self._path, self._file, self._anew_at = path, -1, 0.0
        self._told, self._well = b"", True

    def flush(self) -> None:
        """Write what has changed. A disk that does not take it is told of once."""
        now, content = time.monotonic(), bytes(self)
        if now < self._anew_at and (content == self._told or not self._well):
            return
        try:
            if now >= self._anew_at:
                self._anew_at = now + _ANEW_S
                self.close()
                self._file = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_CLOEXEC, 0o600)
            os.pwrite(self._file, content, 0)
            self._told, self._well = content, True
        except OSError as error:
            if self._well:
                _log.warning("figures of this process are not told for now: %s: %s", self._path, error.strerror)
            self._well = False

    def close(self) -> None:
        """Let go of the file."""
        if self._file >= 0:
            os.close(self._file)
            self._file = -1


_files: list[_Written] = []


class WrittenDict(MmapedDict):
    """The figures of one kind of a process, in the library's own format. Not safe to share between threads."""

    def __init__(self, filename: str, read_mode: bool = False) -> None:
        if read_mode:
            super().__init__(filename, read_mode)  # type: ignore[no-untyped-call]
            return
        self._positions: dict[str, int] = {}
        found = self._of_an_earlier_process(Path(filename))
        written: Any = _Written(Path(filename), found)
        with _lock:
            _files.append(written)
        self._f = self._m = written
        self._fname, self._capacity, self._used = filename, sys.maxsize, len(found)
        written[0:4] = struct.pack("i", self._used)

    def _of_an_earlier_process(self, path: Path) -> bytes:
        """Give what one of the same id left, which goes on to count."""
        try:
            data = path.read_bytes()
            used = int(struct.unpack_from("i", data)[0])
            self._m: Any = data
            self._used = used
            self._positions = {key: at for key, _, _, at in self._read_all_values()}  # type: ignore[no-untyped-call]
        except _DAMAGED:
            return bytes(_HEAD)
        return data[:used] if used >= _HEAD else bytes(_HEAD)


class SharedFigures(MultiProcessCollector):
    """Adds up the figures of all processes; a file that is damaged, or not there any more, is left out."""

    def collect(self) -> Iterable[Any]:
        """Give them."""
        flush()
        files = list(map(str, Path(self._path).glob("*.db")))
        try:
            return _merged(files)
        except _DAMAGED:
            return _merged(list(filter(_readable, files)))


def _merged(files: list[str]) -> Iterable[Any]:
    found: Iterable[Any] = MultiProcessCollector.merge(files)  # type: ignore[no-untyped-call]
    return found


def _readable(file: str) -> bool:
    try:
        _merged([file])
    except _DAMAGED:
        _log.warning("figures are left out: %s is damaged", file)
        return False
    return True


def flush() -> None:
    """Write what has changed in the figures of this process."""
    with _lock:
        for file in _files:
            file.flush()


def install() -> None:
    """Have the library write its files so, from a thread. To be called before a figure is declared."""
    if values.MmapedDict is not WrittenDict:  # type: ignore[attr-defined]
        setattr(values, "MmapedDict", WrittenDict)  # noqa: B010 - no part of what it declares
        atexit.register(flush)
        threading.Thread(target=_flush_on, name="figures", daemon=True).start()


def _flush_on() -> None:
    while True:
        time.sleep(_FLUSH_S)
        flush()
