"""The floor under every rulebook: questions that no code, edition or amendment may answer otherwise.

`floor.yaml` of a folder of rulesets is a list of entries, each with its `id`, why it is so (`says`), a `question` and
what to `expect` of every answer: an `outcome` (a word or a list of such), what `always` holds of each connector that is
offered, and what `never` does. A folder without the file is asked nothing.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from marshmallow import ValidationError, fields, validate, validates_schema

from splicewright import shipped
from splicewright.catalogue import meets
from splicewright.choice.matching import Match, Option
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.question.answer_vocabulary import OUTCOME
from splicewright.question.model import Question
from splicewright.question.read import UNSAID, read_question
from splicewright.refusals import Problem, Refused
from splicewright.rulebook.comparisons import read_listing_tests
from splicewright.rulebook.model import FactValue, ListingTest
from splicewright.rulebook.schema import ID
from splicewright.strict_fields import Text, Words
from splicewright.strict_schema import Strict, load

FILE = "floor.yaml"
#: Derives and matches a question. Raises `Refused` where it names what is not known.
Ask = Callable[[Question], Match]
_NOT_ASKED = ("code", "amendments")  # the floor is asked under each of them


class _ExpectSchema(Strict):
    outcome = Words(OUTCOME, single=True, least=1)
    always = fields.Raw()
    never = fields.Raw()

    @validates_schema(pass_original=True)
    def _something(self, _data: Any, original: Any, **_: Any) -> None:
        if original == {}:
            raise ValidationError(f"expects nothing; write one or more of: {', '.join(self.fields)}")


class _EntrySchema(Strict):
    id = Text(60, required=True, validate=validate.Regexp(ID, error="is not a phrase of plain words like box-room"))
    says = Text(200, required=True)
    question = fields.Raw(required=True)
    expect = fields.Nested(_ExpectSchema, required=True)


@functools.cache
def _schema() -> Strict:
    return _EntrySchema(many=True)


@dataclass(frozen=True, slots=True)
class FloorEntry:
    """One question with what is expected of its answers, and the line that it stands on.

    `always`: each connector offered passes all of these tests. `never`: none passes all of those.
    """

    id: str
    says: str
    question: Mapping[str, Any]
    outcomes: tuple[str, ...]
    always: tuple[ListingTest, ...]
    never: tuple[ListingTest, ...]
    line: int


def floor_faults(rulesets: Path, ask: Ask, stacks: Iterable[tuple[str, Sequence[str]]]) -> list[Fault]:
    """Give a fault for each entry that cannot be read, or that the answer under one of `stacks` falls below.

    A stack is a code edition and the amendments that are laid over it. `ask` derives and matches a question.
    """
    try:
        entries = _entries(rulesets)
    except Faults as error:
        return list(error.faults)
    catalogue = _catalogue(rulesets)
    return [
        Fault(FILE, entry.line, entry.id, f"{' + '.join((code, *amendments))}: {says}: {entry.says}")
        for code, amendments in stacks
        for entry in entries
        for says in _below(entry, code, amendments, catalogue, ask)
    ]


def floor_counts(rulesets: Path) -> tuple[int, int]:
    """Give how many joints a folder's floor holds, and how many good ones, which only have to get options.

    Raises `Faults`.
    """
    entries = _entries(rulesets)
    good = sum(entry.outcomes == ("options",) and not entry.always and not entry.never for entry in entries)
    return len(entries) - good, good


def _entries(rulesets: Path) -> list[FloorEntry]:
    path = rulesets / FILE
    return read_floor(shipped.read_data_file(path, FILE)) if path.exists() else []


def _catalogue(rulesets: Path) -> str:
    """Give the catalogue that the rules of a folder were written with; one of a project's own lists what it likes."""
    names = sorted(path.stem for path in (rulesets / "catalogues").glob("*.yaml"))
    default: str = UNSAID.values["catalogue"]
    return default if default in names or not names else names[0]


