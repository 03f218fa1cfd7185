"""Memory and processor time of processes, as the system counts them. Linux only."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path

_EVERY_S = 0.05
_PROC = Path("/proc")


def resident(process: int) -> int:
    """Give the bytes of memory that a process has in use, shared ones included; 0 where it is gone."""
    return _kilobytes(process, "status", "VmRSS:") * 1024


def proportional(process: int) -> int:
    """Give the bytes that a process has in use, each shared one divided among those that share it."""
    return _kilobytes(process, "smaps_rollup", "Pss:") * 1024


def _kilobytes(process: int, file: str, name: str) -> int:
    try:
        lines = (_PROC / str(process) / file).read_text(encoding="ascii").splitlines()
    except (OSError, ValueError):
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith(name)), 0)


def processor_seconds(process: int) -> float:
    """Give the processor seconds that a process has used, those of its children left out."""
    after_name = (
        (_PROC / str(process) / "stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
    )
    return (int(after_name[11]) + int(after_name[12])) / os.sysconf("SC_CLK_TCK")


def family(process: int) -> Iterator[int]:
    """Give a process and all that descend from it."""
    children: dict[int, list[int]] = {}
    for path in _PROC.glob("[0-9]*/stat"):
        try:
            after_name = path.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
        except OSError:
            continue
        children.setdefault(int(after_name[1]), []).append(int(path.parent.name))
    waiting = [process]
    while waiting:
        one = waiting.pop()
        yield one
        waiting += children.get(one, [])


class Peak(threading.Thread):
    """Watches a process and all that it starts until it is stopped, and keeps the most that they had together."""

    def __init__(self, process: int) -> None:
        super().__init__(daemon=True)
        self.resident = 0
        self.proportional = 0
        self._process = process
        self._stopped = threading.Event()

    def run(self) -> None:
        while not self._stopped.wait(_EVERY_S):
            members = list(family(self._process))
            self.resident = max(self.resident, sum(map(resident, members)))
            self.proportional = max(self.proportional, sum(map(proportional, members)))

    def stop(self) -> None:
        """Stop watching."""
        self._stopped.set()
        self.join()
