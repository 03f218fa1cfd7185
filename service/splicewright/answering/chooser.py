"""One question in, one answer out, from whatever rules and catalogues are in use; and the answers kept from them.

A question that is asked again is neither read nor derived again. What is kept is the body of an answer: all of it but
`id`, `assumed`, `judged` and the patches of remedies, which belong to the question as it was sent: they point into it.
An answer is found by the bytes it was asked with (less the `id`), else its body by the question with its defaults
filled in.
"""

from __future__ import annotations

import gc
import hashlib
import re
import threading
from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cachetools
import orjson

from splicewright import shipped
from splicewright.answering.answer_json import Body, whole, with_id, write_body
from splicewright.catalogue import Catalogue
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.engine import Engine
from splicewright.json_text import read_json
from splicewright.question.model import Question
from splicewright.question.read import ParsedQuestion, read_question
from splicewright.remedies.remedy_rendering import REMEDIED, find_remedies, remedies
from splicewright.work import JOINT, KIND, Budget

if TYPE_CHECKING:
    from splicewright.project.reading import Project

Answer = dict[str, Any]
CACHE_BYTES = 64_000_000
_NEW_OBJECTS = 20_000  # between two collections of new ones: with 100,000 each held an answer up for some 50 ms


class Chooser:
    """Answers questions from one folder of rulesets and catalogues. Safe to share between threads.

    The tables that measures read are always the shipped ones.
    """

    def __init__(
        self,
        rulesets: Path | None = None,
        *,
        project: Project | Path | str | None = None,
        cache_bytes: int = CACHE_BYTES,
        apart: bool = False,
    ) -> None:
        """Answer from `rulesets`, by default the shipped ones, keeping answers of about `cache_bytes` in all.

        `project` is a project file, read or named: what it says stands for questions that do not, and its catalogues
        are beside those of `rulesets`. Raises `Faults` where it can't be read.

        `apart` compiles the rules of each edition alone, for a process that asks one question.
        """
        self.rulesets = rulesets or shipped.folder("rulesets")
        if isinstance(project, Path | str):
            from splicewright.project.reading import read_project  # noqa: PLC0415 - most answers come without one

            project = read_project(project)
        self._cache_bytes = cache_bytes
        self._in_use = (LoadedRules(self.rulesets, project, apart=apart), AnswerCache(cache_bytes))
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

    def with_own_catalogue(self, given: Any, budget: Budget | None = None) -> tuple[Chooser, Any]:
        """Give who answers a request, and the request: with an address where it has a catalogue of its own.

        Raises `Refused` where that is none.
        """
        named = given.get("catalogue") if isinstance(given, Mapping) else None
        if named is None or (isinstance(named, str) and ":" not in named):
            return self, given
        from splicewright.answering.inline import with_its_catalogue  # noqa: PLC0415 - most requests name one

        return with_its_catalogue(self, given, budget)

    def keep_in(self, cache: AnswerCache) -> None:
        """Keep answers in another cache from now on."""
        self._in_use = (self.holding, cache)

    def engine(self, code: str) -> Engine:
        """Give the compiled rulebook of a code edition. Raises `Faults`."""
        return self.holding.rules(code).engine

    def catalogue(self, name: str) -> Catalogue:
        """Give a catalogue by its name. Raises `Refused`, `Faults`."""
        return self.holding.index(name).catalogue

    def warm_up(self) -> None:
        """Read the rules and the catalogue that questions mean by default; for a process that is to answer for long.

        The whole process then collects garbage in another way (see `settle`).
        """
        unsaid = self.holding.unsaid
        self.engine(unsaid.values["code"])
        if "catalogue" in unsaid.values:
            self.catalogue(unsaid.values["catalogue"])
        leave_out()

    def choose(self, given: Any, *, explain: str = "full", include: Sequence[str] = ()) -> Answer:
        """Answer one question given as plain data. Raises `Refused` with every problem where it is none.

        `explain` and `include` say how much to tell where the question does not.
        """
        asking, given = self.with_own_catalogue(given)
        return asking.answer(read_question(given, explain=explain, include=include, unsaid=asking.holding.unsaid))

    def answer(self, asked: ParsedQuestion, budget: Budget | None = None) -> Answer:
        """Answer a question that was read. Raises `Refused` where it names what is not known here.

        With a budget that is spent, a refused joint has no `remedies`, and is told in its `unsearched`. Raises what its
        `watch` raises.
        """
        holding, cache = self._in_use
        if budget is not None:
            budget.lasts(JOINT + KIND * len(asked.question.joint.conductors))
        canonical = asked.question.canonical()
        body = _body(asked, canonical, holding, cache, _key(asked, canonical), budget)
        self.outcomes.count(body.outcome)
        answer: Answer = orjson.loads(with_id(whole(asked, body), None if asked.id is None else orjson.dumps(asked.id)))
        return answer

    def answer_json(
        self, raw: bytes, *, explain: str = "full", include: Sequence[str] = (), budget: Budget | None = None
    ) -> bytes:
        """Answer one question in JSON text with JSON text. `explain` and `include` are for one that does not say.

        Raises `NotText` where it is no JSON, `Refused` with every problem where it is no valid question, and what the
        `watch` of a budget raises.
        """
        holding, cache = self._in_use
        rest, written_id = without_id(raw)
        shown = (explain, *include)
        known = cache.by_bytes(shown, rest)
        if known is None and cache.renewed():
            known = cache.by_bytes(shown, rest)
        if known is not None:
            self.outcomes.count(known.outcome)
            if known.refused is not None and budget is not None:
                budget.pay(known.refused, known.work)
            return with_id(known.answer, written_id)
        asking, given = self.with_own_catalogue(read_json(raw), budget)
        holding = asking.holding if asking is not self else holding
        asked = read_question(given, explain=explain, include=include, unsaid=holding.unsaid)
        canonical = asked.question.canonical()
        body = _body(asked, canonical, holding, cache, _key(asked, canonical), budget)
        self.outcomes.count(body.outcome)
        answer = whole(asked, body)
        if asked.id is not None and written_id is None:  # its id stands where it can't be taken out
            return with_id(answer, orjson.dumps(asked.id))
        refused = asked.question if body.work else None
        cache.remember(shown, rest, Known(body.outcome, answer, len(rest), refused, body.work))
        return with_id(answer, written_id)


