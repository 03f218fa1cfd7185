"""From given values to a Question: refuse what is none, fill in defaults and note each of them."""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from dataclasses import fields as fields_of
from types import MappingProxyType
from typing import Any, NamedTuple

from marshmallow import Schema

from splicewright.json_pointer import value_at
from splicewright.question.answer_vocabulary import INCLUDED
from splicewright.question.given import laid_under
from splicewright.question.leaf import leaves_of
from splicewright.question.model import (
    MOST_CONDUCTORS,
    Circuit,
    Conductor,
    Joint,
    Place,
    Question,
    Work,
)
from splicewright.question.only import ANY, Only
from splicewright.question.read_as import ReadAs, elsewhere, take
from splicewright.question.schema import QuestionSchema
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_fields import Items
from splicewright.strict_schema import (
    QuantityField,
    ReadMap,
    defaults_of,
    load,
    made_once,
    stated,
)
from splicewright.units import Size


@dataclass(frozen=True, slots=True)
class Sent:
    """What was sent as it was written, `root`, with a question at `pointer` in it; never changed.

    `again` reads the question of a root like it, and raises `Refused`. The leaves `of_root` are said for the question
    by the root itself, at the same pointers. `named` is what of the root goes with some of its conductors. `laid` are
    the pointers of what the root has for all of its questions, and this one does not say itself.
    """

    root: Mapping[str, Any]
    again: Callable[[Mapping[str, Any]], ParsedQuestion]
    pointer: str = ""
    of_root: Collection[str] = ()
    named: Sequence[Named] = ()
    laid: Collection[str] = ()

    def from_root(self, pointer: str) -> str:
        """Turn a pointer into the question to one into the root: what was laid under the question stands at the top."""
        own = not any(pointer == one or pointer.startswith(f"{one}/") for one in self.laid)
        return self.pointer + pointer if own else pointer


class Named(NamedTuple):
    """What else of a root stands for conductors of the question, by their size, role and metal, at a pointer."""

    pointer: str
    size: Size
    role: str
    material: str


class Unsaid(NamedTuple):
    """What stands for a question that does not say it: `code`, `catalogue` and `only`, as a question writes them.

    `by` has those that are no defaults of the shipped rules and catalogues, with who says them (`project`, `default`);
    they are always told. Where no catalogue stands for it, a question names one of `catalogues`.
    """

    values: Mapping[str, Any]
    by: Mapping[str, str] = MappingProxyType({})
    catalogues: Sequence[str] = ()

    def filled(
        self, found: Mapping[str, Any], *, needs_catalogue: bool = True
    ) -> tuple[dict[str, Any], dict[str, Any], dict[str, str]]:
        """Lay it under what was read of a request; give also what was laid, by pointer, and by whom that is no default.

        Raises `Refused` where a catalogue has to be named.
        """
        laid, pointers = laid_under(found, self.values)
        if needs_catalogue and "catalogue" not in laid:
            named = f"name one of: {', '.join(self.catalogues)}" if self.catalogues else "and there is none"
            says = Says(f"is required: no catalogue stands for it here; {named}", "missing", None, self.catalogues)
            raise Refused([Problem("/catalogue", says)])
        heads = {at: at[1:].partition("/")[0] for at in pointers}
        told_by = {at: self.by[head] for at, head in heads.items() if head in self.by}
        return laid, {at: value_at(laid, at) for at in pointers}, told_by


@dataclass(frozen=True, slots=True)
class ParsedQuestion:
    """A question with what goes with it but does not decide it."""

    question: Question
    id: str | None = None
    include: frozenset[str] = INCLUDED["full"]
    limit: int = 3
    assumed: Mapping[str, Any] = field(default_factory=dict)  # JSON Pointer into the question as sent: value
    entering: tuple[Conductor, ...] = ()  # the conductors in the order in which they were sent
    read_as: tuple[ReadAs, ...] = ()  # what was taken for another way to write what is meant
    sent: Sent | None = field(default=None, compare=False, repr=False)
    told_by: Mapping[str, str] = field(default_factory=dict)  # what of `assumed` is always told: who says it