def read_floor(whole: Document) -> list[FloorEntry]:
    """Read the entries of a floor, in their order. Raises `Faults`."""
    if not isinstance(whole.value, list):
        raise whole.faults([Problem("", f"is a list of entries, each with {', '.join(_schema().fields)}")])
    # As in other files, where a list has a name, a fault is told by the id of the entry that it is in.
    document = Document({"floor": whole.value}, lambda pointer: whole.where(pointer.removeprefix("/floor")), FILE)
    try:
        found = load(_schema(), whole.value)
    except Refused as error:
        raise document.faults(
            replace(problem, pointer="/floor" + problem.pointer) for problem in error.problems
        ) from None
    problems: list[Problem] = []
    entries = [_entry(one, join("/floor", at), document, problems) for at, one in enumerate(found)]
    seen: set[str] = set()
    for at, entry in enumerate(entries):
        if entry.id in seen:
            problems.append(Problem(join("/floor", at, "id"), "stands twice"))
        seen.add(entry.id)
    if problems:
        raise document.faults(problems)
    return entries


def _entry(found: Mapping[str, Any], pointer: str, document: Document, problems: list[Problem]) -> FloorEntry:
    question, expect = found["question"], found["expect"]
    asked = join(pointer, "question")
    if isinstance(question, dict):
        problems += [
            Problem(join(asked, key), "is asked under every code, edition and amendment; leave it out")
            for key in _NOT_ASKED
            if key in question
        ]
    try:
        read_question(question)
    except Refused as error:
        problems += [Problem(asked + problem.pointer, problem.says) for problem in error.problems]
    tests = {key: _tests(expect, key, join(pointer, "expect", key), problems) for key in ("always", "never")}
    outcomes = tuple(expect.get("outcome", ()))
    return FloorEntry(found["id"], found["says"], question, outcomes, **tests, line=document.line(pointer))


def _tests(expect: Mapping[str, Any], key: str, pointer: str, problems: list[Problem]) -> tuple[ListingTest, ...]:
    found = read_listing_tests(expect[key], pointer, problems) if key in expect else ()
    if any(isinstance(value, FactValue) for test in found for value in test.values):
        problems.append(Problem(pointer, "compares with a fact of the question; write the value itself"))
    return found


def _below(entry: FloorEntry, code: str, amendments: Sequence[str], catalogue: str, ask: Ask) -> Iterator[str]:
    """Tell in what the answer under a code with amendments falls below an entry."""
    asked = {"catalogue": catalogue, **entry.question, "code": code, "amendments": list(amendments)}
    try:
        match = ask(read_question(asked).question)
    except Refused as error:
        yield error.problems[0].says
        return
    # What a shelf of one's own does not carry is no fault of the rules.
    not_carried = match.outcome == "no-connector" and "options" in entry.outcomes and not match.index.catalogue.demo
    # An amendment may bar, or hand over, what the code lets pass.
    stricter = amendments and match.outcome != "options"
    if entry.outcomes and match.outcome not in entry.outcomes and not (not_carried or stricter):
        yield f"the outcome is {match.outcome}{_offered(match)}, and has to be {' or '.join(entry.outcomes)}"
    if entry.never and (wrong := [one for one in match.options if _passes(one, entry.never)]):
        yield f"offers {_named(wrong)}, which is never to be offered"
    if lacking := [one for one in match.options if not _passes(one, entry.always)]:
        yield f"offers {_named(lacking)}, which lacks what each one offered has to have"


def _named(options: Sequence[Option]) -> str:
    more = f" and {len(options) - 1} more" if len(options) > 1 else ""
    return f"{_name(options[0])}{more}"


def _passes(option: Option, tests: Iterable[ListingTest]) -> bool:
    return all(meets(option.attributes, test) for test in tests)


def _offered(match: Match) -> str:
    return f" with {_name(match.options[0])} first" if match.options else ""


def _name(option: Option) -> str:
    return f"{option.connector.id} ({option.connector.method})"