def settle() -> None:
    """Collect garbage now, and leave what there is then out of later collections. To be called once rules are read.

    What rules and catalogues are made of stays; looking through all of it again and again took a tenth of the time of
    answers. So it is left out, and the collector waits longer: answers leave few cycles behind.
    It holds for the whole process, and may be called again when other rules were taken into use.
    """
    gc.unfreeze()
    gc.collect()
    leave_out()


def leave_out() -> None:
    """Leave what there is now out of later collections, with the little garbage that reading rules once leaves."""
    gc.freeze()
    gc.set_threshold(_NEW_OBJECTS, *gc.get_threshold()[1:])


def _key(asked: ParsedQuestion, canonical: bytes) -> bytes:
    asks = orjson.dumps([asked.limit, sorted(asked.include)])
    return hashlib.sha256(asks + canonical).digest()


def _body(
    asked: ParsedQuestion,
    canonical: bytes,
    holding: LoadedRules,
    cache: AnswerCache,
    key: bytes,
    budget: Budget | None = None,
) -> Body:
    question = asked.question
    body = cache.by_question(key)
    # What is kept is paid for like what is not, so that an answer does not depend on what was asked before.
    if body is None or (body.work and budget and not budget.allows(question)):
        match, rules = holding.match(question), holding.rules_of(question)
        if match.outcome not in REMEDIED:
            body = write_body(asked, canonical, match, rules)
        elif budget is None or budget.allows(question):
            watch = None if budget is None else budget.watch
            found = find_remedies(question, match, holding, watch)
            told = remedies(found, question, match, asked.include)
            body = replace(write_body(asked, canonical, match, rules, told), work=found.work)
        else:
            return write_body(asked, canonical, match, rules)
        cache.keep(key, body)
    if body.work and budget:
        budget.pay(question, body.work)
    return body


# --- answers kept --------------------------------------------------------------------------------

