"""What is wrong in files that can't be taken into use, each fault with file and line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Fault(NamedTuple):
    """One thing wrong in a file: its line (0 where it has none), the part it stands in by name, and a sentence."""

    file: str
    line: int
    part: str
    says: str

    def __str__(self) -> str:
        """Give it as printed: `file:line: part: what is wrong`."""
        where = f"{self.file}:{self.line}" if self.line else self.file
        return ": ".join(one for one in (where, self.part, self.says) if one)


class Faults(ValueError):
    """Files, or settings, that can't be taken into use. Carries every fault found, never only the first."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))
