"""Drives the library: one ruleset, one session, one question at a time.

The library is a set of C functions that crash or answer wrongly when called in another way than this one.
What is known of it is pinned in `tests/engine/test_library.py`.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable

import durable_rules_engine as library

from splicewright.engine.coding import WARM_UP
from splicewright.engine.compiler import RULE_LENGTH
from splicewright.engine.program import ID_LENGTH, SID, Choice, Firing, Plan, Program, Sheet, retraction
from splicewright.question.facts import Facts

_REMEMBERED = 600  # firings kept for each rule
_MANY = 1000  # facts of one question
_REPEATED = 2  # what asserting a fact gives whose id is there already
_RULE = slice(len('{"'), len('{"') + RULE_LENGTH)  # where a firing's text has the rule
_ID = slice(_RULE.stop + len('":{"a":{"id":"'), _RULE.stop + len('":{"a":{"id":"') + ID_LENGTH)


class Session:
    """One ruleset in the library with its one session, opened by the first question. Not to be forked."""

    def __init__(self, program: Program) -> None:
        self._program = program
        self._lock = threading.Lock()
        self._handle: int | None = None
        self._state = 0

    def firings(self, facts: Facts) -> list[Firing]:
        """Give all firings for the facts of one question, rules that always hold left out, in no order.

        Raises TypeError or ValueError for a value of another kind than its fact, QuestionTooLarge, and whatever the
        library raises. The next question is answered from a new session then.
        """
        with self._lock:
            if self._handle is None:
                self._open()
            try:
                return self._derive(Sheet(self._program, facts))
            except BaseException:
                self._abandon()
                raise

    def close(self) -> None:
        """Give back what the library holds. A later question opens it anew."""
        with self._lock:
            self._abandon()

    def _open(self) -> None:
        handle = library.create_ruleset("splicewright", self._program.definition)
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

    def _abandon(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            try:
                library.delete_state(handle, SID)  # first: what it holds is lost once the ruleset is gone
            finally:
                library.delete_ruleset(handle)

    def _derive(self, sheet: Sheet) -> list[Firing]:
        handle, state, plans, choices = self._handle, self._state, self._program.plans, sheet.choices
        found = []
        if library.assert_facts(handle, _batch(sheet.begin()))[0] == _REPEATED:
            raise RuntimeError("the session still holds facts of an earlier question")
        started = library.start_action_for_state(handle, state)
        echo: str | None = started[1] if started else None
        while echo is not None:
            plan = plans[echo[_RULE]]
            choice = choices[echo[_ID]]
            found.append(plan.made.get(choice) or _firing(plan, choice))
            if plan.concludes is not None:
                follow = sheet.conclude(plan.concludes)
                if follow:
                    library.assert_facts(handle, _batch(follow))
            echo = library.complete_and_start_action(handle, state)
        # In the order of writing: a place in the library's memory that several facts used is cleared with the last.
        library.retract_facts(handle, _batch(map(retraction, choices)))
        if len(choices) > _MANY:
            self._abandon()  # or it would keep the memory that they took
        return found


def _batch(texts: Iterable[str]) -> str:
    return f"[{','.join(texts)}]"


def _firing(plan: Plan, choice: Choice) -> Firing:
    made = Firing(plan.rule, *choice)
    if len(plan.made) < _REMEMBERED:
        plan.made[choice] = made
    return made