_ENTRY_OVERHEAD = 400  # bytes that the maps and objects around one entry take, roughly
_JUDGED = 80  # and those of one thing that was judged or not
_TARGET = 900  # and those of one question that a remedy leads to
#: An `id` that stands first or last in the object, and needs no reading: plain characters without escapes.
_S = r"[ \t\n\r]*"  # what may stand between parts of JSON: fewer characters than `\s` has
_ID = rf'"id"{_S}:{_S}("[^"\\\x00-\x1f]{{0,400}}")'
_ID_FIRST = re.compile(rf"{_S}\{{{_S}{_ID}{_S},".encode())
_ID_LAST = re.compile(rf",{_S}{_ID}{_S}\}}{_S}\Z".encode())
_LONGEST_ID = 100


@dataclass(frozen=True, slots=True)
class Known:
    """What the bytes of a question lead to: its answer, without an id."""

    outcome: str
    answer: bytes
    length: int  # of the bytes that it is known by
    refused: Question | None = None  # what remedies were looked for of, with how much work
    work: int = 0


def without_id(raw: bytes) -> tuple[bytes, bytes | None]:
    """Take a plain `id` out of a question's bytes: the rest, and the id as JSON text. (raw, None): there is none."""
    match = _ID_FIRST.match(raw)
    if match:
        rest, found = b"{" + raw[match.end() :], match[1]
    elif (match := _ID_LAST.search(raw, max(0, len(raw) - 500))) is not None:
        rest, found = raw[: match.start()] + b"}", match[1]
    else:
        return raw, None
    try:
        if len(found.decode()) <= _LONGEST_ID + 2:
            return rest, found
    except UnicodeDecodeError:
        pass
    return raw, None


class AnswerCache:
    """Bodies and what leads to them, bounded in bytes, the least lately used leaving first. Safe between threads."""

    def __init__(self, most_bytes: int) -> None:
        """Keep at most about `most_bytes`; 0 keeps nothing."""
        self._entries: cachetools.LRUCache[Any, Any] = cachetools.LRUCache(most_bytes, getsizeof=_size)
        self._lock = threading.Lock()
        self.hits_by_bytes = 0
        self.hits_by_question = 0
        self.misses = 0

    def by_bytes(self, shown: tuple[str, ...], rest: bytes) -> Known | None:
        """Find the answer to a question by how much it tells, and by the question's bytes less the id."""
        with self._lock:
            known: Known | None = self._entries.get((shown, rest))
            if known is not None:
                self.hits_by_bytes += 1
            return known

    def renewed(self) -> bool:
        """Say whether answers that were made elsewhere were taken in just now; here none ever are."""
        return False

    def by_question(self, key: bytes) -> Body | None:
        """Find a body by its key."""
        with self._lock:
            body: Body | None = self._entries.get(key)
            if body is None:
                self.misses += 1
            else:
                self.hits_by_question += 1
            return body

    def keep(self, key: bytes, body: Body) -> None:
        """Keep a body."""
        self._put(key, body)

    def remember(self, shown: tuple[str, ...], rest: bytes, known: Known) -> None:
        """Remember what the bytes of a question lead to."""
        self._put((shown, rest), known)

    def _put(self, key: Any, value: Body | Known) -> None:
        with self._lock, suppress(ValueError):  # it is too large
            self._entries[key] = value

    @property
    def bytes_kept(self) -> int:
        """About how many bytes are kept."""
        return int(self._entries.currsize)


def _size(value: Body | Known) -> int:
    if isinstance(value, Body):
        remedies = sum(len(one.text) + _TARGET * len(one.targets) for one in value.remedies)
        texts = len(value.head) + len(value.tail) + len(value.refusals)
        return _ENTRY_OVERHEAD + texts + _JUDGED * len(value.judged) + remedies
    question = 0 if value.refused is None else _TARGET
    return _ENTRY_OVERHEAD + len(value.answer) + value.length + question


class OutcomeCounts:
    """How many answers were given, by outcome. Safe between threads."""

    def __init__(self) -> None:
        self._counts: Counter[str] = Counter()
        self._lock = threading.Lock()

    def count(self, outcome: str) -> None:
        """Count an answer."""
        with self._lock:
            self._counts[outcome] += 1

    def counts(self) -> dict[str, int]:
        """Give the counts as they are now."""
        with self._lock:
            return dict(self._counts)
