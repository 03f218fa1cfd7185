"""One question in, one answer out: derive, match, rank, write."""

from __future__ import annotations

import functools
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from splicewright import shipped
from splicewright.catalogue import Catalogue, read_catalogue
from splicewright.catalogue.by_demand import DemandIndex
from splicewright.choice.findings import sort_findings
from splicewright.choice.matching import Match
from splicewright.choice.remedies import remedies
from splicewright.choice.writing import RulesInUse, write_answer
from splicewright.engine import Engine
from splicewright.question.model import Asked, Question
from splicewright.question.read import read_question
from splicewright.reading import Problem, Refused, join, not_allowed
from splicewright.rulebook import read_rulebook

Answer = dict[str, Any]


class Chooser:
    """Answers questions from one folder of rulesets and catalogues. Safe to share between threads.

    Rulebooks are compiled and catalogues read when first asked for, and kept.
    """

    def __init__(self, rulesets: Path | None = None) -> None:
        """Answer from `rulesets`, by default the shipped ones."""
        self._rulesets = rulesets or shipped.folder("rulesets")
        self._engines: dict[str, Engine] = {}
        self._rules: dict[str, RulesInUse] = {}
        self._indexes: dict[str, DemandIndex] = {}
        self._lock = threading.Lock()

    def engine(self, code: str) -> Engine:
        """Give the compiled rulebook of a code edition. Raises `RulebookFault`."""
        with self._lock:
            if code not in self._engines:
                self._engines[code] = Engine(read_rulebook(self._rulesets, code))
            return self._engines[code]

    def catalogue(self, name: str) -> Catalogue:
        """Give a catalogue by its name. Raises `Refused` with the names there are, and `CatalogueFault`."""
        return self._index(name).catalogue

    def _index(self, name: str) -> DemandIndex:
        with self._lock:
            if name not in self._indexes:
                paths = {path.stem: path for path in sorted((self._rulesets / "catalogues").glob("*.yaml"))}
                if name not in paths:
                    raise Refused([Problem("/catalogue", not_allowed(name, paths))])
                self._indexes[name] = DemandIndex(read_catalogue(paths[name]))
            return self._indexes[name]

    def _rules_in_use(self, code: str) -> RulesInUse:
        found = self._rules.get(code)
        if found is None:
            found = self._rules[code] = RulesInUse(self.engine(code).rulebook)
        return found

    def choose(self, given: Any, *, explain: str = "full") -> Answer:
        """Answer one question given as plain data. Raises `Refused` with every problem where it is none."""
        return self.answer(read_question(given, explain=explain))

    def answer(self, asked: Asked) -> Answer:
        """Answer a question that was read. Raises `Refused` where it names what is not known here."""
        question = asked.question
        if question.amendments:
            at = join("/amendments", 0)
            raise Refused([Problem(at, f"no amendment is called {question.amendments[0]!r}; none is known here")])
        match = self._match(question)
        return write_answer(asked, match, self._rules_in_use(question.code), self._remedies(question, match))

    def _match(self, question: Question) -> Match:
        index = self._index(question.catalogue)
        return Match(index, question.joint, sort_findings(self.engine(question.code).derive(question)))

    def _remedies(self, question: Question, match: Match) -> list[dict[str, Any]]:
        if match.outcome != "barred":
            return []

        def outcome_of(changed: Mapping[str, Any]) -> str | None:
            try:
                return self._match(read_question(changed).question).outcome
            except Refused:
                return None

        return remedies(question, match.derived.joint_bars, outcome_of)


@functools.lru_cache(maxsize=1)
def shipped_chooser() -> Chooser:
    """Give the chooser over the shipped rulesets, one a process."""
    return Chooser()


def choose(question: Mapping[str, Any]) -> Answer:
    """Answer one question (the shape of POST /v1/choices) from the shipped rulesets and catalogues.

    Raises `Refused`, whose `problems` carry a JSON Pointer and a sentence each, where it is no valid question.
    """
    return shipped_chooser().choose(question)


__all__ = ["Answer", "Chooser", "choose", "shipped_chooser"]
