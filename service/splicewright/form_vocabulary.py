"""Every part of a request, with where it goes, what it may hold and what is assumed without it: for building forms.

Found by walking the schemas that read requests, so that nothing offered is refused and nothing taken is left out.
"""

from __future__ import annotations

import functools
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from marshmallow import Schema, fields

from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import BASIS, CAUTION, EFFECT, OBTAINED, OUTCOME, VERDICT, WHY
from splicewright.question.proposal import FlagOrLength, StripSchema
from splicewright.question.read import DEFAULTS, CircuitSchema, JointSchema, PlaceSchema, QuestionSchema, WorkSchema
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.concerns import concern_words
from splicewright.strict_fields import InputField, Words
from splicewright.tables import conductors
from splicewright.tables.conductors import Insulation
from splicewright.units import MM2_PER_KCMIL, size

_TOO_SHORT = ("unit", "name", "path", "kind")  # say nothing without what they belong to
_QUESTIONS = "/v1/choices"
_CALLS: tuple[tuple[str, str, str], ...] = (
    (_QUESTIONS, "splicewright.question.read", "QuestionSchema"),
    ("/v1/checks", "splicewright.inspection.schema", "CheckSchema"),
    ("/v1/boxes", "splicewright.box.schema", "BoxFillSchema"),
    ("/v1/jobs", "splicewright.job.schema", "JobSchema"),
)
#: What other calls share with a question is told once, where questions are asked.
_SHARED: frozenset[type] = frozenset({QuestionSchema, JointSchema, PlaceSchema, CircuitSchema, WorkSchema})
_SIZES = (
    "Every AWG size is listed, and usual ones of the others: any from 212 to 2500 kcmil and 0.05 to 2500 mm2 will do."
)
_DEPENDING = ("/largest", "/isolated")  # of a box: assumed from its other parts
#: Nominal cross-sections of IEC 60228, in mm2. Nothing is decided by them: any other may be asked.
_CROSS_SECTIONS = (
    0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300, 400, 500, 630, 800, 1000,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FormPlace:
    """Where something goes: a call, and a JSON Pointer into its body.

    In it `*` is any place of a list, or any name of a map.
    """

    call: str
    pointer: str

    def to_dict(self) -> dict[str, str]:
        """Write it as JSON has it."""
        return {"call": self.call, "pointer": self.pointer}


@dataclass(frozen=True, slots=True)
class WordList:
    """Words with their meanings, and where they go. An answer's words go nowhere."""

    name: str
    about: str
    words: Mapping[str, str]
    at: tuple[FormPlace, ...] = ()
    several: bool = False  # whether several of them may be given
    assumed: Any = None  # where left out, if that depends on nothing else
    others: bool = False  # whether others of their kind are taken too

    def to_dict(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        found: dict[str, Any] = {"name": self.name, "about": self.about, "at": [one.to_dict() for one in self.at]}
        found |= {"several": self.several, "others": self.others}
        if self.assumed is not None:
            found["assumed"] = self.assumed
        return {**found, "words": [{"word": word, "means": means} for word, means in self.words.items()]}


@dataclass(frozen=True, slots=True)
class FormField:
    """A part that is no word, with its bounds by their names: a number's ends, both included, and decimals."""

    about: str
    at: FormPlace
    bounds: Mapping[str, float]
    assumed: Any = None

    def to_dict(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        found = {"at": self.at.to_dict(), "about": self.about, **self.bounds}
        return found if self.assumed is None else {**found, "assumed": self.assumed}


@dataclass(slots=True)
class _Found:
    lists: dict[str, WordList] = field(default_factory=dict)
    parts: dict[str, list[FormField]] = field(default_factory=lambda: {"numbers": [], "flags": [], "texts": []})


@functools.cache
def word_lists() -> tuple[WordList, ...]:
    """Give every list of words: those of requests in the order of the contract, then those of answers."""
    asked = _walked().lists
    return (*asked.values(), *(answer for answer in _of_answers() if answer.name not in asked))


def word_list(name: str) -> WordList:
    """Give a list of words by its name. Raises KeyError."""
    return {one.name: one for one in word_lists()}[name]


def vocabulary_plain(name: str | None = None) -> dict[str, Any]:
    """Write every part of a request as JSON has it, or the one list of that name. Raises KeyError."""
    lists = word_lists() if name is None else [word_list(name)]
    found: dict[str, Any] = {"lists": [one.to_dict() for one in lists]}
    for kind, parts in _walked().parts.items():
        found[kind] = [part.to_dict() for part in parts] if name is None else []
    return found


@functools.cache
def _walked() -> _Found:
    import importlib  # noqa: PLC0415

    found = _Found()
    for call, module, name in _CALLS:
        schema = getattr(importlib.import_module(module), name)()
        _walk(schema, FormPlace(call, ""), found, frozenset() if call == _QUESTIONS else _SHARED)
    return found


def _walk(schema: Schema, at: FormPlace, found: _Found, told: frozenset[type]) -> None:
    for name, of_part in schema.fields.items():
        place = FormPlace(at.call, f"{at.pointer}/{of_part.data_key or name}")
        inner: fields.Field[Any] = of_part
        about = str(of_part.metadata.get("description", ""))
        if not isinstance(of_part, Words) and isinstance(each := getattr(of_part, "inner", None), fields.Field):
            place, inner = FormPlace(at.call, f"{place.pointer}/*"), each
        if isinstance(inner, InputField):
            _part(inner, place, about, found)
        if isinstance(inner, FlagOrLength):
            _walk(StripSchema(), place, found, told)
        elif isinstance(inner, fields.Nested) and type(inner.schema) not in told:
            _walk(inner.schema, place, found, told)


#: Where fields that have no words are told, by their kind.
_TOLD_IN = {"number": "numbers", "flag": "flags", "flag-or-quantity": "flags", "text": "texts"}


def _part(field: InputField[Any], at: FormPlace, about: str, found: _Found) -> None:
    assumed = _defaults().get((at.call, at.pointer))
    if field.kind in _TOLD_IN:
        found.parts[_TOLD_IN[field.kind]].append(FormField(about, at, field.bounds, assumed))
    elif field.kind == "size":
        _add(found, WordList("", f"{about} {_SIZES}", _sizes(), (at,), others=True))
    elif field.words:
        _add(found, WordList("", about, _meanings(field.words), (at,), field.kind == "words", assumed))


def _add(found: _Found, new: WordList) -> None:
    """Add a list under a name made of where it goes; or where it goes, to a list of the same words taken alike."""
    for known in found.lists.values():
        if (known.words, known.several) == (new.words, new.several):
            found.lists[known.name] = replace(known, at=(*known.at, *new.at))
            return
    call, *steps = [step for step in (new.at[0].call + new.at[0].pointer).split("/")[2:] if step != "*"]
    least = 2 if steps[-1] in _TOO_SHORT and len(steps) > 1 else 1
    steps = [call, *steps]  # names that begin with it are for lists that would else have one in common
    name = next(
        joined
        for count in range(least, len(steps) + 1)
        if (joined := "-".join(steps[-count:]).replace("_", "-")) not in found.lists
    )
    found.lists[name] = replace(new, name=name)


@functools.cache
def _sizes() -> dict[str, str]:
    """Give sizes that a form may offer, the least of each kind first, with their areas in the other kind's unit."""
    gauges = [f"{number} AWG" for number in range(40, 0, -1)] + [f"{number}/0 AWG" for number in range(1, 5)]
    american = [*gauges, *(one for one in conductors.sizes() if one.endswith("kcmil"))]
    found = {one: f"{_shown(size(one).area / 1e6)} mm2" for one in american}
    metric = [f"{one:g} mm2" for one in _CROSS_SECTIONS]
    return found | {one: f"{_shown(size(one).area / 1e6 / float(MM2_PER_KCMIL))} kcmil" for one in metric}


def _shown(area: float) -> str:
    return f"{area:.0f}" if area >= 100 else f"{area:.3g}"


def _meanings(words: Collection[str]) -> dict[str, str]:
    if not isinstance(words, Mapping):
        return {word: word for word in words}
    return {word: means if isinstance(means, str) else _told(word, means) for word, means in words.items()}


def _told(word: str, means: object) -> str:
    if not isinstance(means, Insulation):
        return word
    if means.degrees is None:
        return "no insulation"
    parts = [f"{means.degrees} degC where dry"]
    parts.append(f"{means.degrees_wet} degC where wet" if means.wet else "not for wet places")
    if means.burial:
        parts.append("may be buried")
    if means.volts:
        parts.append(f"{means.volts} V")
    return ", ".join(parts)


@functools.cache
def _defaults() -> dict[tuple[str, str], Any]:
    """Give what is assumed without a part, by its call and pointer, where that depends on no other part."""
    from splicewright.box.read import read_box  # noqa: PLC0415
    from splicewright.job.read import read_job  # noqa: PLC0415

    found: dict[tuple[str, str], Any] = {}
    for group, defaults in DEFAULTS.items():
        start = "/joint/conductors/*" if group == "conductor" else group
        for key, value in defaults.items():
            # What is a map, such as a temperature, is told leaf by leaf.
            leaves = {f"/{leaf}": one for leaf, one in value.items()} if isinstance(value, Mapping) else {"": value}
            found |= {(_QUESTIONS, f"{start}/{key}{leaf}"): one for leaf, one in leaves.items()}
    found |= {("/v1/checks", f"/{key}"): value for key, value in DEFAULTS[""].items()}
    # Those of boxes and jobs are what is assumed of one that says nothing.
    box = read_box({"wires": [{"size": "12 AWG"}], "devices": [{}], "terminal_blocks": [{}]}).assumed
    job = read_job({"joints": [{}], "stock": {}}).assumed
    for call, start, assumed in (("/v1/boxes", "", box), ("/v1/jobs", "/boxes/*", box), ("/v1/jobs", "", job)):
        told = {start + pointer.replace("/0", "/*"): value for pointer, value in assumed.items()}
        found |= {(call, pointer): value for pointer, value in told.items() if not pointer.endswith(_DEPENDING)}
    return found


def _of_answers() -> Iterator[WordList]:
    yield WordList("outcome", "What comes of a question.", OUTCOME)
    yield WordList("verdict", "What comes of a check.", VERDICT)
    yield WordList("basis", "How a joint stands in a connector's listing.", BASIS)
    yield WordList("method", "How connectors join.", v.METHODS)
    yield WordList(
        "concern", "What a careful electrician asks of a joint; answers tell in `judged` what was.", concern_words()
    )
    yield WordList("caution", "Which joints a caution is for.", CAUTION)
    yield WordList("why", "Why a concern was not judged.", WHY)
    yield WordList("phase", "Where in the work a step comes, in this order.", v.PHASES)
    yield WordList("effect", "What a rule does.", EFFECT)
    yield WordList("obtained", "How a rule's source is known.", OBTAINED)
    yield WordList(
        "attribute",
        "What a listing says of a connector, and what demands ask about.",
        {name: kind.about for name, kind in ATTRIBUTES.items()},
    )
