"""A question in one line, of words of the vocabulary and units: `2 of 12 AWG solid, 1 of 18 AWG; wet; 120 V`.

Each conductor begins with its size, before which may stand how many there are of it (`3 #12`, `three 12 AWG`), and has
its own words; what else is said is parted from it by commas or semicolons. A leaf may be named: `end=ferruled`, `end
ferruled`, `amps 20 A`; amperes beside a word of a breaker are the breaker's. Nothing is guessed: what has two meanings,
no unit, or no place is a problem.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.question.read import read_question
from splicewright.question.read_as import number_with_unit, written
from splicewright.question.short_words import (
    LONGEST_WORD,
    WORDS,
    LeafName,
    each_leaf,
    field_of,
    leaves_saying,
    meanings_in,
    numbers,
    spoken_lists,
    value_length,
    word_of,
    word_tables,
)
from splicewright.refusals import Problem, Refused, Says, not_allowed, shown
from splicewright.strict_fields import Words
from splicewright.units import UNITS, cable_told, size, size_meant, sizes_meant

LONGEST = 2_000  # characters
_COUNTED = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_MANY = rf"(?:[0-9]{{1,3}}|{'|'.join(_COUNTED)})"
_JOINED = r"(?:and|&|to|with)\s+"
#: Items end at a comma, a semicolon or a plus, and where `and` or the like stands before a number.
_ITEM = re.compile(rf"(?:(?!\s{_JOINED}(?:#|{_MANY}\b))[^,;+])+", re.IGNORECASE)
#: What says nothing alone, and is passed over.
_FILLERS = ("a", "an", "at", "in", "on", "the")
#: How many stand before a size; where a word or a sign parts the two, or a word says how many.
_COUNT = re.compile(
    rf"(?:({_MANY})\s*(?:of|x|ea\.?|pcs?\.?)\s+|([0-9]{{1,3}})[\s-]*(?=#|no\.?\s*[0-9])|({'|'.join(_COUNTED)})\s+)(.*)",
    re.IGNORECASE | re.DOTALL,
)
_TIMES = re.compile(r"x([0-9]{1,3})", re.IGNORECASE)
_COUNT_AFTER = re.compile(r"(?:x\s*([0-9]{1,3})|([0-9]{1,3})\s*(?:x|ea|pcs?))\b\.?(.*)", re.IGNORECASE | re.DOTALL)
_NAMED = re.compile(r"([A-Za-z][A-Za-z_ -]*?)\s*[=:]\s*(.+)", re.DOTALL)
_NEGATED = ("not", "no")
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
    "flag": lambda value: {"yes": True, "true": True, "no": False, "false": False}.get(value.lower(), value),
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


def is_short(text: str) -> bool:
    """Tell whether a text may be a question in one line, and no name of a file: it has a blank and a size or a unit."""
    return " " in text.strip() and "\n" not in text.strip() and any(character.isdigit() for character in text)


def read_short(text: str) -> ShortQuestion:
    """Read a question in one line."""
    found = ShortQuestion()
    if len(text) > LONGEST:
        too_long = Says(f"is {len(text):,} characters long; at most {LONGEST:,} are allowed", "too-long")
        found.problems.append(Problem("/column/1", too_long))
        return found
    for item in _ITEM.finditer(text):
        start = item.start() + len(item[0]) - len(item[0].lstrip())
        if item[0].strip():
            text_of_item = re.sub(rf"\A{_JOINED}", "", item[0].strip(), flags=re.IGNORECASE)
            _Item(found, text_of_item, start + 1 + len(item[0].strip()) - len(text_of_item)).read()
    if not found.question.get("joint", {}).get("conductors") and not found.problems:
        says = "names no conductor; begin with its size, such as 2 of 12 AWG"
        found.problems.append(Problem("/column/1", Says(says, "missing")))
    if not found.problems:
        try:
            read_question(found.question)
        except Refused as error:
            found.problems += error.problems
    return found


class _Item:
    """One item of a text: a conductor with its words, or what else is said."""

    def __init__(self, found: ShortQuestion, text: str, column: int) -> None:
        self._found, self._text, self._column = found, text, column
        self._conductor: dict[str, Any] | None = None
        self._last: list[LeafName] = []  # that of the last word, where it was one

    def read(self) -> None:
        """Put what it says into the question."""
        rest = self._conductor_begun(self._text)
        if rest is None:
            return
        named = _NAMED.fullmatch(rest)
        leaves = self._leaves_named(named[1]) if named else []
        if named and leaves and not {field_of(leaf).kind for leaf in leaves} <= {*WORDS, "text"}:
            self._put_named(leaves, named[2].strip())
            return
        tokens = rest.split()
        while tokens:
            taken = self._take(tokens)
            if not taken:
                return
            tokens = tokens[taken:]

    def _conductor_begun(self, text: str) -> str | None:
        """Begin a conductor where the item begins with its size; give what is left, None where it is a problem."""
        counted = _COUNT.fullmatch(text)
        rest = counted[4].strip() if counted else text
        tokens = rest.split()
        for some in (2, 1):
            meant = _size(" ".join(tokens[:some])) if len(tokens) >= some else None
            if meant is not None:
                after = _COUNT_AFTER.fullmatch(" ".join(tokens[some:])) if not counted else None
                many = (after[1] or after[2]) if after else next(filter(None, counted.groups()), "") if counted else ""
                self._conductor = {"size": meant, **({"count": _count(many)} if many else {})}
                self._found.question.setdefault("joint", {}).setdefault("conductors", []).append(self._conductor)
                return after[3].strip() if after else " ".join(tokens[some:])
        if counted and not counted[3]:
            guesses = sizes_meant(tokens[0]) if tokens else []
            write = f"; write {' or '.join(guesses)}" if guesses else "; write it like 12 AWG or 2.5 mm2"
            self._problem(f"{shown(rest[:30])} is no size with its unit{write}", "not-a-size")
            return None
        if len(tokens) > 1 and tokens[0].isdecimal() and (meant := _first_size(tokens[1:])):
            self._problem(f"{shown(text[:30])} may be a count; write {tokens[0]} of {meant}", "not-a-size")
            return None
        if told := cable_told(rest):
            self._problem(told, "not-a-size")
            return None
        return rest

    def _take(self, tokens: list[str]) -> int:
        """Take the longest word or quantity that the tokens begin with; give how many it is of, 0 for a problem."""
        for take in (self._take_named, self._take_beside_a_size):
            if (taken := take(tokens)) is not None:
                return taken
        if tokens[0].lower() in _FILLERS and len(tokens) > 1:
            return 1
        negated = tokens[0].lower() in _NEGATED and len(tokens) > 1
        words = tokens[negated:]
        for some in range(min(LONGEST_WORD, len(words)), 0, -1):
            said = " ".join(words[:some])
            if number_with_unit(said)[1]:
                return some + negated if not negated and self._put_quantity(said, words[some:]) else 0
            meanings = self._meanings(said, flags=negated)
            if meanings:
                return some + negated if self._put_word(said, meanings, negated=negated) else 0
        self._unplaced(tokens[0])
        return 0

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
        if _begins_a_conductor(tokens):
            said = shown(" ".join(tokens[:2]))
            self._problem(f"{said} begins another conductor; put a comma before it", "missing")
            return 0
        return None

    def _leaves_named(self, name: str) -> list[LeafName]:
        """Give the leaves of a name, such as `overcurrent amps` or `place site`; beside a size, of a conductor."""
        said = written(name)
        found = [leaf for leaf, _ in each_leaf() if said in (written(leaf.name), written(f"{leaf.part} {leaf.name}"))]
        return [leaf for leaf in found if (leaf.part == "conductor") is (self._conductor is not None)] or found

    def _meanings(self, said: str, *, flags: bool) -> list[tuple[LeafName, Any]]:
        """Give what a word may mean here: words of the vocabulary before what people say instead."""
        own = "conductor" if self._conductor is not None else ""
        for table in word_tables():
            every = [one for one in meanings_in(table, said) if not flags or one[1] is True]
            here = [one for one in every if (one[0].part == "conductor") == bool(own)] or (every if own else [])
            if here:
                return here
        return []

    def _put_word(self, said: str, meanings: list[tuple[LeafName, Any]], *, negated: bool) -> bool:
        if len(meanings) > 1:
            ways = " or ".join(f"{leaf}={value if value is not True else 'yes'}" for leaf, value in meanings)
            self._problem(
                f"{shown(said)} may be {' or '.join(str(leaf) for leaf, _ in meanings)}; write {ways}", "unknown-word"
            )
            return False
        ((leaf, value),) = meanings
        self._last = [leaf]
        return self._put(leaf, False if negated else value, said)

    def _put_quantity(self, said: str, after: list[str]) -> bool:
        """Put a quantity; of several leaves in its unit the one that the word before or after it is named for."""
        number, unit = number_with_unit(said)
        leaves = [leaf for leaf, of in numbers().items() if unit in of.units and leaf.part != "conductor"]
        if unit == "ft":
            leaves = [leaf for leaf, of in numbers().items() if "in" in of.units]
        beside = [*self._last, *(leaves_saying(after[0]) if after else ())]
        about = {leaf.name.partition("_")[0] for leaf in beside}
        leaves = [leaf for leaf in leaves if leaf.name.partition("_")[0] in about] or leaves
        # A box is told by its inches too, and insulation by its degrees.
        unsaid = ("length", "temperature") if self._conductor is not None else ("length",)
        if len(leaves) == 1 and UNITS.get(unit or "", ("", 0, 0))[0] in unsaid:
            return self._problem(f"{shown(said)} does not say of what; write {leaves[0]} {said}", "missing")
        if len(leaves) == 1:
            return self._put(leaves[0], said if numbers()[leaves[0]].kind == "quantity" else number, said)
        if not leaves:
            return self._problem(f"{shown(said)} says nothing of a joint: no leaf is in {unit}", "unknown-word")
        ways = " or ".join(f"{leaf} {said}" for leaf in leaves)
        return self._problem(f"{shown(said)} may be {', '.join(map(str, leaves))}; write {ways}", "unknown-word")

    def _put_named(self, leaves: list[LeafName], value: str) -> bool:
        if len(leaves) > 1:
            ways = " or ".join(f"{leaf.part} {leaf}={value}" for leaf in leaves)
            return self._problem(f"{shown(str(leaves[0]))} is a leaf of several parts; write {ways}", "unknown-key")
        (leaf,) = leaves
        of = field_of(leaf)
        if of.kind == "number" and of.units and re.fullmatch(_PLAIN, value):
            return self._problem(f"{shown(value)} has no unit; write {leaf} {value} {next(iter(of.units))}", "missing")
        return self._put(leaf, word_of(leaf, value) or _VALUES.get(of.kind, str)(value), value)

    def _put(self, leaf: LeafName, value: Any, said: str) -> bool:
        """Put a value into the question; a problem where another one stands there."""
        if leaf.part == "conductor":
            part = self._conductor
            if part is None:
                return self._problem(f"{shown(said)} is said of a conductor; write it beside its size", "unknown-word")
        elif not leaf.part:
            part = self._found.question
        else:
            part = self._found.question.setdefault(leaf.part, {})
        if leaf.name == "tags" or (leaf.part and isinstance(field_of(leaf), Words)):
            part[leaf.name] = [*part.get(leaf.name, ()), *(value if isinstance(value, list) else [value])]
            return True
        if part.setdefault(leaf.name, value) != value:
            return self._problem(f"{leaf} is said twice: {shown(part[leaf.name])} and {shown(said)}", "twice")
        return True

    def _unplaced(self, token: str) -> None:
        if token.startswith("#") and (sizes := sizes_meant(token)):
            write = " or ".join(sizes)
            self._problem(
                f"{shown(token)} is a size; write {write} before what else is said of its conductor", "missing"
            )
            return
        if re.fullmatch(r"#?[0-9]+([./][0-9]+)?", token):
            sizes = [] if self._conductor is not None else sizes_meant(token)
            ways = [*sizes, f"{token} V", f"{token} A"]
            self._problem(
                f"{shown(token)} is a number without its unit; write {', '.join(ways[:-1])} or {ways[-1]}", "missing"
            )
            return
        words, said = word_tables()
        if written(token) in words or written(token) in said:
            self._problem(f"{shown(token)} is said of a conductor; write it beside its size", "unknown-word")
            return
        several = [spoken.said[written(token)] for spoken in spoken_lists() if written(token) in spoken.said]
        if several:
            self._problem(f"{shown(token)} has several meanings; say {several[0]}", "unknown-word")
            return
        column = self._column + max(0, self._text.find(token))
        told = not_allowed(token, sorted({*words, *said}))
        self._found.problems.append(Problem(f"/column/{column}", Says(told, told.code, told.nearest)))

    def _problem(self, says: str, code: str) -> bool:
        """Tell what can't be placed; nothing was put."""
        self._found.problems.append(Problem(f"/column/{self._column}", Says(says, code)))
        return False


def _count(many: str) -> int:
    return int(many) if many.isdecimal() else _COUNTED.index(many.lower()) + 1


def _begins_a_conductor(tokens: list[str]) -> bool:
    """Say whether tokens begin with a size, or with a number and a size after it."""
    if "#" in tokens[0]:
        return True
    many = tokens[0].isdecimal() or tokens[0].lower() in _COUNTED
    return many and len(tokens) > 1 and (_size(" ".join(tokens[1:3])) or _size(tokens[1])) is not None


def _first_size(tokens: list[str]) -> str | None:
    """Give the first size among tokens, each read alone or with the one after it."""
    for at in range(len(tokens)):
        if meant := _size(" ".join(tokens[at : at + 2])) or _size(tokens[at]):
            return meant
    return None


def _size(text: str) -> str | None:
    try:
        return size(text).text
    except ValueError:
        return size_meant(text)
