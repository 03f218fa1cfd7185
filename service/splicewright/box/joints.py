"""The joints of a box: each decided with the box known, none spoiling another."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from splicewright.box.model import BoxRequest
from splicewright.json_pointer import join, value_at
from splicewright.question.given import id_of, laid_under, tagged
from splicewright.question.model import Joint
from splicewright.question.read import ParsedQuestion, Sent, read_question
from splicewright.refusals import Problem, Refused, shown
from splicewright.strict_schema import stated

Answering = Callable[[ParsedQuestion], Mapping[str, Any]]
_BY_THE_BOX = ("/code", "/place/enclosure", "/place/box_material")


@dataclass(frozen=True, slots=True)
class Decided:
    """A joint's answer, or its problems, whose pointers are into the request. `joint` None: it could not be read."""

    pointer: str
    id: str | None
    answer: Mapping[str, Any]
    joint: Joint | None = None
    catalogue: str = ""
    asked: ParsedQuestion | None = None
    problems: tuple[Problem, ...] = ()

    @property
    def first(self) -> str | None:
        """The connector of its best option."""
        options = self.answer.get("options", ())
        return str(options[0]["connector"]) if options else None


def decide(
    request: BoxRequest, answer: Answering, sent: Mapping[str, Any], again: Callable[[Mapping[str, Any]], BoxRequest]
) -> list[Decided]:
    """Answer each joint. One that is no valid question has problems instead.

    `answer` gives the answer to a question that was read, or as much of it as the box is to know. It may raise
    `Refused`. `sent` is the request as it was sent, and `again` reads one like it.
    """
    box = _Box(request, sent, again)
    return [_decided(given, join("/joints", at), box, answer) for at, given in enumerate(request.joints)]


@dataclass(frozen=True, slots=True)
class _Box:
    """A request about a box as read, as sent, and how one like it is read."""

    request: BoxRequest
    sent: Mapping[str, Any]
    read: Callable[[Mapping[str, Any]], BoxRequest]

    def joint(self, pointer: str, laid: Collection[str]) -> Sent:
        """Give where a joint stands in it; what its box says of its place is changed there."""
        said = [at for at in _BY_THE_BOX if value_at(self.request.laid, at) is not None]
        return Sent(self.sent, partial(self._again, pointer), pointer, said, laid=laid)

    def _again(self, pointer: str, changed: Mapping[str, Any]) -> ParsedQuestion:
        same = changed.get("place") is self.sent.get("place")
        laid = self.request.laid if same else self.read(changed).laid
        given = value_at(changed, pointer)
        if wrong := list(_contradicting(given, laid)):
            raise Refused(wrong)
        return read_question(tagged(laid_under(given, laid)[0], self.request.tags))


def _decided(given: Any, pointer: str, box: _Box, answer: Answering) -> Decided:
    request, given = box.request, stated(given)
    asked, laid = laid_under(given, request.laid) if isinstance(given, Mapping) else (given, set())
    asked = tagged(asked, request.tags) if isinstance(asked, Mapping) else asked
    sent = box.joint(pointer, laid)
    contradicting = list(_contradicting(given, request.laid))
    try:
        read = read_question(asked, explain=request.explain, include=request.include)
        read = replace(read, sent=sent)
        if not contradicting:
            told = _from_root(answer(read), sent.from_root)
            return Decided(pointer, read.id, told, read.question.joint, read.question.catalogue, read)
        found: tuple[Problem, ...] = ()
    except Refused as error:
        found = error.problems
    told_of = {problem.pointer for problem in found}  # of a word that is not valid the reader says more
    problems = [*(one for one in contradicting if one.pointer not in told_of), *found]
    moved = tuple(replace(problem, pointer=sent.from_root(problem.pointer)) for problem in problems)
    return Decided(pointer, id_of(given), {}, problems=moved)


def _contradicting(given: Any, laid: Mapping[str, Any]) -> Iterator[Problem]:
    for at in _BY_THE_BOX:
        known, found = value_at(laid, at), value_at(given, at)
        if known is not None and found is not None and found != known:
            yield Problem(at, f"is {shown(found)}, but the box of this joint has {shown(known)}; leave it out")


def _from_root(told: Any, place: Callable[[str], str]) -> Any:
    """Make the pointers of a joint's answer lead from the root of what was sent, as those of patches do already."""
    if isinstance(told, list):
        return [_from_root(one, place) for one in told]
    if not isinstance(told, Mapping):
        return told
    return {key: _PLACED.get(key, _from_root)(value, place) for key, value in told.items()}


def _every_key(assumed: Any, place: Callable[[str], str]) -> Any:
    # Of what a finding rests on, `assumed` is no map but says that it was not stated.
    return {place(at): value for at, value in assumed.items()} if isinstance(assumed, Mapping) else assumed


def _one(pointer: str, place: Callable[[str], str]) -> str:
    return place(pointer)


def _as_it_is(value: Any, _: Callable[[str], str]) -> Any:
    return value


#: How what stands under a key of an answer is made to lead from the root.
_PLACED: Mapping[str, Callable[[Any, Callable[[str], str]], Any]] = {
    "at": lambda pointers, place: [place(one) for one in pointers],
    "asks": _one,
    "pointer": _one,
    "assumed": _every_key,
    "patch": _as_it_is,
    "question": _as_it_is,
    "questions": _as_it_is,
}
