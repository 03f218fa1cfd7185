"""Measures everything in one run, prints one table, and writes it into `tests/bench/README.md`. Linux only.

python -m tests.bench            all of it; some ten minutes on two cores, 3 GB of temporary files
python -m tests.bench --quick    smaller, in some two minutes
python -m tests.bench --only derivation --only answers

Only a whole run (without --quick and --only) writes the page.
In-process figures are in processor seconds, so that other work on the machine weighs less; batch, HTTP and start-up are
by the clock. Exits with 1 where a peer does not derive what the engine derives: nothing is timed then. The peers need
`pip install -e '.[bench]'`; without it their rows are missing.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator, Sequence

from tests.bench import answers, batch, derivation, growth, machine, over_http, page, startup, stock
from tests.bench.sizes import FULL, QUICK, Sizes
from tests.bench.table import Row, table

PARTS: dict[str, Callable[[Sizes], Iterator[Row]]] = {
    "derivation": derivation.rows,
    "answers": answers.rows,
    "batch": batch.rows,
    "http": over_http.rows,
    "startup": startup.rows,
    "growth": growth.rows,
    "stock": stock.rows,
}
_LEGEND = """
ratio: to the figure to reach, 1 or more where it is reached; where there is none, to the row named.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the bench. Gives 1 where a peer disagrees."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--quick", action="store_true", help="do less of everything")
    parser.add_argument("--only", action="append", choices=PARTS, help="a part to run; may be given again")
    parser.add_argument("--note", default="", help="what else the page says of this run, such as what ran beside it")
    options = parser.parse_args(arguments)
    sizes = QUICK if options.quick else FULL
    rows: list[Row] = []
    for name in options.only or PARTS:
        started = time.perf_counter()
        try:
            rows += PARTS[name](sizes)
        except derivation.Disagreement as error:
            sys.stdout.write(f"a peer disagrees: {error}\n")
            return 1
        sys.stderr.write(f"{name}: {time.perf_counter() - started:.0f} s\n")
    sys.stdout.write(f"{machine.described()}\n{table(rows)}{_LEGEND}")
    if not (options.quick or options.only):
        text = page.PAGE.read_text(encoding="utf-8")
        page.PAGE.write_text(page.written(text, machine.described(), rows, options.note), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