class _PartReader:
    """Makes a part of what was given of it, by the declarations of its leaves."""

    def __init__(self, kind: type) -> None:
        leaves = leaves_of(kind)
        self.kind = kind
        self.defaults = {
            name: leaf.default for name, leaf in leaves.items() if leaf.default is not None and not leaf.depends
        }
        self.depending = {name: leaf.default for name, leaf in leaves.items() if leaf.depends}
        fields = {name: leaf.field for name, leaf in leaves.items()}
        self.converted = {name: field for name, field in fields.items() if isinstance(field, Items | QuantityField)}

    def filled(self, given: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
        """Give what its model is made of, and the defaults that were taken; the model has the others itself."""
        assumed = {leaf: default for leaf, default in self.defaults.items() if leaf not in given}
        leaves = {**given}
        for leaf, read in self.converted.items():
            if leaf in given:
                leaves[leaf] = read.held(given[leaf])
        for leaf, default_of in self.depending.items():
            if leaf not in given:
                leaves[leaf] = default = default_of(given)
                if default is not None:
                    assumed[leaf] = default
        return leaves, assumed

    def made(self, given: Mapping[str, Any]) -> _Made:
        """Make the part."""
        leaves, assumed = self.filled(given)
        return _Made(self.kind(**leaves), assumed)


_CONDUCTOR, _JOINT = _PartReader(Conductor), _PartReader(Joint)
_PARTS = {"place": _PartReader(Place), "circuit": _PartReader(Circuit), "work": _PartReader(Work)}
_NOBODY: Mapping[str, str] = MappingProxyType({})
_MISSING = {part: ReadMap() for part in _PARTS}
#: Defaults that depend on nothing else.
DEFAULTS: dict[str, dict[str, Any]] = {
    "": defaults_of(QuestionSchema),
    **{f"/{name}": part.defaults for name, part in {"joint": _JOINT, **_PARTS}.items()},
    "conductor": _CONDUCTOR.defaults,
}
UNSAID = Unsaid({key: DEFAULTS[""][key] for key in ("code", "catalogue")})


def read_question(
    given: Any, *, explain: str = "full", include: Collection[str] = (), unsaid: Unsaid = UNSAID
) -> ParsedQuestion:
    """Read one question. `explain` and `include` are for one that says neither. Raises `Refused` with every problem.

    What is another way to write a word, a size or a quantity is taken for it and told in `read_as`.
    """
    if not isinstance(given, Mapping):
        raise Refused([Problem("", Says("a question is an object with a joint", "wrong-type"))])
    found, _, read_as = load_taking(made_once(QuestionSchema), given, unsaid.values["code"])
    joint, whole = found["joint"], DEFAULTS[""]
    assumed: dict[str, Any] = {f"/{key}": value for key, value in whole.items() if key not in found}
    told_by: Mapping[str, str] = _NOBODY
    if unsaid is not UNSAID:
        found, laid, told_by = unsaid.filled(found)
        assumed |= laid
    if "explain" not in found and "include" not in found:
        assumed["/explain"] = explain
        shown = INCLUDED[explain].union(include)
    else:
        shown = INCLUDED[found.get("explain", "brief")].union(found.get("include", ()))
    place, circuit, work = [_read(found, name, part, assumed) for name, part in _PARTS.items()]
    made_of = [given.made or _conductor(given) for given in joint["conductors"]]
    conductors = tuple([made.value for made in made_of])
    count = sum([conductor.count for conductor in conductors])
    if count > MOST_CONDUCTORS or work.wiring_age == "aluminum-branch" or any(map(_is_marked_bare, conductors)):
        _check_more(joint, work)
    for pointers, made in zip(_POINTERS, made_of, strict=False):
        for leaf, value in made.assumed.items():
            assumed[pointers[leaf]] = value
    leaves, assumed_of_joint = _JOINT.filled({**joint, "conductors": conductors})
    for leaf, value in assumed_of_joint.items():
        assumed[f"/joint/{leaf}"] = value
    for pointer in _CHANGEABLE & assumed.keys():
        assumed[pointer] = copy(assumed[pointer])  # to change freely
    question = Question(
        code=found.get("code", whole["code"]),
        amendments=tuple(found.get("amendments", ())),
        catalogue=found.get("catalogue", whole["catalogue"]),
        joint=_joint(**leaves),
        place=place,
        circuit=circuit,
        work=work,
        only=_only(found["only"]) if "only" in found else ANY,
    )
    limit = found.get("limit", whole["limit"])
    sent = Sent(given, read_question if unsaid is UNSAID else functools.partial(read_question, unsaid=unsaid))
    return ParsedQuestion(question, found.get("id"), shown, limit, assumed, conductors, read_as, sent, told_by)


def _only(given: Mapping[str, Any]) -> Only:
    sent = tuple(given.get("connectors", ()))
    return Only(tuple(sorted(set(sent))), tuple(given.get("methods", ())), sent)


def assumed_plain(
    assumed: Mapping[str, Any], under: str = "", told_by: Mapping[str, str] = MappingProxyType({})
) -> dict[str, Any]:
    """Write what was filled in and by whom, under its pointer into what stands at `under` of what was sent."""
    return {under + at: {"value": assumed[at], "from": told_by.get(at, "default")} for at in sorted(assumed)}


def load_taking(schema: Schema, given: Mapping[str, Any], code: str) -> tuple[dict[str, Any], Any, tuple[ReadAs, ...]]:
    """Read what was sent by a schema; give it as read, as sent with what was taken put in, and what was so taken.

    `code` is the code edition asked where what was sent names none. What is null is left out, and a number that is
    finer than is read is rounded to its safe side. Raises `Refused` with every problem.
    """
    try:
        return load(schema, given), given, ()
    except Refused as error:
        problems = error.problems
    if (said := stated(given)) is not given:
        return load_taking(schema, said, code)
    asked = given.get("code")
    put_in, taken = take(schema, given, asked if isinstance(asked, str) else code)
    if taken:
        try:
            return load(schema, put_in), put_in, taken
        except Refused as error:
            problems = error.problems
    from splicewright.question.keys_meant import key_meant  # noqa: PLC0415 - only what is refused needs it

    raise Refused([elsewhere(schema, key_meant(schema, problem), put_in) for problem in problems])


def in_own_words(given: Mapping[str, Any]) -> tuple[dict[str, Any], tuple[ReadAs, ...]]:
    """Give a question in words, sizes and quantities of its own, and what was sent in others.

    Raises `Refused` with every problem.
    """
    _, own, read_as = load_taking(made_once(QuestionSchema), given, DEFAULTS[""]["code"])
    return own, read_as


@dataclass(frozen=True, slots=True)
class _Made:
    """What was made of a part: its value, and the defaults that it took, by pointer or (of a conductor) by leaf."""

    value: Any
    assumed: Mapping[str, Any]


def _read(found: Mapping[str, Any], name: str, part: _PartReader, assumed: dict[str, Any]) -> Any:
    given = found.get(name, _MISSING[name])
    made = given.made
    if made is None:
        made = part.made(given)
        made = given.made = _Made(made.value, {f"/{name}/{leaf}": value for leaf, value in made.assumed.items()})
    assumed.update(made.assumed)
    return made.value


def _conductor(given: ReadMap) -> _Made:
    made = given.made = _CONDUCTOR.made(given)
    return made


_POINTERS = [
    {leaf: f"/joint/conductors/{at}/{leaf}" for leaf in (*_CONDUCTOR.defaults, *_CONDUCTOR.depending)}
    for at in range(MOST_CONDUCTORS)
]
#: Defaults that whoever gets them may change, so that each gets its own.
_CHANGEABLE = {
    pointer
    for part, defaults in DEFAULTS.items()
    for leaf, default in defaults.items()
    if isinstance(default, list | dict)
    for pointer in ([of[leaf] for of in _POINTERS] if part == "conductor" else [f"{part}/{leaf}"])
}


def _is_marked_bare(conductor: Conductor) -> bool:
    insulation = conductor.insulation
    return insulation is not None and len(insulation) > 1 and "bare" in insulation


@functools.lru_cache(maxsize=4096)
def _joint(*, conductors: tuple[Conductor, ...], **leaves: Any) -> Joint:
    return Joint(conductors=merged(conductors), **leaves)


def _check_more(joint: Mapping[str, Any], work: Work) -> None:
    found = []
    conductors = joint["conductors"]
    total = sum(conductor.get("count", 1) for conductor in conductors)
    if total > MOST_CONDUCTORS:
        found.append(
            Problem(
                "/joint/conductors",
                Says(f"is {total} conductors in all; at most {MOST_CONDUCTORS} are allowed", "wrong-count"),
            )
        )
    for at, conductor in enumerate(conductors):
        pointer = f"/joint/conductors/{at}"
        if work.wiring_age == "aluminum-branch" and "material" not in conductor:
            says = Says("is required where /work/wiring_age is aluminum-branch", "missing")
            found.append(Problem(f"{pointer}/material", says))
        if "bare" in conductor.get("insulation", ()) and len(conductor["insulation"]) > 1:
            alone = "bare stands alone: a bare conductor has no insulation type"
            found.append(Problem(f"{pointer}/insulation", alone))
    if found:
        raise Refused(found)


def merged(conductors: Sequence[Conductor]) -> tuple[Conductor, ...]:
    """Join like conductors into one entry each and sort them: largest first, then by every other word."""
    if len(conductors) == 1:
        return (conductors[0],)
    counts: dict[Conductor, int] = {}
    for conductor in conductors:
        single = so_many(conductor, 1)
        counts[single] = counts.get(single, 0) + conductor.count
    together = [so_many(single, count) for single, count in counts.items()]
    return tuple(sorted(together, key=_order))


def so_many(conductor: Conductor, count: int) -> Conductor:
    """Give so many conductors of a kind."""
    return conductor if conductor.count == count else replace(conductor, count=count)


def _order(conductor: Conductor) -> tuple[Any, ...]:
    return (-conductor.size.area, *(str(getattr(conductor, f.name)) for f in fields_of(Conductor)))
