"""What is wrong with what was given: problems, with place, sentence and code, and what is raised for them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from splicewright.nearest_word import Spoken, meant

if TYPE_CHECKING:
    from collections.abc import Iterable

_MOST_LISTED = 30  # words, in a sentence
_MOST_ALLOWED = 100  # words, beside it
MOST_PROBLEMS = 100  # told of what is not valid; those beyond them are counted
USE_ONE_OF = "; use one of: "  # stands before the words that would be right


class Says(str):
    """A sentence that tells what is wrong, with its code and, of a word, the nearest allowed one and those allowed.

    The codes are those of `error_codes.py`; a plain sentence has the code `not-valid`.
    """

    __slots__ = ("allowed", "code", "nearest")
    code: str
    nearest: str | None
    allowed: tuple[str, ...]

    def __new__(cls, says: str, code: str, nearest: str | None = None, allowed: Iterable[str] = ()) -> Self:
        """Make a sentence with its code."""
        found = super().__new__(cls, says)
        found.code, found.nearest, found.allowed = code, nearest, tuple(allowed)
        return found

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.code, self.nearest, self.allowed)

    def within(self, before: str, after: str = "", code: str | None = None) -> Says:
        """Give it as a part of a longer sentence."""
        return Says(f"{before}{self}{after}", code or self.code, self.nearest, self.allowed)


class Further(Says):
    """Tells that there are `number` problems beyond those that were told."""

    number = 1


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: a JSON Pointer (RFC 6901) into what was given, and a sentence; `Says` has a code of its own."""

    pointer: str
    says: str

    @classmethod
    def from_dict(cls, found: Mapping[str, Any]) -> Problem:
        """Make it of what `to_dict` wrote."""
        says = Says(found["says"], found["code"], found.get("nearest"), found.get("allowed", ()))
        return cls(found["pointer"], says)

    @property
    def code(self) -> str:
        """What is wrong, by its code."""
        return self.says.code if isinstance(self.says, Says) else "not-valid"

    def to_dict(self, within: str = "") -> dict[str, Any]:
        """Write it as JSON has it; `within` leads to what the pointer is into."""
        found: dict[str, Any] = {"pointer": within + self.pointer, "says": str(self.says), "code": self.code}
        if isinstance(self.says, Says):
            if self.says.nearest is not None:
                found["nearest"] = self.says.nearest
            if self.says.allowed:
                found["allowed"] = list(self.says.allowed)
        return found


class Refused(ValueError):
    """What was given is not valid. Carries the problems found, never only the first; beyond 100 their count."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        found = tuple(problems)  # a small body may hold so many that to tell each would take a hundred times its bytes
        each = [one for one in found if not isinstance(one.says, Further)]
        if more := sum(one.says.number for one in found if isinstance(one.says, Further)) + len(each[MOST_PROBLEMS:]):
            further = Further(f"and {more:,} more; mend those that are told first", "not-valid")
            further.number = more
            found = (*each[:MOST_PROBLEMS], Problem("", further))
        self.problems = found
        super().__init__("; ".join(f"{p.pointer or '(whole)'}: {p.says}" for p in self.problems))


class NotText(Refused):
    """The text itself is not JSON or YAML. `line` and `column` count from 1 where they are known."""

    def __init__(self, says: str, line: int | None = None, column: int | None = None) -> None:
        super().__init__([Problem("", says if isinstance(says, Says) else Says(says, "not-json"))])
        self.line, self.column = line, column


def told(error: Refused) -> list[dict[str, Any]]:
    """Write every problem as JSON has it; of a text that can't be read also its line and column."""
    found = [problem.to_dict() for problem in error.problems]
    if isinstance(error, NotText) and error.line is not None:
        place = {"line": error.line} if error.column is None else {"line": error.line, "column": error.column}
        return [{**one, **place} for one in found]
    return found


def not_allowed(word: str, words: Iterable[str], code: str = "unknown-word") -> Says:
    """Word the refusal of `word` where only `words` are allowed, with what was meant or all of a short list."""
    if not isinstance(words, Spoken):
        words = list(words)
    guess = meant(word, words)
    allowed = list(words)[:_MOST_ALLOWED]
    if guess and isinstance(words, Spoken) and guess in words.said:
        told = words.said[guess]
        says = f"{shown(word)} is not known; say {f'{told!r}: {words[told]}' if told in words else told}"
        return Says(says, code, told if told in words else None, allowed)
    if guess:
        return Says(f"{shown(word)} is not known; did you mean {guess!r}?", code, guess, allowed)
    if len(words) > _MOST_LISTED:
        return Says(f"{shown(word)} is not known", code, None, allowed)
    return Says(f"{shown(word)} is not known{USE_ONE_OF}{', '.join(words)}", code, None, allowed)


def shown(value: object) -> str:
    """Write a given value back shortly, as JSON would."""
    try:
        text = json.dumps(value, ensure_ascii=True, default=str)
    except (TypeError, ValueError, RecursionError):
        text = "this value"
    return text if len(text) <= 60 else text[:57] + "…"


def clean(text: str) -> str:
    """Keep a text on its line: what a terminal would act on, or nobody would see, is written as its number."""
    if text.isprintable():
        return text
    return "".join(character if character.isprintable() else f"\\x{ord(character):02x}" for character in text)
