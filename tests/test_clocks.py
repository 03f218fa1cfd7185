"""What waits, lasts or runs out goes by a monotonic clock; the one that may be set only tells dates."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import splicewright

SERVICE = Path(splicewright.__file__).parent
#: Where the clock that may be set is asked, and for what.
DATES = {
    "api/keys.py": "the day on which a key ends, UTC",
    "api/limits.py": "windows that several machines count together, in a store that they share",
    "catalogue/checking.py": "the day that listings are judged by",
    "cli/check.py": "the day that waivers are judged by",
}
SETTABLE = {
    "time": ("time", "time_ns", "localtime", "gmtime"),
    "datetime": ("now", "utcnow", "today"),
    "date": ("today",),
}


def asked(source: str) -> Iterator[str]:
    """Give each use of a clock that may be set, and what imports one by a name of its own."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Attribute):
            owner = node.value.attr if isinstance(node.value, ast.Attribute) else getattr(node.value, "id", "")
            if node.attr in SETTABLE.get(owner, ()):
                yield f"{owner}.{node.attr}"
        elif isinstance(node, ast.ImportFrom) and node.module in ("time", "datetime"):
            yield from (f"from {node.module} import {one.name}" for one in node.names)


def test_clock_that_may_be_set_is_asked_for_dates_only() -> None:
    found = {
        path.relative_to(SERVICE).as_posix(): [*asked(path.read_text(encoding="utf-8"))]
        for path in SERVICE.rglob("*.py")
    }
    assert {name for name, uses in found.items() if uses} == set(DATES)
    assert all(len(uses) == 1 for uses in found.values() if uses)


def test_every_way_of_asking_is_found() -> None:
    ways = ["time.time()", "dt.datetime.now()", "datetime.date.today()", "from time import time", "f(now=time.time)"]
    assert all([*asked(way)] for way in ways)
    assert [*asked("time.monotonic(); from_now = now; self.time.sleep(1); dt.timedelta(1)")] == []
