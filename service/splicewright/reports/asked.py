"""A question in one line, as it was understood."""

from __future__ import annotations

from collections.abc import Iterable

from splicewright.reports.page import page


def print_asked(lines: Iterable[str]) -> None:
    """Print a question as it was understood."""
    with page() as out:
        out.labeled("Asked", lines)
