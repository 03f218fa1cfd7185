"""How many answers were given, by outcome."""

from __future__ import annotations

import threading
from collections import Counter


class OutcomeCounts:
    """Counts from nothing. Safe between threads."""

    def __init__(self) -> None:
        self._counts: Counter[str] = Counter()
        self._lock = threading.Lock()

    def count(self, outcome: str) -> None:
        """Count an answer."""
        with self._lock:
            self._counts[outcome] += 1

    def counts(self) -> Counter[str]:
        """Give the counts as they are now."""
        with self._lock:
            return self._counts.copy()
