"""Drives the library: one ruleset, one session, one question at a time.

The library is a set of C functions that crash or answer wrongly when called in another way than this one.
What is known of it is pinned in `tests/engine/test_library.py`.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence

import durable_rules_engine as library

from splicewright.engine.coding import WARM_UP
from splicewright.engine.compiler import RULE_LENGTH
from splicewright.engine.program import (
    ID_LENGTH,
    SID,
    Choice,
    Fired,
    FiredRow,
    Plan,
    Program,
    Row,
    Sheet,
    fact_id,
    retraction,
)
from splicewright.question.facts import Facts

_REMEMBERED_ROWS = 8_000  # at some 500 bytes each
_MANY = 1000  # facts put to the library at once
_REPEATED = 2  # what asserting a fact gives whose id is there already
_RULE = slice(len('{"'), len('{"') + RULE_LENGTH)  # where a firing's text has the rule
_ID = slice(_RULE.stop + len('":{"a":{"id":"'), _RULE.stop + len('":{"a":{"id":"') + ID_LENGTH)


class Session:
    """One ruleset in the library with its one session, opened by the first question. Not to be forked.

    What rows fired is remembered. A rule is one pattern over one fact, so that this depends on nothing but the fact
    itself: the library alone decides it, and is only not asked again about a fact of which every comparison that some
    rule makes says the same.
    """

    def __init__(self, program: Program) -> None:
        self._program = program
        self._lock = threading.Lock()
        self._handle: int | None = None
        self._state = 0
        self._known: dict[Row, Fired] = {}
        self._alike: dict[Row, Fired] = {}  # by likeness
        self._fired: dict[tuple[Plan, ...], Fired] = {}

    def fired(self, facts: Facts) -> list[FiredRow]:
        """Give the rows of a question's facts that fire rules; rules that always hold are left out.

        Raises TypeError or ValueError for a value of another kind than its fact, QuestionTooLarge, and whatever the
        library raises. The next question is answered from a new session then.
        """
        with self._lock:
            return self._derive(Sheet(self._program, facts))

    def close(self) -> None:
        """Give back what the library holds. A later question opens it anew."""
        with self._lock:
            self._abandon()

    def _open(self) -> int:
        handle: int = library.create_ruleset("splicewright", self._program.definition)
        try:
            # Deleting a state in which no rule ever fired would take the process down: so one fires now.
            _, self._state = library.assert_fact(handle, f'{{"id":"{WARM_UP}","sid":"{SID}","{WARM_UP}":1}}')
            library.start_action_for_state(handle, self._state)
            library.complete_and_start_action(handle, self._state)
            library.retract_fact(handle, retraction(WARM_UP))
        except BaseException:
            library.delete_ruleset(handle)  # the state stays allocated: it may not be deleted yet
            raise
        self._handle = handle
        return handle

    def _abandon(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            try:
                library.delete_state(handle, SID)  # first: what it holds is lost once the ruleset is gone
            finally:
                library.delete_ruleset(handle)

    def _derive(self, sheet: Sheet) -> list[FiredRow]:
        found: list[FiredRow] = []
        rows, choices = sheet.begin()
        while rows:
            known = list(map(self._known.get, rows))
            unknown = None in known and {
                row: choice for row, choice, one in zip(rows, choices, known, strict=True) if one is None
            }
            asked = self._ask(sheet, unknown) if unknown else {}
            fired = [one or asked[row] for row, one in zip(rows, known, strict=True)]
            found += [told for told in zip(rows, choices, fired, strict=True) if told[2].rules]
            rows, choices = [], []
            for one in fired:
                if one.concludes:
                    sheet.conclude(one.concludes, rows, choices)
        return found

    def _ask(self, sheet: Sheet, rows: Mapping[Row, Choice]) -> dict[Row, Fired]:
        """Give what each row fires; rows unlike all before are put to the library."""
        likenesses = {row: sheet.likeness(row, choice) for row, choice in rows.items()}
        unlike = {alike: row for row, alike in likenesses.items() if alike not in self._alike}
        asked: dict[Row, Fired] = {}
        if unlike:
            try:
                texts = [sheet.written(row, rows[row], fact_id(at)) for at, row in enumerate(unlike.values())]
                fired = self._put(texts)
            except BaseException:
                self._abandon()
                raise
            asked = {alike: self._together(fired.get(fact_id(at), ())) for at, alike in enumerate(unlike)}
        told = {row: asked.get(alike) or self._alike[alike] for row, alike in likenesses.items()}
        self._alike = _remembered(self._alike, asked)
        self._known = _remembered(self._known, told)
        return told

    def _together(self, plans: Iterable[Plan]) -> Fired:
        """Give the one that all rows share that fire the same."""
        key = tuple(plans)
        found = self._fired.get(key)
        if found is None:
            if len(self._fired) >= _REMEMBERED_ROWS:
                self._fired.clear()
            found = self._fired[key] = Fired(key)
        return found

    def _put(self, texts: Sequence[str]) -> dict[str, list[Plan]]:
        """Give the rules that fire by the ids of the facts that they fire on."""
        handle = self._open() if self._handle is None else self._handle
        state, plans = self._state, self._program.plans
        fired: dict[str, list[Plan]] = {}
        if library.assert_facts(handle, _batch(texts))[0] == _REPEATED:
            raise RuntimeError("the session still holds facts of an earlier question")
        started = library.start_action_for_state(handle, state)
        echo: str | None = started[1] if started else None
        while echo is not None:
            fired.setdefault(echo[_ID], []).append(plans[echo[_RULE]])
            echo = library.complete_and_start_action(handle, state)
        # In the order of writing: a place in the library's memory that several facts used is cleared with the last.
        library.retract_facts(handle, _batch([retraction(fact_id(at)) for at in range(len(texts))]))
        if len(texts) > _MANY:
            self._abandon()  # or it would keep the memory that they took
        return fired


def _remembered(known: dict[Row, Fired], more: dict[Row, Fired]) -> dict[Row, Fired]:
    if len(known) + len(more) > _REMEMBERED_ROWS:
        return more if len(more) <= _REMEMBERED_ROWS else {}
    known.update(more)
    return known


def _batch(texts: Iterable[str]) -> str:
    return f"[{','.join(texts)}]"
