"""What every side does alike: time one after the other, and tell it."""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

import orjson

import splicewright

_T = TypeVar("_T")


def timed(work: Callable[[_T], Any], items: Iterable[_T], see: Callable[[Any], None]) -> list[int]:
    """Give the processor nanoseconds, of all threads, of work on each item. What `see` does is not counted."""
    gc.collect()
    gc.freeze()  # what there is by now stays, on every side
    clock, found = time.process_time_ns, []
    for item in items:
        started = clock()
        made = work(item)
        found.append(clock() - started)
        see(made)
    return found


def tell(ns: list[int], **came: Any) -> None:
    """Print what was measured."""
    sys.stdout.buffer.write(orjson.dumps({"from": splicewright.__file__, "ns": ns, **came}))
