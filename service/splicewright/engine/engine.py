"""The engine of one rulebook: questions in, findings out."""

from __future__ import annotations

import os
import weakref

from splicewright.engine.compiler import compile_rulebook
from splicewright.engine.derived import Derived
from splicewright.engine.findings import Sayings
from splicewright.engine.program import Firing
from splicewright.engine.session import Session
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.rulebook.model import Rulebook


class Engine:
    """Derives what the rules of one rulebook say. Any number of threads may ask; one is answered at a time.

    Each process has a session of its own, opened by its first question: an engine may be made before a fork.
    """

    def __init__(self, rulebook: Rulebook) -> None:
        """Compile a rulebook. Raises UnfitRulebook or RulebookTooLarge, naming the rule and what to write."""
        self.rulebook = rulebook
        self._program = compile_rulebook(rulebook)
        self._always = [Firing(rule) for rule in self._program.always]
        self._sayings = Sayings(rulebook.derived, self._always)
        self._sessions: dict[int, Session] = {}
        weakref.finalize(self, _close, self._sessions).atexit = False

    def derive(self, question: Question) -> Derived:
        """Give the findings for a question: one for each rule and wording.

        Raises QuestionTooLarge.
        """
        facts = facts_of(question)
        return self._sayings.findings(self._session().fired(facts), facts)

    def firings(self, facts: Facts) -> tuple[Firing, ...]:
        """Give each firing of each rule, sorted by rule id, conductors and conditions.

        Raises TypeError or ValueError for a value that is not of its fact's kind, and QuestionTooLarge.
        """
        found = [*self._always]
        for _, choice, fired in self._session().fired(facts):
            found += fired.firings(choice)
        return tuple(sorted(found, key=lambda one: (one.rule.id, one.conductors, one.conditions)))

    def close(self) -> None:
        """Give back what this process holds. A later question opens it anew."""
        _close(self._sessions)

    def _session(self) -> Session:
        process = os.getpid()
        session = self._sessions.get(process)
        if session is None:
            session = self._sessions.setdefault(process, Session(self._program))
        return session


def _close(sessions: dict[int, Session]) -> None:
    session = sessions.pop(os.getpid(), None)
    if session is not None:
        session.close()
