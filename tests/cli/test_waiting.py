"""What can't be counted is told of on a terminal where it takes long, and nowhere else."""

from __future__ import annotations

import sys
import time
from io import StringIO

import pytest

from splicewright.cli import waiting as told


class Terminal(StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("stream", "quick_s", "seen"),
    [(Terminal(), 0.01, True), (Terminal(), 30, False), (StringIO(), 0.01, False)],
)
def test_it_is_told_on_a_terminal_where_it_takes_long(
    monkeypatch: pytest.MonkeyPatch, stream: StringIO, quick_s: float, seen: bool
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(told, "_QUICK_S", quick_s)
    monkeypatch.setenv("TERM", "xterm")
    with told.waiting("reading shelf.xlsx"):
        time.sleep(0.3)
    assert ("reading shelf.xlsx" in stream.getvalue()) is seen


def test_what_fails_ends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with pytest.raises(ZeroDivisionError), told.waiting("reading"):
        1 / 0  # noqa: B018
    before = stream.getvalue()
    time.sleep(0.1)
    assert stream.getvalue() == before
