"""One worker: answers the questions of standard input, one a line, and prints the bytes of memory in use then."""

from __future__ import annotations

import os
import sys

from splicewright.answering import shipped_chooser
from tests.bench.proc import resident

if __name__ == "__main__":
    for line in sys.stdin.buffer:
        shipped_chooser().answer_json(line)
    sys.stdout.write(f"{resident(os.getpid())}\n")
