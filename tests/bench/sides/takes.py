"""Which questions a version reads at all: one that has words of a later version is refused by an earlier one."""

from __future__ import annotations

import sys

import splicewright
from tests.bench.sides.timed import tell


def takes(line: bytes) -> bool:
    """Say whether a question in JSON text is answered."""
    try:
        chooser.answer_json(line, explain="brief")
    except splicewright.Refused:
        return False
    return True


if __name__ == "__main__":
    # Found beside `choose`, since other versions have it elsewhere.
    chooser = sys.modules[splicewright.choose.__module__].Chooser()
    tell([], takes=[takes(line) for line in sys.stdin.buffer.read().splitlines()])
