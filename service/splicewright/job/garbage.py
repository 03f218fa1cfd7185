"""When garbage is collected while a job is answered.

What a job is made of is kept to the end: hundreds of thousands of objects, and hardly a cycle among them. Looking
through all of them again and again took a quarter of its time. So only new objects are looked through meanwhile.
"""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_NEVER = 1_000_000_000
_lock = threading.Lock()
_held: list[
    int
] = []  # for each job that is being answered: the process's own threshold, which comes back after the last


@contextmanager
def full_collections_put_off() -> Iterator[None]:
    """Put off collections of old objects, in the whole process, while the block runs in any thread."""
    with _lock:
        _held.append(_held[0] if _held else gc.get_threshold()[2])
        _put(_NEVER)
    try:
        yield
    finally:
        with _lock:
            own = _held.pop()
            if not _held:
                _put(own)


def _put(old: int) -> None:
    new, middle, _ = gc.get_threshold()
    gc.set_threshold(new, middle, old)
