"""The joints of a box: each decided with the box known, none spoiling another."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.box.model import BoxRequest
from splicewright.question.given import id_of, laid_under
from splicewright.question.model import Joint, ParsedQuestion
from splicewright.question.read import read_question
from splicewright.reading import Problem, Refused, join, shown, value_at
from splicewright.strict_schema import stated

Answering = Callable[[ParsedQuestion], Mapping[str, Any]]
_BY_THE_BOX = ("/code", "/place/enclosure", "/place/box_material")


@dataclass(frozen=True, slots=True)
class Decided:
    """A joint's answer, or its problems. `joint` None: it could not be read."""

    pointer: str
    answer: Mapping[str, Any]
    joint: Joint | None
    catalogue: str = ""
    asked: ParsedQuestion | None = None

    @property
    def first(self) -> str | None:
        """The connector of its best option."""
        options = self.answer.get("options", ())
        return str(options[0]["connector"]) if options else None


def decide(request: BoxRequest, answer: Answering) -> list[Decided]:
    """Answer each joint. One that is no valid question gets {id, errors: [{pointer, says}]}.

    `answer` gives the answer to a question that was read, or as much of it as the box is to know. It may raise
    `Refused`.
    """
    return [_decided(given, join("/joints", at), request, answer) for at, given in enumerate(request.joints)]


def _decided(given: Any, pointer: str, request: BoxRequest, answer: Answering) -> Decided:
    given = stated(given)
    asked, laid = laid_under(given, request.laid) if isinstance(given, Mapping) else (given, set())
    contradicting = [
        Problem(at, f"is {shown(value_at(given, at))}, but the box of this joint has {shown(known)}; leave it out")
        for at in _BY_THE_BOX
        if (known := value_at(request.laid, at)) is not None and _differs(given, at, known)
    ]
    try:
        read = read_question(asked, explain=request.explain)
        if not contradicting:
            return Decided(pointer, answer(read), read.question.joint, read.question.catalogue, read)
        found: tuple[Problem, ...] = ()
    except Refused as error:
        found = error.problems
    told_of = {problem.pointer for problem in found}  # of a word that is not valid the reader says more
    problems = [*(one for one in contradicting if one.pointer not in told_of), *found]
    told = [Problem(_in_request(one.pointer, pointer, laid), one.says).to_dict() for one in problems]
    return Decided(pointer, {"id": id_of(given), "errors": told}, None)


def _in_request(pointer: str, joint: str, laid: set[str]) -> str:
    """Turn a pointer into a question to one into the request: what was laid under it stands at the top."""
    own = not any(pointer == one or pointer.startswith(f"{one}/") for one in laid)
    return joint + pointer if own else pointer


def _differs(given: Any, pointer: str, known: Any) -> bool:
    found = value_at(given, pointer)
    return found is not None and found != known
