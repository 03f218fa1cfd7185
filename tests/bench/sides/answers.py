"""Complete answers, bytes in and bytes out, the rules read beforehand: `brief` or `full`."""

from __future__ import annotations

import re
import sys
from collections import Counter

from splicewright.choice import Chooser
from tests.bench.sides.timed import tell, timed

_OUTCOME = re.compile(rb'"outcome":"([^"]*)"')

if __name__ == "__main__":
    chooser, outcomes, explain = Chooser(), Counter[str](), sys.argv[1]
    chooser.warm_up()  # as servers and batches do

    def see(answer: bytes) -> None:
        found = _OUTCOME.search(answer)
        outcomes[found[1].decode() if found else "none"] += 1

    ns = timed(lambda line: chooser.answer_json(line, explain=explain), sys.stdin.buffer.read().splitlines(), see)
    tell(ns, outcomes=outcomes)
