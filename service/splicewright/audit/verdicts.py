"""What is found about a question, a proposal or a box, kept for those that are asked again."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import cachetools

from splicewright.answering import Chooser
from splicewright.audit.answers import of_answer, of_check
from splicewright.audit.finding import Judgement, canonical
from splicewright.inspection import check_splice
from splicewright.question.answer_vocabulary import EXPLAIN
from splicewright.question.given import id_of as given_id
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Refused
from splicewright.rulebook.concerns import PREFIX

Plain = Mapping[str, Any]
_KEPT = 4_000


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was decided: the judgements, with pointers into the question, and what a table of answers tells."""

    judged: tuple[Judgement, ...]
    outcome: str
    options: tuple[tuple[str, str, str], ...] = ()  # connector, method and basis of fill, best first
    sources: Mapping[str, Any] = field(default_factory=dict)  # rule -> its source, for the rules judged by


class Verdicts:
    """Decides questions and proposals. Alike ones are decided once; what differs in `id` only is alike."""

    def __init__(self, chooser: Chooser) -> None:
        """Decide by the rules and catalogues of a chooser."""
        self.chooser = chooser
        self._kept: cachetools.LRUCache[bytes, Verdict] = cachetools.LRUCache(_KEPT)
        self._rules: dict[str, Collection[str]] = {}
        self.sources: dict[str, Any] = {}  # rule -> its source, of all that was judged by

    def question(self, given: Plain) -> Verdict:
        """Decide a question. Raises `Refused`."""
        return self._once("question", given, lambda asked: of_question(self.chooser.choose(asked), asked))

    def proposal(self, given: Plain) -> Verdict:
        """Decide a question with a proposal. Raises `Refused`."""
        return self._once("check", given, lambda asked: of_proposal(check_splice(asked, self.chooser), asked))

    def _once(self, kind: str, given: Plain, decide: Callable[[dict[str, Any]], Verdict]) -> Verdict:
        if "id" in given and id_of(given) is None:
            return decide(in_full(given))  # to be refused
        key = kind.encode() + canonical({name: value for name, value in given.items() if name != "id"})
        found = self._kept.get(key)
        if found is None:
            found = self._kept[key] = decide(in_full(given))
            self.sources |= found.sources
        return found

    def of_answer(self, answer: Plain, sent: Plain, within: str) -> Verdict:
        """Make a verdict of a whole answer that was given elsewhere, to a question that was sent within a box."""
        found = of_question(answer, sent, within)
        self.sources |= found.sources
        return found

    def rules(self, code: Any) -> Collection[str]:
        """Give the ids of the rules that hold for a code edition, as a question names it or leaves it out."""
        name = code if isinstance(code, str) and code in CODES else self.chooser.holding.unsaid.values["code"]
        if name not in self._rules:
            book = self.chooser.engine(name).rulebook
            concerns = (f"{PREFIX}/{concern.id}" for concern in book.concerns)
            self._rules[name] = frozenset([*(rule.id for rule in book.rules), *concerns])
        return self._rules[name]


def in_full(given: Plain) -> dict[str, Any]:
    """Ask for the whole answer, unless what was given for `explain` is to be refused."""
    said = given.get("explain", "full")
    return {**given, "explain": "full"} if isinstance(said, str) and said in EXPLAIN else dict(given)


def id_of(given: Any) -> str | None:
    """Give the id of a question, box or job, where it has one that can be its id."""
    return given_id(given) or None


def of_question(answer: Plain, sent: Plain, within: str = "") -> Verdict:
    """Make a verdict of the whole answer to a question, which stands `within` what was sent."""
    return _verdict(tuple(of_answer(answer, sent, within)), answer, answer["outcome"])


def of_proposal(checked: Plain, asked: Plain) -> Verdict:
    """Make a verdict of the whole check of a proposal."""
    return _verdict(tuple(of_check(checked, asked)), checked, checked["verdict"])


def _verdict(judged: tuple[Judgement, ...], answer: Plain, outcome: str) -> Verdict:
    rules = answer.get("rules", {})
    return Verdict(
        judged,
        outcome,
        tuple((option["connector"], option["method"], option["fill"]["basis"]) for option in answer.get("options", ())),
        {judgement.rule: rules[judgement.rule]["source"] for judgement in judged if judgement.rule in rules},
    )


@dataclass(frozen=True)
class JudgedPart:
    """What was judged. The pointers of `judged` go into the entry, as does its own."""

    pointer: str
    joint: str | None  # its id
    known_by: str  # what tells it from others of its file, wherever it stands
    judged: tuple[Judgement, ...]
    waive: Any = None  # as given
    code: Any = None  # the code edition, as given
    asked: Any = None  # the question, with what is laid under it
    verdict: Verdict | None = None


def invalid(error: Refused) -> tuple[Judgement, ...]:
    """Judge what a reader refused."""
    return tuple(
        Judgement("error", "input/invalid", problem.says, problem.pointer, waivable=False) for problem in error.problems
    )


def moved(base: str, judged: Iterable[Judgement]) -> tuple[Judgement, ...]:
    """Move judgements from a part to the entry that it stands in."""
    return (
        tuple(replace(judgement, pointer=base + judgement.pointer) for judgement in judged) if base else tuple(judged)
    )
