"""One question in, one answer out, from whatever rules and catalogues are in use."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import orjson

from splicewright import shipped
from splicewright.answering.answer_json import assumed_text, write_body
from splicewright.answering.cache import AnswerCache, Body, Known, without_id
from splicewright.answering.gc_tuning import settle
from splicewright.answering.outcome_counts import OutcomeCounts
from splicewright.catalogue import Catalogue
from splicewright.choice.judging import judged_text
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.engine import Engine
from splicewright.question.model import ParsedQuestion, read_as_plain
from splicewright.question.read import DEFAULTS, read_question
from splicewright.reading import read_json
from splicewright.remedies.budget import Budget
from splicewright.remedies.remedy_rendering import REMEDIED, find_remedies, remedies_plain

Answer = dict[str, Any]
CACHE_BYTES = 64_000_000


class Chooser:
    """Answers questions from one folder of rulesets and catalogues. Safe to share between threads.

    The tables that measures read are always the shipped ones.
    """

    def __init__(self, rulesets: Path | None = None, *, cache_bytes: int = CACHE_BYTES, apart: bool = False) -> None:
        """Answer from `rulesets`, by default the shipped ones, keeping answers of about `cache_bytes` in all.

        `apart` compiles the rules of each edition alone, for a process that asks one question.
        """
        self.rulesets = rulesets or shipped.folder("rulesets")
        self._cache_bytes = cache_bytes
        self._in_use = (LoadedRules(self.rulesets, apart=apart), AnswerCache(cache_bytes))
        self.outcomes = OutcomeCounts()

    @property
    def holding(self) -> LoadedRules:
        """The rules and catalogues in use."""
        return self._in_use[0]

    @property
    def cache(self) -> AnswerCache:
        """The answers kept from them."""
        return self._in_use[1]

    def use(self, holding: LoadedRules) -> None:
        """Answer from other rules and catalogues from now on; answers under way keep those that they began with."""
        self._in_use = (holding, AnswerCache(self._cache_bytes))

    def engine(self, code: str) -> Engine:
        """Give the compiled rulebook of a code edition. Raises `Faults`."""
        return self.holding.rules(code).engine

    def catalogue(self, name: str) -> Catalogue:
        """Give a catalogue by its name. Raises `Refused`, `Faults`."""
        return self.holding.index(name).catalogue

    def warm_up(self) -> None:
        """Read the rules and the catalogue that questions mean by default; for a process that is to answer for long.

        The whole process then collects garbage in another way (see `gc_tuning.py`).
        """
        self.engine(DEFAULTS[""]["code"])
        self.catalogue(DEFAULTS[""]["catalogue"])
        settle()

    def choose(self, given: Any, *, explain: str = "full") -> Answer:
        """Answer one question given as plain data. Raises `Refused` with every problem where it is none."""
        return self.answer(read_question(given, explain=explain))

    def answer(self, asked: ParsedQuestion, budget: Budget | None = None) -> Answer:
        """Answer a question that was read. Raises `Refused` where it names what is not known here.

        With a budget that is spent, a refused joint has no `remedies`, and is told in its `unsearched`.
        """
        holding, cache = self._in_use
        canonical = asked.question.canonical()
        body = _body(asked, canonical, holding, cache, _key(asked, canonical), budget or Budget())
        self.outcomes.count(body.outcome)
        found: Answer = orjson.loads(_whole(asked, body, _own(asked, body)))
        return found

    def answer_json(self, raw: bytes, *, explain: str = "full") -> bytes:
        """Answer one question in JSON text with JSON text. `explain` is the default for one that does not say.

        Raises `NotText` where it is no JSON, `Refused` with every problem where it is no valid question.
        """
        holding, cache = self._in_use
        rest, written_id = without_id(raw)
        found = cache.by_bytes(explain, rest)
        if found is not None:
            body, own = found
            self.outcomes.count(body.outcome)
            return body.spliced(written_id, own)
        asked = read_question(read_json(raw), explain=explain)
        canonical = asked.question.canonical()
        key = _key(asked, canonical)
        body = _body(asked, canonical, holding, cache, key, Budget())
        self.outcomes.count(body.outcome)
        own = _own(asked, body)
        if asked.id is None or written_id is not None:
            cache.remember(explain, rest, Known(key, own, len(rest)))
        return _whole(asked, body, own)


def _key(asked: ParsedQuestion, canonical: bytes) -> bytes:
    asks = f"{asked.explain} {asked.limit} ".encode()
    return hashlib.sha256(asks + canonical).digest()


def _body(
    asked: ParsedQuestion, canonical: bytes, holding: LoadedRules, cache: AnswerCache, key: bytes, budget: Budget
) -> Body:
    question, brief = asked.question, asked.explain == "brief"
    body = cache.by_question(key)
    # What is kept is paid for like what is not, so that an answer does not depend on what was asked before.
    if body is None or (body.work and not budget.allows(question)):
        match, rules = holding.match(question), holding.rules(question.code)
        if match.outcome not in REMEDIED or budget.allows(question):
            found = find_remedies(question, match, holding)
            remedies = remedies_plain(found, question, match, brief=brief)
            body = write_body(asked, canonical, match, rules, remedies)
            if found.work:
                body = replace(body, work=found.work)
            cache.keep(key, body)
        else:
            body = write_body(asked, canonical, match, rules, [])
    if body.work:
        budget.pay(question, body.work)
    return body


def _own(asked: ParsedQuestion, body: Body) -> bytes:
    """Write what of an answer points into the question as it was sent."""
    own = b'"assumed":%b,"judged":%b' % (assumed_text(asked), judged_text(body.judged, asked.entering))
    return own + b"," + orjson.dumps(read_as_plain(asked.read_as))[1:-1] if asked.read_as else own


def _whole(asked: ParsedQuestion, body: Body, own: bytes) -> bytes:
    written_id = None if asked.id is None else orjson.dumps(asked.id)
    return body.spliced(written_id, own)


@functools.lru_cache(maxsize=1)
def shipped_chooser() -> Chooser:
    """Give the chooser over the shipped rulesets, one a process."""
    return Chooser()


def choose(question: Mapping[str, Any]) -> Answer:
    """Answer one question (the shape of POST /v1/choices) from the shipped rulesets and catalogues.

    Raises `Refused`, whose `problems` carry a JSON Pointer and a sentence each, where it is no valid question.
    """
    return shipped_chooser().choose(question)
