"""Drives the library: one ruleset with its one session, into which facts are put and from which they are taken again.

The library is a set of C functions that crash or answer wrongly when called in another way than this one.
What is known of it is pinned in `tests/engine/test_library.py`.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import durable_rules_engine as library
import orjson

from splicewright.engine.fact_encoding import base36

WARM_UP = "warm"  # the property, and the id, of the fact that fires the first rule of a session
RULE_LENGTH = 3  # of a rule's name
_ID_LENGTH = 4
_SID = "0"  # the one session
MANY = 1000  # facts put to the library at once
_REPEATED = 2  # what asserting a fact gives whose id is there already
_RULE = slice(len('{"'), len('{"') + RULE_LENGTH)  # where a firing's text has the rule
_ID = slice(_RULE.stop + len('":{"a":{"id":"'), _RULE.stop + len('":{"a":{"id":"') + _ID_LENGTH)


def rule_name(number: int) -> str:
    """Give a name for a rule by its number."""
    return base36(number, RULE_LENGTH)


class LibrarySession:
    """One ruleset in the library with its one session, opened when first asked. Not to be forked.

    Each rule is one pattern over one fact, so that the library never joins facts, which it retracts wrongly.
    """

    def __init__(self, patterns: Mapping[str, Mapping[str, Any]]) -> None:
        """Take the pattern of each rule, by a name of `RULE_LENGTH`, as the library reads it."""
        rules = {name: {"all": [{"a": pattern}]} for name, pattern in patterns.items()}
        self.definition = orjson.dumps({WARM_UP: {"all": [{"a": {WARM_UP: 1}}]}, **rules}).decode()
        self._lock = threading.Lock()
        self._handle: int | None = None
        self._state = 0

    def fired(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        """Give what fires when these facts are put: the number of a fact with the name of a rule, each.

        A fact is written as its properties, each with a comma before it: `,"a0":1,"b0":7`. Raises whatever the library
        raises; the session is opened anew then.
        """
        with self._lock:
            try:
                return self._put(facts)
            except BaseException:
                self._abandon()
                raise

    def close(self) -> None:
        """Give back what the library holds. What is asked later opens it anew."""
        with self._lock:
            self._abandon()

    def _put(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        handle = self._open() if self._handle is None else self._handle
        state = self._state
        ids = [base36(number, _ID_LENGTH) for number in range(len(facts))] if len(facts) > 1 else _FIRST
        texts = [f'{{"id":"{rule_id}","sid":"{_SID}"{fact}}}' for rule_id, fact in zip(ids, facts, strict=True)]
        fired: list[tuple[int, str]] = []
        if library.assert_facts(handle, _batch(texts))[0] == _REPEATED:
            raise RuntimeError("the session still holds facts of an earlier question")
        started = library.start_action_for_state(handle, state)
        echo: str | None = started[1] if started else None
        while echo is not None:
            fired.append((int(echo[_ID], 36), echo[_RULE]))
            echo = library.complete_and_start_action(handle, state)
        # In the order of writing: a place in the library's memory that several facts used is cleared with the last.
        library.retract_facts(handle, _batch(map(_retraction, ids)))
        if len(facts) > MANY:
            self._abandon()  # or it would keep the memory that they took
        return fired

    def _open(self) -> int:
        handle: int = library.create_ruleset("splicewright", self.definition)
        try:
            # Deleting a state in which no rule ever fired would take the process down: so one fires now.
            _, self._state = library.assert_fact(handle, f'{{"id":"{WARM_UP}","sid":"{_SID}","{WARM_UP}":1}}')
            library.start_action_for_state(handle, self._state)
            library.complete_and_start_action(handle, self._state)
            library.retract_fact(handle, _retraction(WARM_UP))
        except BaseException:
            library.delete_ruleset(handle)  # the state stays allocated: it may not be deleted yet
            raise
        self._handle = handle
        return handle

    def _abandon(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            try:
                library.delete_state(handle, _SID)  # first: what it holds is lost once the ruleset is gone
            finally:
                library.delete_ruleset(handle)


_FIRST = [base36(0, _ID_LENGTH)]


def _retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{{"id":"{fact_id}","sid":"{_SID}"}}'


def _batch(texts: Iterable[str]) -> str:
    return f"[{','.join(texts)}]"
