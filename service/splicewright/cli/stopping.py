"""Ctrl-C and SIGTERM ask long work to stop at the next whole piece; a second one ends it at once."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from types import FrameType


@dataclass(slots=True)
class Stop:
    """Whether the work is to stop, and by which signal."""

    by: int = 0

    def __bool__(self) -> bool:
        return bool(self.by)

    @property
    def status(self) -> int:
        """The exit status that tells the signal, as shells have it."""
        return 128 + self.by


@contextmanager
def stoppable(*, reads: int | None = None) -> Iterator[Stop]:
    """Give a `Stop` that Ctrl-C and SIGTERM set. What is waited for on the descriptor `reads` is then at its end."""
    stop = Stop()

    def ask(number: int, _frame: FrameType | None) -> None:
        if stop:
            raise KeyboardInterrupt
        stop.by = number
        if reads is not None:  # the wait begins anew after a signal, and with it for whoever sends nothing more
            nothing = os.open(os.devnull, os.O_RDONLY)
            os.dup2(nothing, reads)
            os.close(nothing)

    before = {number: signal.signal(number, ask) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
