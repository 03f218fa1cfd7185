"""Which allowed word was meant by one that is not allowed: a slip of the pen, or what people say instead of it.

No word is answered with its opposite: a slip of `inaccessible` looks like `accessible`, and `metallic` more like
`nonmetallic` than like `metal`.
"""

from __future__ import annotations

import difflib
import functools
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from typing import NamedTuple

_NEGATING = ("un", "in", "im", "non", "dis", "de", "not", "no")
_NEAR = 0.6
_LONGEST = 100  # characters that are compared


class Synonyms(NamedTuple):
    """What people say instead of the words of a list: the meaning of each, and the codes that some hold for only."""

    meanings: Mapping[str, str]
    codes: Mapping[str, frozenset[str]]


class Spoken(dict[str, str]):
    """Allowed words with their meanings, and what people say instead of them, read when a word is first refused."""

    __slots__ = ("_read",)

    def __init__(self, read: Callable[[], Synonyms], words: Mapping[str, str]) -> None:
        super().__init__(words)
        self._read = read

    @property
    def said(self) -> Mapping[str, str]:
        """What people say instead, in small letters with hyphens.

        For each the allowed word, or a sentence that goes on after "say" where it has several meanings.
        """
        return self._read().meanings

    def holds_for(self, said: str, code: str) -> bool:
        """Tell whether what is said is said so where a code holds."""
        codes = self._read().codes.get(said)
        return codes is None or code in codes


def nearest(word: str, words: Iterable[str]) -> str | None:
    """Give the allowed word that looks most like `word`, if any is near enough to be meant and none its opposite."""
    return _nearest(word[:_LONGEST].lower(), tuple(words))


def meant(word: str, words: Iterable[str]) -> str | None:
    """Give the nearest of the allowed words and, where they are `Spoken`, of what people say instead of them."""
    return nearest(word, (*words, *words.said) if isinstance(words, Spoken) else words)


@functools.lru_cache(maxsize=1024)
def _nearest(word: str, words: tuple[str, ...]) -> str | None:
    lowered = {one.lower(): one for one in words}
    found = difflib.get_close_matches(word, lowered, n=10, cutoff=_NEAR)
    if not found:
        return None
    guess = min(found, key=lambda one: slips(word, one))  # the first of those as many slips away: the most alike
    if not guess.startswith(word) and 2 * slips(word, guess) >= max(len(word), len(guess)):
        return None
    return None if _turned(word, guess, lowered) or _undecided(word, guess, lowered) else lowered[guess]


def _turned(word: str, guess: str, words: Container[str]) -> bool:
    """Tell whether the two are more alike once a negating prefix is off one of them, or it is off another word."""
    if slips(word, guess) > 1 and any(rest in words for rest in _bare(word)):
        return True
    alike = _alike(word, guess)
    return any(_alike(rest, guess) > alike for rest in _bare(word)) or any(
        _alike(word, rest) > alike for rest in _bare(guess)
    )


def _undecided(word: str, guess: str, words: Iterable[str]) -> bool:
    """Tell whether the opposite of `guess` is allowed too, and as few slips away."""
    opposites = [one for one in words if _opposite(one, guess) or _opposite(guess, one)]
    return any(slips(word, opposite) <= slips(word, guess) for opposite in opposites)


def _opposite(word: str, other: str) -> bool:
    return word.endswith(other) and _negates(word[: -len(other)])


def _bare(word: str) -> Iterator[str]:
    """Give the word without each negating prefix that it may begin with."""
    return (word[length:] for length in range(2, 6) if _negates(word[:length]))


@functools.lru_cache(maxsize=4096)
def _negates(prefix: str) -> bool:
    """Tell whether a prefix negates, a slip in it allowed."""
    written = {one for one in (prefix, prefix.rstrip("-_ ")) if len(one) > 1}
    return any(slips(each, one) < 2 for each in written for one in _NEGATING)


def _alike(word: str, guess: str) -> float:
    return difflib.SequenceMatcher(None, guess, word).ratio()


def slips(word: str, other: str) -> int:
    """Count the least letters to put in, leave out, change, or swap with the next, to make one word of the other."""
    from rapidfuzz.distance import OSA  # noqa: PLC0415 -- no answer needs it

    return OSA.distance(word, other)
