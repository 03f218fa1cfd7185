"""Which joints are made with which type, where the number of joints of each type is settled and ranks are at best.

The sum of ranks is at its least just where each kind keeps to options that are *level*: options whose rank, less what
the type is worth, is the least of the kind. What types are worth follows from any best sharing. Among level options
the kinds take turns, in their order: each takes as much of its better-ranked options as later ones can make room for.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence

from splicewright.job.stock import Kind

Shares = list[dict[int, int]]


def in_order(kinds: Sequence[Kind], shares: Sequence[Mapping[int, int]]) -> Shares | None:
    """Give the one sharing that comes first by order. None where `shares` is not at its best."""
    types = sorted({one for share in shares for one in share})
    ranks = [{option: rank for rank, option in enumerate(kind.options) if option in types} for kind in kinds]
    worth = _worth(types, ranks, shares)
    if worth is None:
        return None
    level = []
    for rank in ranks:
        least = min((rank[one] - worth[one] for one in rank), default=0)
        level.append([one for one in rank if rank[one] - worth[one] == least])
    settled = [dict(share) for share in shares]
    for at, options in enumerate(level):
        for better, option in enumerate(options):
            _take(settled, level, at, option, options[better + 1 :])
    return [{one: n for one, n in share.items() if n} for share in settled]


def _worth(types: list[int], ranks: list[dict[int, int]], shares: Sequence[Mapping[int, int]]) -> dict[int, int] | None:
    """Find what each type is worth, by shortest ways over moves of one joint; None where moves would still gain."""
    moves: dict[tuple[int, int], int] = {}
    for rank, share in zip(ranks, shares, strict=True):
        for one in share:
            for other, there in rank.items():
                step = there - rank[one]
                if other != one and step < moves.get((one, other), step + 1):
                    moves[one, other] = step
    worth = dict.fromkeys(types, 0)
    for _ in range(len(types) + 1):
        changed = False
        for (one, other), step in moves.items():
            if worth[one] + step < worth[other]:
                worth[other] = worth[one] + step
                changed = True
        if not changed:
            return worth
    return None


def _take(shares: Shares, level: list[list[int]], at: int, one: int, worse: list[int]) -> None:
    """Let kind `at` have as much of type `one` as it can in place of worse ones, later kinds making room."""
    own = shares[at]
    while True:
        held = [other for other in worse if own.get(other)]
        way = _way(shares, level, at, one, set(held)) if held else None
        if not way:
            return
        end = way[-1][2]
        moved = min(own[end], *(shares[kind][out] for kind, out, _ in way))
        for kind, out, into in way:
            shares[kind][out] -= moved
            shares[kind][into] = shares[kind].get(into, 0) + moved
        own[end] -= moved
        own[one] = own.get(one, 0) + moved


def _way(
    shares: Shares, level: list[list[int]], at: int, begin: int, ends: set[int]
) -> list[tuple[int, int, int]] | None:
    """Find the fewest moves (kind, out of, into) of later kinds that free `begin` and fill one of `ends`."""
    came: dict[int, tuple[int, int, int]] = {}
    waiting = deque([begin])
    while waiting:
        out = waiting.popleft()
        for kind in range(at + 1, len(shares)):
            if not shares[kind].get(out):
                continue
            for into in level[kind]:
                if into == begin or into in came:
                    continue
                came[into] = (kind, out, into)
                if into in ends:
                    return _back(came, begin, into)
                waiting.append(into)
    return None


def _back(came: Mapping[int, tuple[int, int, int]], begin: int, end: int) -> list[tuple[int, int, int]]:
    way = []
    while end != begin:
        way.append(came[end])
        end = came[end][1]
    return way[::-1]
