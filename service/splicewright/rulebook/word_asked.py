"""What is asked by a word of a question: the leaves that have it, each with its meaning there."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.proposal import ProposalSchema
from splicewright.question.vocabulary import METHODS, PROPOSED, SIGNS
from splicewright.refusals import Problem, Refused, not_allowed, shown
from splicewright.rulebook.model import Rule
from splicewright.rulebook.word_tests import Word, same_words

#: What only a proposed splice says, so that no fact holds it: read in what rules do, not in what they test.
OF_PROPOSALS: Mapping[str, Mapping[str, str]] = {
    "proposal.method": METHODS,
    "proposal.signs": SIGNS,
    "proposal": PROPOSED,
}
_FLAGS = {"true": True, "false": False}


@dataclass(frozen=True, slots=True)
class AskedWord:
    """A leaf of a question, or a measure, and a word of it with its meaning; None where the leaf is asked about."""

    leaf: str
    word: Word | None = None
    means: str = ""

    def __str__(self) -> str:
        """Give it as it is asked: `place.enclosure=luminaire`."""
        if self.word is None:
            return self.leaf
        return f"{self.leaf}={str(self.word).lower() if isinstance(self.word, bool) else self.word}"


def read_asked(text: str, rules: Iterable[Rule] = ()) -> tuple[AskedWord, ...]:
    """Read `control`, `enclosure=box`, `place.dwelling=true` or `circuit.kind`: each leaf that is meant, with its word.

    Of a leaf with words of anyone's own, such as `joint.tags`, those are known that some of `rules` test. Raises
    `Refused`.
    """
    leaf, is_one, value = text.partition("=")
    own = _own_words(rules)
    if is_one:
        return tuple(_with_word(name, value, own) for name in _named(leaf, own))
    words = {name: own.get(name) or _words(name) for name in _leaves()}
    having = [name for name in _leaves() if text in words[name]]
    if not having:
        return tuple(AskedWord(name, None, _about(name)) for name in _named(text, own, every=True))
    measures = {measure for name in having if name in fact_kinds() for measure in same_words(name)[1:]}
    return tuple(AskedWord(name, text, words[name][text]) for name in having if name not in measures)


def _own_words(rules: Iterable[Rule]) -> Mapping[str, Mapping[str, str]]:
    """Give the words that rules test of leaves whose words are anyone's own, with what the leaf tells."""
    found: dict[str, dict[str, str]] = {}
    for test in (test for rule in rules for pattern in rule.when for test in pattern.tests):
        kind = fact_kinds().get(test.name)  # none of a condition
        if kind and kind.open:
            found.setdefault(kind.name, {}).update(dict.fromkeys(map(str, test.values), kind.about))
    return found


def _leaves() -> tuple[str, ...]:
    return (*fact_kinds(), *OF_PROPOSALS)


def _named(leaf: str, own: Mapping[str, Mapping[str, str]], *, every: bool = False) -> list[str]:
    """Give the leaves of a name, whole or without its part. Raises `Refused`, where `every` is a word too."""
    plain = leaf.replace("-", "_")
    found = [leaf] if leaf in _leaves() else [name for name in _leaves() if name.rpartition(".")[2] == plain]
    if not found:
        words = {word: "" for name in _leaves() for word in own.get(name) or _words(name)} if every else {}
        parts = dict.fromkeys(part for name in _leaves() for part in (name, name.rpartition(".")[2]))
        raise Refused([Problem("", not_allowed(leaf, [*words, *parts]))])
    return found


def _with_word(leaf: str, value: str, own: Mapping[str, Mapping[str, str]]) -> AskedWord:
    kind = fact_kinds().get(leaf)
    if kind and kind.kind == "flag":
        if value not in _FLAGS:
            raise Refused([Problem("", f"{leaf}: {shown(value)} is neither true nor false")])
        return AskedWord(leaf, _FLAGS[value], _about(leaf))
    words = own.get(leaf) or _words(leaf)
    if not words and kind and kind.open:
        raise Refused([Problem("", f"{leaf} has words of your own, and no rule here tests any")])
    if not words:
        raise Refused([Problem("", f"{leaf} is a figure and has no words; ask for {leaf} alone")])
    if value not in words:
        raise Refused([Problem("", f"{leaf}: {not_allowed(value, words)}")])
    return AskedWord(leaf, value, words[value])


@functools.cache
def _words(leaf: str) -> Mapping[str, str]:
    """Give the words of a leaf with their meanings, of a measure with what it tells; none of a figure or a flag."""
    if leaf in OF_PROPOSALS:
        return OF_PROPOSALS[leaf]
    kind = fact_kinds()[leaf]
    alike = (other.means for other in fact_kinds().values() if other.words == kind.words)
    return kind.means or next(filter(None, alike), dict.fromkeys(kind.words, kind.about))


def _about(leaf: str) -> str:
    """Give what a leaf or a measure tells."""
    if leaf in fact_kinds():
        return fact_kinds()[leaf].about
    key = leaf.partition(".")[2]
    return str(ProposalSchema().fields[key].metadata["description"]) if key else ""
