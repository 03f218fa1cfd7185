"""The words that a question in one line may have, and the leaves that they are of."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from splicewright.nearest_word import Spoken
from splicewright.question import vocabulary as v
from splicewright.question.amounts import has_unit, number_with_unit
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.read_as import AMOUNTS, written
from splicewright.question.synonyms import key_synonyms
from splicewright.strict_fields import InputField, Word

LONGEST_WORD = 4  # blanks in a word of several, such as `fine stranded`
FLAGS = {"yes": True, "true": True, "no": False, "false": False}
WORDS = ("word", "words")  # the kinds of leaves that have some
_PARTS: Mapping[str, type] = {"conductor": Conductor, "joint": Joint, "place": Place, "circuit": Circuit, "work": Work}


class LeafName(NamedTuple):
    """A leaf of a question, by its part and name."""

    part: str
    name: str

    def __str__(self) -> str:
        """Give it as it is named in a text."""
        return self.name.replace("_", " ")


CODE = LeafName("", "code")
Meanings = Mapping[str, list[tuple[LeafName, Any]]]


@functools.cache
def each_leaf() -> Sequence[tuple[LeafName, InputField[Any]]]:
    """Give each leaf of a question that a word may be of."""
    return [
        (LeafName(part, name), leaf.field) for part, kind in _PARTS.items() for name, leaf in leaves_of(kind).items()
    ]


@functools.cache
def word_tables() -> tuple[Meanings, Meanings]:
    """Give what each word of the vocabulary means, and what is said instead of words, each as it is written."""
    words: dict[str, list[tuple[LeafName, Any]]] = {}
    said: dict[str, list[tuple[LeafName, Any]]] = {}
    for leaf, of in each_leaf():
        if of.kind == "flag":
            words.setdefault(written(leaf.name), []).append((leaf, True))
            for spoken, name in key_synonyms().meanings.items():
                if name == leaf.name:
                    said.setdefault(spoken, []).append((leaf, True))
        elif of.kind in WORDS:
            for word in of.words:
                words.setdefault(written(word), []).append((leaf, word))
            for spoken, meant in of.words.said.items() if isinstance(of.words, Spoken) else ():
                if meant in of.words:
                    said.setdefault(spoken, []).append((leaf, spoken))
    for code in v.CODES:
        words.setdefault(written(code), []).append((CODE, code))
    return words, said


def meanings_in(table: Meanings, said: str) -> list[tuple[LeafName, Any]]:
    """Give what a word means, or the one that it is several of: `hots`."""
    found = table.get(written(said))
    return table.get(written(said).removesuffix("s"), []) if found is None else found


def several_of(said: str, *, conductor: bool) -> str | None:
    """Give what to say instead of a word of several meanings, of a conductor or of another part before the others."""
    one = written(said)
    lists = [(leaf.part == "conductor", of.words) for leaf, of in each_leaf() if isinstance(of.words, Spoken)]
    found = [(part, words.said[one]) for part, words in lists if one in words.said and words.said[one] not in words]
    return next((says for part, says in sorted(found, key=lambda each: each[0] is not conductor)), None)


def leaves_saying(said: str) -> Iterator[LeafName]:
    """Give the leaves that have a word, or something that people say and that may be several of theirs."""
    for table in word_tables():
        yield from (leaf for leaf, _ in meanings_in(table, said))
    for leaf, of in each_leaf():
        if isinstance(of.words, Spoken) and written(said) in of.words.said:
            yield leaf


@functools.cache
def numbers() -> Mapping[LeafName, InputField[Any]]:
    """Give the leaves that are a number with a unit."""
    return {leaf: of for leaf, of in each_leaf() if of.kind in ("number", "quantity") and of.units}


def leaves_named(name: str) -> Sequence[LeafName]:
    """Give the leaves of a name, such as `overcurrent amps` or `place site`."""
    return _named().get(written(name), ())


@functools.cache
def _named() -> Mapping[str, Sequence[LeafName]]:
    found = {CODE.name: [CODE]}
    for leaf, _ in each_leaf():
        for name in (leaf.name, f"{leaf.part} {leaf.name}"):
            found.setdefault(written(name), []).append(leaf)
    return found


def field_of(leaf: LeafName) -> InputField[Any]:
    """Give what a leaf is read by."""
    if leaf == CODE:
        return Word(v.CODES)
    return leaves_of(_PARTS[leaf.part])[leaf.name].field


def word_of(leaf: LeafName, said: str) -> Any:
    """Give the word of a leaf that is said, or what has several meanings there as it is; None where it is neither."""
    words = getattr(field_of(leaf), "words", None)
    several = said if isinstance(words, Spoken) and written(said) in words.said else None
    return next((word for table in word_tables() for one, word in table.get(written(said), ()) if one == leaf), several)


def value_length(leaves: list[LeafName], tokens: list[str]) -> int:
    """Give of how many of the tokens the value of a leaf is that was named before them; 0 where none begins there."""
    if not leaves or not tokens:
        return 0
    kinds = {field_of(leaf).kind for leaf in leaves}
    if kinds == {"flag"}:
        return int(len(tokens) == 1 and tokens[0].lower() in FLAGS)  # `room no box` may be about a box
    if kinds <= {*AMOUNTS}:
        amount = next((some for some in (3, 2) if number_with_unit(" ".join(tokens[:some]))[1]), 0)
        return amount or (2 if has_unit(" ".join(tokens[:2])) else 1)
    for some in range(min(LONGEST_WORD, len(tokens)), 0, -1):
        if any(word_of(leaf, " ".join(tokens[:some])) for leaf in leaves):
            return some
    return 0
