"""Other ways to derive the same firings from the same rules. Each must give what the engine gives, then is timed.

A peer is made from rules that all have a `when`, and asked with the facts of one question. How it holds facts and
rules is its own affair; it gets the quickest way that was found to feed and to read it.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any, Protocol

from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule
from tests.oracle.plain import Fired


class Peer(Protocol):
    """One way to derive firings."""

    name: str  # in the table
    tells_conditions: bool  # whether it tells which conditions a firing matched, not only the rule and the conductors

    def __init__(self, rules: Sequence[Rule]) -> None:
        """Take rules in."""

    def ask(self, facts: Facts) -> Any:
        """Derive the firings for one question. This is what is timed."""

    def fired(self, answer: Any) -> Iterable[Fired]:
        """Write what `ask` gave as the plain evaluator does."""


@dataclass(frozen=True)
class _Known:
    module: str
    needs: str | None = None  # a module of a library that may not be installed
    library: str | None = None  # what that library is installed as


_KNOWN = (
    _Known("generated"),
    _Known("plain_loop"),
    _Known("clips_rules", "clips", "clipspy"),
    _Known("decision_table", "zen", "zen-engine"),
)


def installed() -> list[type[Peer]]:
    """Give the peers whose libraries are installed."""
    return [
        importlib.import_module(f"{__name__}.{one.module}").PEER
        for one in _KNOWN
        if one.needs is None or find_spec(one.needs)
    ]


def libraries() -> Iterator[tuple[str, bool]]:
    """Give the library of each peer that needs one, and whether it is installed."""
    return ((one.library, find_spec(one.needs) is not None) for one in _KNOWN if one.needs and one.library)


def difference(peer: Peer, facts: Facts, expected: Iterable[Fired]) -> str:
    """Tell where a peer differs from the firings expected; empty where it gives the same."""
    found, wanted = set(peer.fired(peer.ask(facts))), set(expected)
    if not peer.tells_conditions:
        found, wanted = ({(rule, conductors, ()) for rule, conductors, _ in each} for each in (found, wanted))
    if found == wanted:
        return ""
    return f"only {peer.name}: {sorted(found - wanted)}; only expected: {sorted(wanted - found)}"
