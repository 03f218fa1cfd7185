"""The words that a question in one line may have, and the leaves that they are of."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from splicewright.nearest_word import Spoken
from splicewright.question import vocabulary as v
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.read_as import number_with_unit, written
from splicewright.strict_fields import InputField

LONGEST_WORD = 4  # blanks in a word of several, such as `fine stranded`
WORDS = ("word", "words")  # the kinds of leaves that have some
_PARTS: Mapping[str, type] = {"conductor": Conductor, "joint": Joint, "place": Place, "circuit": Circuit, "work": Work}


class LeafName(NamedTuple):
    """A leaf of a question, by its part and name."""

    part: str
    name: str

    def __str__(self) -> str:
        """Give it as it is named in a text."""
        return self.name.replace("_", " ")


Meanings = Mapping[str, list[tuple[LeafName, Any]]]


def each_leaf() -> Iterator[tuple[LeafName, InputField[Any]]]:
    """Give each leaf of a question that a word may be of."""
    for part, kind in _PARTS.items():
        for name, leaf in leaves_of(kind).items():
            yield LeafName(part, name), leaf.field


@functools.cache
def word_tables() -> tuple[Meanings, Meanings]:
    """Give what each word of the vocabulary means, and what is said instead of words, each as it is written."""
    words: dict[str, list[tuple[LeafName, Any]]] = {}
    said: dict[str, list[tuple[LeafName, Any]]] = {}
    for leaf, of in each_leaf():
        if of.kind == "flag":
            words.setdefault(written(leaf.name), []).append((leaf, True))
        elif of.kind in WORDS:
            for word in of.words:
                words.setdefault(written(word), []).append((leaf, word))
            for spoken, meant in of.words.said.items() if isinstance(of.words, Spoken) else ():
                if meant in of.words:
                    said.setdefault(spoken, []).append((leaf, spoken))
    for code in v.CODES:
        words.setdefault(written(code), []).append((LeafName("", "code"), code))
    return words, said


def meanings_in(table: Meanings, said: str) -> list[tuple[LeafName, Any]]:
    """Give what a word means, or the one that it is several of: `hots`."""
    found = table.get(written(said))
    return table.get(written(said).removesuffix("s"), []) if found is None else found


def leaves_saying(said: str) -> Iterator[LeafName]:
    """Give the leaves that have a word, or something that people say and that may be several of theirs."""
    for table in word_tables():
        yield from (leaf for leaf, _ in meanings_in(table, said))
    for leaf, of in each_leaf():
        words = getattr(of, "words", None)
        if isinstance(words, Spoken) and written(said) in words.said:
            yield leaf


def spoken_lists() -> Iterable[Spoken]:
    """Give each list of words that people say otherwise."""
    return (of.words for _, of in each_leaf() if isinstance(of.words, Spoken))


@functools.cache
def numbers() -> Mapping[LeafName, InputField[Any]]:
    """Give the leaves that are a number with a unit."""
    return {leaf: of for leaf, of in each_leaf() if of.kind in ("number", "quantity") and of.units}


def field_of(leaf: LeafName) -> InputField[Any]:
    """Give what a leaf is read by."""
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
    if {field_of(leaf).kind for leaf in leaves} <= {"number", "quantity"}:
        return 2 if number_with_unit(" ".join(tokens[:2]))[1] else 1
    for some in range(min(LONGEST_WORD, len(tokens)), 0, -1):
        if any(word_of(leaf, " ".join(tokens[:some])) for leaf in leaves):
            return some
    return 0
