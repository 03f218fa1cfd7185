"""How far long work has come, on standard error: a bar on a terminal, now and then a line in a log, or silence."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING, Self

import click

from splicewright.units import counted

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

_LINE_EVERY_S = 10.0
_QUICK_S = 2.0


class Progress:
    """Tells how much of `total` (of anything; None: not known) is done, and how many lines that made.

    `of` is what else is counted where there are no lines; a log is told every `every_s` seconds.
    """

    def __init__(self, total: int | None, *, quiet: bool, of: str = "line", every_s: float = _LINE_EVERY_S) -> None:
        self._total, self._done, self._lines = total, 0, 0
        self._outcomes: Counter[str] = Counter()
        self._began = self._told = time.monotonic()
        self._quiet, self._of, self._every_s = quiet, of, every_s
        self._bar: Bar | None = None
        if not quiet and sys.stderr.isatty():
            self._bar = _bar()
            self._task = self._bar.add_task(self._words(), total=total)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._bar:
            self._bar.stop()

    def advance(self, done: int, lines: int, outcomes: Mapping[str, int]) -> None:
        """Count what is done, and the lines by what they came to."""
        self._done += done
        self._lines += lines
        self._outcomes.update(outcomes)
        if self._bar:
            if time.monotonic() - self._began >= _QUICK_S:  # what is done sooner shows none
                self._bar.start()
            self._bar.update(self._task, completed=self._done, description=self._words())
        elif not self._quiet and time.monotonic() - self._told >= self._every_s:
            self._told = time.monotonic()
            rate = self._lines / (self._told - self._began)
            part = f"{100 * self._done // self._total}%, " if self._total else ""
            click.echo(f"{part}{self._words()}, {counted(round(rate), self._of)} a second", err=True)

    def watch(self, done: int) -> None:
        """Count what is done of what is counted alone."""
        self.advance(done, done, {})

    def tell(self) -> None:
        """Tell how many lines there were, and what they came to."""
        if not self._quiet:
            came_to = ", ".join(f"{count:,} {outcome}" for outcome, count in self._outcomes.most_common())
            click.echo(": ".join(filter(None, (counted(self._lines, self._of), came_to))), err=True)

    def _words(self) -> str:
        errors = f", {self._outcomes['error']:,} in error" if self._outcomes["error"] else ""
        return f"{counted(self._lines, self._of)}{errors}"


def _bar() -> Bar:
    from rich.console import Console  # most work shows none
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

    shown = (TextColumn("{task.description}"), BarColumn(), TaskProgressColumn(), TimeRemainingColumn())
    return Progress(*shown, console=Console(stderr=True), transient=True)
