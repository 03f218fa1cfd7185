"""Rules, concerns and labels in another language, from `words/<language>.yaml` of the rulesets, with their slots.

An answer has English sentences with their slots filled. What stood in a slot is found by the rule's own words, and put
into the same slot of the other language; a sentence that is not its rule's is left as it is.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from marshmallow import fields

from splicewright import shipped
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import Refused, not_allowed
from splicewright.rulebook.lint import PLACES
from splicewright.rulebook.model import Rule
from splicewright.strict_fields import Text
from splicewright.strict_schema import Strict, load
from splicewright.tables.boxes import box_sentences
from splicewright.yaml_text import read_data_file

LANGUAGES = ("es",)
FOLDER = "words"
_LONGEST = 600
_PRINTED_WITH_UNITS = ("volts", "temperature", "length", "amps")
_NUMBERED = re.compile(r"\Aconductor\.[0-9]+\.")
#: What of a rule stands on a work sheet, by what the rule does.
_PRINTED = {
    "step": "do",
    **dict.fromkeys(("caution", "bar", "refer", "demand", "refuse", "defect", "tolerance"), "says"),
}


class _RuleSchema(Strict):
    do = Text(_LONGEST)
    says = Text(_LONGEST)


class _FileSchema(Strict):
    concerns = fields.Dict(keys=Text(120), values=Text(_LONGEST), load_default=dict)
    rules = fields.Dict(keys=Text(120), values=fields.Nested(_RuleSchema), required=True)
    labels = fields.Dict(keys=Text(_LONGEST), values=Text(_LONGEST), required=True)


@dataclass(frozen=True, slots=True)
class Translation:
    """A language: sentences of rules by id and key (`do`, `says`), what concerns ask by id, labels by the English."""

    language: str
    rules: Mapping[str, Mapping[str, str]]
    labels: Mapping[str, str]
    concerns: Mapping[str, str] = field(default_factory=dict)

    def label(self, label: str) -> str:
        """Give a label with its slots open; in English where it has no other."""
        return self.labels.get(label, label)

    def standing(self, said: str) -> str | None:
        """Give a label with its slots filled, or a sentence of no rule's; None where that is not translated."""
        if said in self.labels:
            return self.labels[said]
        for own, words in self.labels.items():
            if "{" in own and (filled := _filled(own, said)) is not None:
                return self._put(words, filled)
        return None

    def sentence(self, rule: Rule, said: str) -> str | None:
        """Give what a rule said, in this language; None where that is not translated or not the rule's."""
        for key, own in (("do", rule.effect.do), ("says", rule.says)):
            words = self.rules.get(rule.id, {}).get(key)
            if words is not None and own is not None and (filled := _filled(own, said)) is not None:
                return self._put(words, filled)
        return None

    def _put(self, words: str, filled: Mapping[str, str]) -> str:
        return PLACES.sub(lambda place: self.label(filled[place[1]]), words)


class Translated(NamedTuple):
    """How many of the sentences that a sheet may have are translated."""

    language: str
    done: int
    of: int


@functools.cache
def translation(language: str) -> Translation:
    """Give a shipped translation. Raises KeyError for a language that there is not."""
    if language not in LANGUAGES:
        raise KeyError(language)
    path = shipped.folder("rulesets") / FOLDER / f"{language}.yaml"
    return _read(shipped.read_data_file(path, path.name), language)


def translation_faults(rulesets: Path, rules: Mapping[str, Rule], concerns: Iterable[str]) -> list[Fault]:
    """Give every fault of the translations of a folder: rules and concerns that there are not, other slots."""
    asked = tuple(concerns)
    try:
        return [fault for document, one in _of_folder(rulesets) for fault in _faults(document, one, rules, asked)]
    except Faults as error:
        return list(error.faults)


def translated(rulesets: Path, rules: Iterable[Rule], concerns: Iterable[str]) -> tuple[Translated, ...]:
    """Count what is translated of rules, of concerns (their ids) and of boxes, of a folder without such a fault."""
    printed = [(rule.id, key) for rule in rules if (key := _printed(rule))]
    asked = tuple(concerns)
    return tuple(
        Translated(
            one.language,
            sum(key in one.rules.get(rule, {}) for rule, key in printed)
            + sum(concern in one.concerns for concern in asked)
            + sum(sentence in one.labels for sentence in box_sentences()),
            len(printed) + len(asked) + len(box_sentences()),
        )
        for _, one in _of_folder(rulesets)
    )


