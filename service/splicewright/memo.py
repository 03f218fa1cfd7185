"""What was made once is remembered here until it is too much: then all of it is forgotten, and remembered anew."""

from __future__ import annotations

from typing import TypeVar

K = TypeVar("K")
V = TypeVar("V")


class Memo(dict[K, V]):
    """What was made for each key; never more than `most`.

    For what is read again and again and made by one caller: `memo.get(key)`, and where that is None
    `memo.keep(key, made)`. Threads may make the same thing twice; they never see half of it. Functions of plain values
    have `functools.lru_cache` instead.
    """

    __slots__ = ("most",)

    def __init__(self, most: int) -> None:
        """Remember nothing yet."""
        super().__init__()
        self.most = most

    def keep(self, key: K, made: V) -> V:
        """Remember what was made, and give it."""
        if len(self) >= self.most:
            self.clear()
        self[key] = made
        return made
