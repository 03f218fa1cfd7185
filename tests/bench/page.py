"""The page that keeps what was measured: `tests/bench/README.md`. A whole run of the bench writes its table anew."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from tests.bench.table import Measured, report

PAGE = Path(__file__).parent / "README.md"
_MEASURED = re.compile(
    r"(?P<before><!-- measured[^\n]*-->\n).*?(?P<after>\n<!-- end of what was measured -->)", re.DOTALL
)


def written(text: str, machine: str, measured: Iterable[Measured], note: str = "") -> str:
    """Give the page with what was measured in place of what it had; its other words stay."""
    parts = [*machine.splitlines(), note, report(measured).rstrip()]
    told = "\n\n".join(filter(None, parts)) + "\n"
    page, count = _MEASURED.subn(lambda found: found["before"] + told + found["after"], text)
    if count != 1:
        raise ValueError(f"the page has {count} places for what was measured, not one")
    return page


def machine(text: str) -> str:
    """Give the first line of what was measured: the machine."""
    return _measured(text).split("\n", 1)[0]


def version(text: str) -> str:
    """Give which version was measured, such as `splicewright 0.6.0`."""
    return next(one.split(",", 1)[0] for one in _measured(text).splitlines() if one.startswith("splicewright "))


def row(text: str, what: str) -> list[str]:
    """Give the cells of one row. Raises KeyError where the table has no such row."""
    for line in _measured(text).splitlines():
        cells = [one.strip() for one in line.strip("|").split(" | ")]
        if cells[0] == what:
            return cells
    raise KeyError(what)


def _measured(text: str) -> str:
    found = _MEASURED.search(text)
    if found is None:
        raise ValueError("the page has no place for what was measured")
    return found[0].removeprefix(found["before"]).removesuffix(found["after"])