def _printed(rule: Rule) -> str | None:
    """Give which key of a rule a sheet may tell; of what is concluded, what a place is taken for."""
    tests = [(pattern.scope, test.name) for pattern in rule.when for test in pattern.tests]
    of_place = len(tests) > 1 and all(scope != "condition" and name.startswith("place.") for scope, name in tests)
    return "says" if rule.effect.kind == "conclude" and of_place else _PRINTED.get(rule.effect.kind)


def _of_folder(rulesets: Path) -> Iterator[tuple[Document, Translation]]:
    for language in LANGUAGES:
        path = rulesets / FOLDER / f"{language}.yaml"
        if path.exists():
            document = read_data_file(path.read_bytes(), f"{FOLDER}/{path.name}")
            yield document, _read(document, language)


def _read(document: Document, language: str) -> Translation:
    try:
        found = load(_FileSchema(), document.value)
    except Refused as error:
        raise document.faults(error.problems) from None
    return Translation(language, found["rules"], found["labels"], found["concerns"])


def _faults(
    document: Document, one: Translation, rules: Mapping[str, Rule], concerns: Sequence[str]
) -> Iterator[Fault]:
    def fault(pointer: str, part: str, says: str) -> Fault:
        return Fault(document.file, document.line(pointer), part, says)

    for name, told in one.rules.items():
        at = join("/rules", name)
        rule = rules.get(name)
        if rule is None:
            yield fault(at, name, not_allowed(name, rules))
            continue
        for key, words in told.items():
            own = rule.effect.do if key == "do" else rule.says
            if own is None:
                yield fault(at, name, "do: the rule is no step, and has none")
            else:
                yield from _other_slots(functools.partial(fault, at, name), own, words)
    for concern in one.concerns:
        if concern not in concerns:
            yield fault(join("/concerns", concern), concern, not_allowed(concern, concerns))
    for label, words in one.labels.items():
        yield from _other_slots(functools.partial(fault, join("/labels", label), label), label, words)


def _other_slots(fault: Callable[[str], Fault], own: str, words: str) -> Iterator[Fault]:
    named, found = set(PLACES.findall(own)), set(PLACES.findall(words))
    if named != found:
        told = ", ".join(f"{{{one}}}" for one in sorted(named)) or "none"
        yield fault(f"has other slots than the English; it has {told}")


def _slots(own: str) -> list[str]:
    """Give the names of a sentence's slots, each once, in order."""
    return list(dict.fromkeys(PLACES.findall(own)))


def _filled(own: str, said: str) -> dict[str, str] | None:
    """Give what stood in each slot of a sentence; None where it is another, or may be read in two ways."""
    short, long = (pattern.fullmatch(said) for pattern in _patterns(own))
    if short is None or long is None or short.groups() != long.groups():
        return None
    return dict(zip(_slots(own), short.groups(), strict=True))


@functools.lru_cache(maxsize=1024)
def _patterns(own: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Give what a sentence looks like with its slots filled, by as little and by as much as goes into each."""
    return _pattern(own, "?"), _pattern(own, "")


def _pattern(own: str, lazy: str) -> re.Pattern[str]:
    places = {name: at for at, name in enumerate(_slots(own))}
    text, seen = "", set[str]()
    for at, part in enumerate(PLACES.split(own)):
        if at % 2 == 0:
            text += re.escape(part)
        elif part in seen:
            text += f"(?P=slot{places[part]})"
        else:
            seen.add(part)
            text += f"(?P<slot{places[part]}>{_looks(part, lazy)})"
    return re.compile(text)


def _looks(slot: str, lazy: str) -> str:
    """Give what a slot is filled with, by the kind of its fact: a word, words, or a quantity with its unit.

    One that names no fact, such as those of labels, may hold any text.
    """
    if "." not in slot:
        return rf".{{1,200}}{lazy}"
    kind = fact_kinds().get(_NUMBERED.sub("conductor.", slot))
    word = rf"\S{{1,60}}{lazy}"
    quantity = kind is not None and kind.kind in ("size", *_PRINTED_WITH_UNITS)
    return rf"not stated|{word} {word}" if quantity else rf"not stated|{word}(?:, {word}){{0,20}}{lazy}"
