"""Complete answers, bytes in and bytes out, the rules read beforehand: `brief` or `full`."""

from __future__ import annotations

import re
import sys
from collections import Counter

from splicewright import choose
from tests.bench.sides.timed import tell, timed

_OUTCOME = re.compile(rb'"outcome":"([^"]*)"')

if __name__ == "__main__":
    # Found beside `choose`, since other versions have it elsewhere.
    chooser = sys.modules[choose.__module__].Chooser()
    chooser.warm_up()  # as servers and batches do
    outcomes, explain = Counter[str](), sys.argv[1]

    def see(answer: bytes) -> None:
        found = _OUTCOME.search(answer)
        outcomes[found[1].decode() if found else "none"] += 1

    ns = timed(lambda line: chooser.answer_json(line, explain=explain), sys.stdin.buffer.read().splitlines(), see)
    tell(ns, outcomes=outcomes)
