"""A small disk that can be filled or made read-only under a process: mounted, or a library that stands before C's own.

Tests that ask for one are passed over only where neither can be had, and fail even there with SPLICEWRIGHT_FAULT_TESTS.
"""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.chosen import CHOSEN

_SHIM = Path(__file__).with_name("full_disk.c")


@dataclass(frozen=True)
class Disk:
    """A folder on a disk of its own, for processes that are started with `environment`."""

    folder: Path
    environment: Mapping[str, str] = field(default_factory=dict)
    _mark: Path | None = None

    def fill(self, *, spare: int = 0) -> None:
        """Leave no room, or `spare` bytes where the disk is a real one."""
        if self._mark:
            self._mark.write_text(str(errno.ENOSPC))
            return
        with (self.folder / "ballast").open("ab", buffering=0) as ballast, suppress(OSError):
            while True:
                ballast.write(bytes(4_096))
        if spare:
            os.truncate(self.folder / "ballast", (self.folder / "ballast").stat().st_size - spare)

    def settle(self) -> None:
        """Wait until nothing takes room but what stands in the folder: of a file that was removed it is freed later."""
        until = time.monotonic() + 20
        while self._mark is None and self._hidden() > 0:
            if time.monotonic() > until:
                raise AssertionError("a file that was removed is still held")
            time.sleep(0.02)

    def _hidden(self) -> int:
        disk = os.statvfs(self.folder)
        named = sum(path.stat().st_blocks * 512 for path in self.folder.rglob("*"))
        return (disk.f_blocks - disk.f_bfree) * disk.f_frsize - named

    def free(self) -> None:
        """Give room again."""
        if self._mark:
            self._mark.unlink()
        else:
            (self.folder / "ballast").unlink()

    def lock(self) -> None:
        """Let nothing be written any more."""
        if self._mark:
            self._mark.write_text(str(errno.EROFS))
        else:
            _mount("-o", "remount,ro", str(self.folder))

    def names(self) -> list[str]:
        """Give what stands in the folder, but for what fills it."""
        return sorted(path.name for path in self.folder.iterdir() if path.name != "ballast")


@contextmanager
def small_disk(folder: Path, size: str = "256k") -> Iterator[Disk]:
    """Give a disk of that size at a folder below `folder`."""
    there = folder / "disk"
    there.mkdir()
    if not os.environ.get("FULL_DISK_SHIM") and _mount("-t", "tmpfs", "-o", f"size={size}", "none", str(there)):
        try:
            yield Disk(there)
        finally:
            subprocess.run(["umount", "--lazy", str(there)], check=True)
        return
    if not shutil.which("gcc"):
        told = "no disk can be mounted here, and there is no compiler for what would stand for one"
        (pytest.fail if "SPLICEWRIGHT_FAULT_TESTS" in CHOSEN else pytest.skip)(told)
    library, mark = folder / "full_disk.so", folder / "full_disk.mark"
    subprocess.run(["gcc", "-shared", "-fPIC", "-o", str(library), str(_SHIM), "-ldl"], check=True)
    yield Disk(there, {"LD_PRELOAD": str(library), "FULL_DISK": str(there), "FULL_DISK_MARK": str(mark)}, mark)


def _mount(*options: str) -> bool:
    found = shutil.which("mount")
    return bool(found) and subprocess.run([str(found), *options], capture_output=True, check=False).returncode == 0
