"""One item of a question of one line: a conductor with its words, or what else is said between two commas."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.question.amounts import has_unit, number_with_unit, several_told, unit_told
from splicewright.question.read_as import AMOUNTS
from splicewright.question.short_conductor import begin, begins_another
from splicewright.question.short_doubts import (
    Said,
    answer_alone,
    asked_about,
    asked_for,
    beside,
    misplaced,
    negated_word,
    of_the_next,
    qualifies,
    unplaced,
    word_meant,
)
from splicewright.question.short_quantities import leaf_after, quantity_leaves, quantity_told
from splicewright.question.short_words import (
    FLAGS,
    LONGEST_WORD,
    WORDS,
    LeafName,
    field_of,
    leaves_named,
    meanings_in,
    numbers,
    value_length,
    word_of,
    word_tables,
)
from splicewright.refusals import Problem, Says, shown
from splicewright.strict_fields import Words

#: What says nothing alone, and is passed over; words that a place follows part what stands before and after them.
_ARTICLES = ("a", "an", "the")
_BEFORE_PLACES = ("at", "in", "on")
_NEGATED = ("not", "no")
_INSULATION = LeafName("conductor", "insulation")
_TIMES = re.compile(r"x([0-9]{1,3})", re.IGNORECASE)
_NAMED = re.compile(r"([A-Za-z][A-Za-z_ -]*?)\s*[=:]\s*(.+)", re.DOTALL)
_VOLTS_AND_CURRENT = re.compile(r"([0-9])\s*V(AC|DC)\b", re.IGNORECASE)
_PLAIN = re.compile(r"[0-9]{1,7}(\.[0-9]{1,6})?")


def _number(value: str) -> Any:
    number, unit = number_with_unit(value)
    if unit is not None:
        return number
    if not _PLAIN.fullmatch(value):
        return value  # to be refused
    return float(value) if "." in value else int(value)


#: What is put for the text of a value, by the kind of its leaf.
_VALUES: Mapping[str, Callable[[str], Any]] = {
    "number": _number,
    "flag": lambda value: FLAGS.get(value.lower(), value),
    "tags": str.split,
}


@dataclass
class ShortQuestion:
    """What a text was understood as: a question as callers write it, and what could not be placed.

    A problem's pointer is the column of the text, from 1, as `/column/7`; of what is wrong with the whole question it
    leads into that.
    """

    question: dict[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


class Item:
    """An item of a text, which reads itself into a question."""

    def __init__(self, found: ShortQuestion, text: str, column: int) -> None:
        self._found, self._text, self._column = found, text, column
        self._conductor: dict[str, Any] | None = None
        self._before: Said | None = None  # the word that stands before, with nothing between
        self._number: LeafName | None = None  # that of the number that stands before
        self._place = ""  # the word before a place, such as `in`, where what it leads to is not told yet

    def read(self) -> None:
        """Put what it says into the question."""
        begun = begin(self._text)
        if begun.problem:
            self._problem(begun.problem, "not-a-size")
            return
        if begun.conductor is not None:
            self._conductor = begun.conductor
            self._before = Said(begun.conductor["size"], LeafName("conductor", "size"))
            self._found.question.setdefault("joint", {}).setdefault("conductors", []).append(begun.conductor)
        named = _NAMED.fullmatch(begun.rest)
        leaves = self._leaves_named(named[1]) if named else []
        if named and leaves and not {field_of(leaf).kind for leaf in leaves} <= {*WORDS, "text"}:
            self._put_named(leaves, named[2].strip())
            return
        tokens = _VOLTS_AND_CURRENT.sub(r"\1 V \2", begun.rest).split()
        while tokens:
            taken = self._take(tokens)
            if not taken:
                return
            tokens = tokens[taken:]

    def _take(self, tokens: list[str]) -> int:
        """Take the longest word or quantity that the tokens begin with; give how many it is of, 0 for a problem."""
        for take in (self._take_named, self._take_beside_a_size, self._take_marks, self._take_between):
            if (taken := take(tokens)) is not None:
                return taken
        for some in range(min(LONGEST_WORD, len(tokens)), 0, -1):
            if (more := self._take_phrase(" ".join(tokens[:some]), tokens[some:])) is not None:
                return some + more[0] if more else 0
        return self._unplaced(tokens)

    def _take_phrase(self, said: str, after: list[str]) -> tuple[int] | tuple[()] | None:
        """Take a phrase, and give how many tokens after it go with it; nothing for a problem, None for what is none."""
        if number_with_unit(said)[1]:
            return (leaf_after(after)[1],) if self._put_quantity(said, after) else ()
        if answer_alone(said):
            negated = self._take_negated([said, *after])
            return (negated - 1,) if negated else ()
        told = several_told(said) or asked_about(said, self._number)
        if not told and (meanings := of_the_next(self._meanings(said), after)):
            return (0,) if self._put_word(said, meanings) else ()
        told = told or asked_for(said, conductor=self._conductor is not None)
        if told:
            self._problem(told, "unknown-word")
        return () if told else None

    def _take_named(self, tokens: list[str]) -> int | None:
        """Take a leaf with its value, `end=ferruled` or `end ferruled`, as `_take` does; None where none is named."""
        for some in range(1, min(LONGEST_WORD, len(tokens)) + 1):
            named = _NAMED.fullmatch(" ".join(tokens[:some]))
            if named and (leaves := self._leaves_named(named[1])):
                values = [named[2], *tokens[some:]]
                count = max(1, value_length(leaves, values))
                return some + count - 1 if self._put_named(leaves, " ".join(values[:count])) else 0
        for some in range(min(LONGEST_WORD, len(tokens)), 0, -1):
            leaves = self._leaves_named(" ".join(tokens[:some]))
            if count := value_length(leaves, tokens[some:]):
                return some + count if self._put_named(leaves, " ".join(tokens[some : some + count])) else 0
        return None

    def _take_beside_a_size(self, tokens: list[str]) -> int | None:
        """Take how many there are of a conductor, as `_take` does; None where they begin with no count."""
        if self._conductor is None:
            return None
        if (many := _TIMES.fullmatch(tokens[0])) and "count" not in self._conductor:
            self._conductor["count"] = int(many[1])
            return 1
        if begins_another(tokens):
            said = shown(" ".join(tokens[:2]))
            return self._problem(f"{said} begins another conductor; put a comma before it", "missing")
        return None

    def _take_marks(self, tokens: list[str]) -> int | None:
        """Take several marks of insulation with strokes between, `THHN/THWN-2`, as `_take` does; None for others."""
        marks = tokens[0].split("/")
        meanings = [one for mark in marks for one in meanings_in(word_tables()[0], mark) if one[0] == _INSULATION]
        if self._conductor is None or not len(meanings) == len(marks) > 1:
            return None
        return int(all(self._put_word(str(mark), [(leaf, mark)]) for leaf, mark in meanings))

    def _take_between(self, tokens: list[str]) -> int | None:
        """Pass over what says nothing alone, as `_take` does; None where they begin with something else."""
        between = tokens[0].lower()
        if between in _BEFORE_PLACES and len(tokens) > 1:
            self._before, self._place = self._before if qualifies(self._before) else None, between
            return 1
        return 1 if between in _ARTICLES and len(tokens) > 1 else None

    def _take_negated(self, tokens: list[str]) -> int:
        """Take a flag that is negated, `not continuous`, as `_take` does; no other word can be."""
        negated = tokens[0].lower() in _NEGATED
        for some in range(min(LONGEST_WORD, len(tokens) - 1), 0, -1):
            said = " ".join(tokens[1 : some + 1])
            meanings = self._meanings(said)
            flags = [one for one in meanings if one[1] is True]
            if negated and flags:
                return some + 1 if self._put_word(said, flags, negated=True) else 0
            if meanings:
                return self._problem(negated_word(tokens[0], said, meanings[0][0]), "unknown-word")
        return self._problem(negated_word(tokens[0], " ".join(tokens[1:]), None), "unknown-word")

    def _leaves_named(self, name: str) -> list[LeafName]:
        """Give the leaves of a name, such as `overcurrent amps` or `place site`; beside a size, of a conductor."""
        found = [*leaves_named(name)]
        return [leaf for leaf in found if (leaf.part == "conductor") is (self._conductor is not None)] or found

    def _meanings(self, said: str) -> list[tuple[LeafName, Any]]:
        """Give what a word may mean here: words of the vocabulary before what people say instead.

        A conductor's own words are none elsewhere; what people say instead of them may be meant there too.
        """
        for own, table in zip((True, False), word_tables(), strict=True):
            every = meanings_in(table, said)
            here = [one for one in every if (one[0].part == "conductor") is (self._conductor is not None)]
            if every and self._conductor is None and (own or here):
                return here if own else every
            if here or every:
                return here or every if self._conductor is not None else []
        return []

    def _put_word(self, said: str, meanings: list[tuple[LeafName, Any]], *, negated: bool = False) -> bool:
        if len(meanings) > 1:
            ways = " or ".join(f"{leaf}={value if value is not True else 'yes'}" for leaf, value in meanings)
            told = f"{shown(said)} may be {' or '.join(str(leaf) for leaf, _ in meanings)}; write {ways}"
            return bool(self._problem(told, "unknown-word"))
        ((leaf, value),) = meanings
        word = Said(said, leaf)
        if told := (beside(self._before, word) if self._before else misplaced(self._place, word)):
            return bool(self._problem(told, "unknown-word"))
        self._before, self._number = word, None
        return self._put(leaf, False if negated else value, said)

    def _put_quantity(self, said: str, after: list[str]) -> bool:
        """Put a quantity; of several leaves in its unit the one that the word before or after it is named for."""
        leaves = quantity_leaves(said, self._before, after)
        self._before = None
        if told := quantity_told(said, leaves, after):
            return bool(self._problem(told, "unknown-word"))
        self._number = leaf = leaves[0]
        quantity = numbers()[leaf].kind == "quantity"
        return self._put(leaf, said if quantity else number_with_unit(said)[0], said)

    def _put_named(self, leaves: list[LeafName], value: str) -> bool:
        self._before, self._place = None, ""
        if len(leaves) > 1:
            ways = " or ".join(f"{leaf.part} {leaf}={value}" for leaf in leaves)
            told = f"{shown(str(leaves[0]))} is a leaf of several parts; write {ways}"
            return bool(self._problem(told, "unknown-key"))
        (leaf,) = leaves
        of = field_of(leaf)
        if of.kind in AMOUNTS:
            if of.units and re.fullmatch(_PLAIN, value):
                told = f"{shown(value)} has no unit; write {leaf} {value} {next(iter(of.units))}"
                return bool(self._problem(told, "missing"))
            units = (*of.units, "ft") if "in" in of.units else of.units
            if told := several_told(value) or unit_told(value, units):
                return bool(self._problem(f"{leaf}: {told}", "unknown-word"))
        return self._put(leaf, word_of(leaf, value) or _VALUES.get(of.kind, str)(value), value)

    def _put(self, leaf: LeafName, value: Any, said: str) -> bool:
        """Put a value into the question; a problem where another one stands there."""
        if leaf.part == "conductor":
            part = self._conductor
            if part is None:
                told = f"{shown(said)} is said of a conductor; write it beside its size"
                return bool(self._problem(told, "unknown-word"))
        elif not leaf.part:
            part = self._found.question
        else:
            part = self._found.question.setdefault(leaf.part, {})
        if leaf.name == "tags" or (leaf.part and isinstance(field_of(leaf), Words)):
            part[leaf.name] = [*part.get(leaf.name, ()), *(value if isinstance(value, list) else [value])]
            return True
        there = part.setdefault(leaf.name, value)
        if there != value and (field_of(leaf).kind != "word" or word_meant(there, leaf) != word_meant(value, leaf)):
            told = f"{leaf} is said twice: {shown(part[leaf.name])} and {shown(said)}"
            return bool(self._problem(told, "twice"))
        return True

    def _unplaced(self, tokens: list[str]) -> int:
        said = next((two for two in [" ".join(tokens[:2])] if has_unit(two)), tokens[0])
        told = unplaced(said, conductor=self._conductor is not None)
        column = self._column + (max(0, self._text.find(tokens[0])) if told.allowed else 0)
        self._found.problems.append(Problem(f"/column/{column}", Says(told, told.code, told.nearest)))
        return 0

    def _problem(self, says: str, code: str) -> int:
        """Tell what can't be placed; nothing was taken."""
        self._found.problems.append(Problem(f"/column/{self._column}", Says(says, code)))
        return 0
