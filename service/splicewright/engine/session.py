"""Drives the library: one ruleset, one session, one question at a time.

The library is a set of C functions that crash or answer wrongly when called in another way than this one.
What is known of it is pinned in `tests/engine/test_library.py`.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import durable_rules_engine as library

from splicewright.engine.coding import WARM_UP
from splicewright.engine.program import (
    CONDUCTORS,
    FLAT_ID,
    ID_LENGTH,
    ID_MARK,
    SID,
    Firing,
    Plan,
    Program,
    condition_id,
    retraction,
)

if TYPE_CHECKING:
    from splicewright.question.facts import Facts

_REMEMBERED = 600  # firings kept for each rule
_REPEATED = 2  # what asserting a fact gives whose id is there already
_RETRACTIONS = [retraction(fact_id) for fact_id in (FLAT_ID, *CONDUCTORS)]
_FLAT_AT = len('{"000":{"a":')  # where the echo of the first fact begins


class Session:
    """One ruleset in the library with its one session, opened by the first question. Not to be forked."""

    def __init__(self, program: Program) -> None:
        self._program = program
        self._lock = threading.Lock()
        self._handle: int | None = None
        self._state = 0
        self._conditions = {condition_id(at): one.condition for at, one in enumerate(program.conditions)}

    def firings(self, facts: Facts) -> list[Firing]:
        """Give all firings for the facts of one question, rules that always hold left out, in no order.

        Raises TypeError or ValueError for facts of another kind, and whatever the library raises; the next
        question is answered from a new session then.
        """
        texts = self._program.texts(facts)
        with self._lock:
            if self._handle is None:
                self._open()
            try:
                return self._derive(texts)
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

    def _derive(self, texts: list[str]) -> list[Firing]:
        handle, state, plans, conditions = (
            self._handle,
            self._state,
            self._program.plans,
            self._program.conditions,
        )
        after_flat = _FLAT_AT + len(texts[0])
        asserted = set(self._program.given)
        gone = _RETRACTIONS[: len(texts)]
        texts += [conditions[at].text for at in asserted]
        found = []
        if library.assert_facts(handle, f"[{','.join(texts)}]")[0] == _REPEATED:
            raise RuntimeError("the session still holds facts of an earlier question")
        started = library.start_action_for_state(handle, state)
        echo: str | None = started[1] if started else None
        while echo is not None:
            plan = plans[echo[2 : 2 + ID_LENGTH]]
            concludes = plan.concludes
            found.append(self._firing(plan, echo[after_flat:] if plan.flat else echo))
            if concludes is not None and concludes not in asserted:
                asserted.add(concludes)
                library.assert_fact(handle, conditions[concludes].text)
            echo = library.complete_and_start_action(handle, state)
        library.delete_state(handle, SID)

        return found

    def _firing(self, plan: Plan, echo: str) -> Firing:
        """Make a firing from the library's echo of the facts matched, of which only the ids are read."""
        ids = tuple([part[:ID_LENGTH] for part in echo.split(ID_MARK)[1:]])
        made = plan.made.get(ids)
        if made is None:
            made = Firing(
                plan.rule,
                tuple(CONDUCTORS[one] for one in ids[plan.conditions :]),
                tuple(self._conditions[one] for one in ids[: plan.conditions]),
            )
            if len(plan.made) < _REMEMBERED:
                plan.made[ids] = made
        return made
