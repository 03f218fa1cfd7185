"""Every list of words, and the forms of all requests: what is needed to build forms."""

from __future__ import annotations

import functools
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from splicewright.forms import Form, FormPart, forms
from splicewright.json_pointer import value_at
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import BASIS, CAUTION, EFFECT, OBTAINED, OUTCOME, VERDICT, WHY
from splicewright.question.read import UNSAID, Unsaid
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.concerns import concern_words, concerns_that_hurt
from splicewright.tables import conductors
from splicewright.tables.conductors import Insulation
from splicewright.units import MM2_PER_KCMIL, size

#: What a project may say for a request.
_UNSAID = ("/code", "/catalogue", "/amendments", "/only/methods", "/only/connectors")
_TOO_SHORT = ("name", "path", "kind")  # say nothing without what they belong to
_ONE = {"methods": "method"}  # a list that other parts and answers take one word of
_SIZES = (
    "Every AWG size is listed, and usual ones of the others: any from 212 to 2500 kcmil and 0.05 to 2500 mm2 will do."
)
#: Nominal cross-sections of IEC 60228, in mm2. Nothing is decided by them: any other may be asked.
_CROSS_SECTIONS = (
    0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300, 400, 500, 630, 800, 1000,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class WordList:
    """Words with their meanings, and where they go: calls and pointers. An answer's words go nowhere."""

    name: str
    about: str
    words: Mapping[str, str]
    at: tuple[tuple[str, str], ...] = ()
    others: bool = False  # whether others of their kind are taken too
    hurts: frozenset[str] = frozenset()  # of concerns: those to be told first where they were not judged

    def to_dict(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        words = [
            {"word": word, "means": means, **({"hurts": True} if word in self.hurts else {})}
            for word, means in self.words.items()
        ]
        return {"name": self.name, "about": self.about, "others": self.others, "words": words}


@functools.cache
def word_lists() -> tuple[WordList, ...]:
    """Give every list of words: those of requests in the order of the contract, then those of answers."""
    asked = _asked()[0]
    return (*asked.values(), *(answer for answer in _of_answers() if answer.name not in asked))


def word_list(name: str) -> WordList:
    """Give a list of words by its name. Raises KeyError."""
    return {one.name: one for one in word_lists()}[name]


def vocabulary_plain(name: str | None = None, call: str | None = None, unsaid: Unsaid | None = None) -> dict[str, Any]:
    """Write every form and list as JSON has them; or the one list of that `name`, or the form of one `call`.

    `unsaid` is what stands here for a request that does not say it. Raises KeyError for a name or call that is not
    there.
    """
    lists = [one.to_dict() for one in (word_lists() if name is None else [word_list(name)])]
    asked = {form.call: form for form in forms()}
    wanted = list(asked.values()) if call is None else [asked[call]]
    told = [] if name is not None else [_form_plain(form, unsaid or UNSAID) for form in wanted]
    return {"forms": told, "lists": lists}


def _form_plain(form: Form, unsaid: Unsaid) -> dict[str, Any]:
    named = _asked()[1]
    parts = [part.to_dict(at, named.get((form.call, part.pointer))) for at, part in enumerate(form.parts, start=1)]
    for part in parts:
        if part["pointer"] in _UNSAID:
            part.pop("assumed", None)
            if (stands := value_at(unsaid.values, part["pointer"])) is not None:
                part["assumed"] = stands
    return {"call": form.call, "groups": [group.to_dict() for group in form.groups], "parts": parts}


@functools.cache
def _asked() -> tuple[dict[str, WordList], dict[tuple[str, str], str]]:
    """Give the lists that requests use by their names, and which one each part has."""
    lists: dict[str, WordList] = {}
    names: dict[tuple[str, str], str] = {}
    for form in forms():
        for part in form.parts:
            if (found := _list_of(part)) is not None:
                names[form.call, part.pointer] = _add(lists, found, form.call, part.pointer)
    return lists, names


def _list_of(part: FormPart) -> WordList | None:
    if part.kind == "size":
        return WordList("", f"{part.field.about} {_SIZES}", _sizes(), others=True)
    return WordList("", part.field.about, _meanings(part.field.words)) if part.field.words else None


def _add(lists: dict[str, WordList], new: WordList, call: str, pointer: str) -> str:
    """Add a list under a name made of where it goes; or where it goes, to a list of the same words. Give its name."""
    for known in lists.values():
        if known.words == new.words:
            lists[known.name] = replace(known, at=(*known.at, (call, pointer)))
            return known.name
    steps = [call.rpartition("/")[2], *(step for step in pointer.split("/") if step and step != "*")]
    name = next(
        joined
        for count in range(2 if steps[-1] in _TOO_SHORT and len(steps) > 1 else 1, len(steps) + 1)
        if (joined := "-".join(steps[-count:]).replace("_", "-")) not in lists
    )
    name = _ONE.get(name, name)
    lists[name] = replace(new, name=name, at=((call, pointer),))
    return name


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


def _of_answers() -> Iterator[WordList]:
    yield WordList("outcome", "What comes of a question.", OUTCOME)
    yield WordList("verdict", "What comes of a check.", VERDICT)
    yield WordList("basis", "How a joint stands in a connector's listing.", BASIS)
    yield WordList("method", "How connectors join.", v.METHODS)
    yield WordList(
        "concern",
        "What a careful electrician asks of a joint; answers tell in `judged` what was.",
        concern_words(),
        hurts=concerns_that_hurt(),
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
