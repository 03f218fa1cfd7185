"""One question in, one answer out: derive, match, rank, write."""

from __future__ import annotations

import functools
import hashlib
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import orjson

from splicewright import shipped
from splicewright.catalogue import Catalogue, read_catalogue
from splicewright.choice.findings import Derived, sort_findings
from splicewright.choice.matching import Option, Refusal, match
from splicewright.choice.ranking import ranked
from splicewright.choice.remedies import remedies
from splicewright.choice.writing import (
    bars_plain,
    cited_rules,
    demands_plain,
    finding_plain,
    option_plain,
    refusals_plain,
)
from splicewright.engine import Engine
from splicewright.question.model import Asked, Question
from splicewright.question.read import read_question
from splicewright.reading import Problem, Refused, join, not_allowed
from splicewright.rulebook import Rulebook, read_rulebook

Answer = dict[str, Any]


class Chooser:
    """Answers questions from one folder of rulesets and catalogues. Safe to share between threads.

    Rulebooks are compiled and catalogues read when first asked for, and kept.
    """

    def __init__(self, rulesets: Path | None = None) -> None:
        """Answer from `rulesets`, by default the shipped ones."""
        self._rulesets = rulesets or shipped.folder("rulesets")
        self._engines: dict[str, Engine] = {}
        self._catalogues: dict[str, Catalogue] = {}
        self._lock = threading.Lock()

    def engine(self, code: str) -> Engine:
        """Give the compiled rulebook of a code edition. Raises `RulebookFault`."""
        with self._lock:
            if code not in self._engines:
                self._engines[code] = Engine(read_rulebook(self._rulesets, code))
            return self._engines[code]

    def catalogue(self, name: str) -> Catalogue:
        """Give a catalogue by its name. Raises `Refused` with the names there are, and `CatalogueFault`."""
        with self._lock:
            if name not in self._catalogues:
                paths = {path.stem: path for path in sorted((self._rulesets / "catalogues").glob("*.yaml"))}
                if name not in paths:
                    raise Refused([Problem("/catalogue", not_allowed(name, paths))])
                self._catalogues[name] = read_catalogue(paths[name])
            return self._catalogues[name]

    def choose(self, given: Any, *, explain: str = "full") -> Answer:
        """Answer one question given as plain data. Raises `Refused` with every problem where it is none."""
        return self.answer(read_question(given, explain=explain))

    def answer(self, asked: Asked) -> Answer:
        """Answer a question that was read. Raises `Refused` where it names what is not known here."""
        question = asked.question
        if question.amendments:
            at = join("/amendments", 0)
            raise Refused([Problem(at, f"no amendment is called {question.amendments[0]!r}; none is known here")])
        catalogue = self.catalogue(question.catalogue)
        engine = self.engine(question.code)
        derived, options, refusals = self._decide(question, catalogue, engine)
        return _written(
            asked, engine.rulebook, catalogue, derived, options, refusals, self._remedies(question, derived)
        )

    def _decide(
        self, question: Question, catalogue: Catalogue, engine: Engine
    ) -> tuple[Derived, list[Option], list[Refusal]]:
        derived = sort_findings(engine.derive(question))
        if derived.blocked:
            return derived, [], []
        options, refusals = match(catalogue, question.joint, derived, engine.rulebook)
        return derived, ranked(options), refusals

    def _remedies(self, question: Question, derived: Derived) -> list[dict[str, Any]]:
        if derived.blocked != "barred":
            return []

        def outcome_of(changed: Mapping[str, Any]) -> str | None:
            try:
                other = read_question(changed).question
            except Refused:
                return None
            found, options, _ = self._decide(other, self.catalogue(other.catalogue), self.engine(other.code))
            return _outcome(found, options)

        return remedies(question, derived.joint_bars, outcome_of)


def _outcome(derived: Derived, options: list[Option]) -> str:
    return derived.blocked or ("options" if options else "no-connector")


def address(question: Question, rulebook: Rulebook, catalogue: Catalogue) -> str:
    """Give the content address of an answer: of the question with its defaults, the rulesets and the catalogue."""
    content = question.canonical() + orjson.dumps([rulebook.digest, catalogue.digest])
    return "sha256:" + hashlib.sha256(content).hexdigest()


def _written(
    asked: Asked,
    rulebook: Rulebook,
    catalogue: Catalogue,
    derived: Derived,
    options: list[Option],
    refusals: list[Refusal],
    found_remedies: list[dict[str, Any]],
) -> Answer:
    brief = asked.explain == "brief"
    question = asked.question
    shown = options[: asked.limit]
    written: Answer = {} if asked.id is None else {"id": asked.id}
    written |= {
        "answer": address(question, rulebook, catalogue),
        "outcome": _outcome(derived, options),
        "assumed": len(asked.assumed) if brief else dict(sorted(asked.assumed.items())),
        "referrals": [finding_plain(one, brief=brief) for one in derived.referrals],
        "bars": bars_plain(derived, brief=brief),
        "findings": [finding_plain(one, brief=brief) for one in derived.conclusions],
        "demands": len(derived.demands) if brief else demands_plain(derived),
        "options": [
            option_plain(one, rank, question.joint, derived, brief=brief) for rank, one in enumerate(shown, start=1)
        ],
        "more": len(options) - len(shown),
        "refusals": len(refusals) if brief else refusals_plain(refusals),
        "remedies": found_remedies,
        "cautions": [finding_plain(one, brief=brief) for one in derived.cautions],
    }
    if brief:
        del written["findings"]
    else:
        written["rules"] = cited_rules(rulebook, written)
    written["rulesets"] = {
        "code": rulebook.code,
        "amendments": list(question.amendments),
        "digest": rulebook.digest,
    }
    written["catalogue"] = {"name": catalogue.name, "digest": catalogue.digest}
    return written


@functools.lru_cache(maxsize=1)
def shipped_chooser() -> Chooser:
    """Give the chooser over the shipped rulesets, one a process."""
    return Chooser()


def choose(question: Mapping[str, Any]) -> Answer:
    """Answer one question (the shape of POST /v1/choices) from the shipped rulesets and catalogues.

    Raises `Refused`, whose `problems` carry a JSON Pointer and a sentence each, where it is no valid question.
    """
    return shipped_chooser().choose(question)


__all__ = ["Answer", "Chooser", "address", "choose", "shipped_chooser"]
