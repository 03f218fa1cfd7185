"""Words that a rule leaves out though they are of a kind with those it lists, each with why: none is excused unheard.

A rule says what it is about where its id or its sentence names every word that it lists. Where it does not, nobody sees
whether the others were left out on purpose: `excuses` tells it, as `{circuit: {serves: [motor]}, because: …}`.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

from splicewright.json_pointer import join
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import Problem
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.model import Excuse, Rule
from splicewright.rulebook.schema import has_words
from splicewright.rulebook.word_tests import left_out, lists_only, same_words

_WHY = "because"
_LONGEST = 240
_TOKENS = re.compile(r"[a-z0-9]+")


def read_excuses(raw: Any, pointer: str, problems: list[Problem]) -> tuple[Excuse, ...]:
    """Read the words that a rule excuses, each with why; `problems` gets what is wrong."""
    if not isinstance(raw, list) or not raw:
        problems.append(Problem(pointer, "must be a list, such as [{circuit: {serves: [motor]}, because: …}]"))
        return ()
    return tuple(one for at, entry in enumerate(raw) for one in _entry(entry, join(pointer, at), problems))


def _entry(raw: Any, pointer: str, problems: list[Problem]) -> Iterator[Excuse]:
    why = raw.get(_WHY) if isinstance(raw, dict) else None
    if not isinstance(why, str) or not has_words(why) or len(why) > _LONGEST:
        at = pointer if why is None else join(pointer, _WHY)
        problems.append(Problem(at, f"says why under because, in at most {_LONGEST} characters"))
        return
    words = {group: tests for group, tests in raw.items() if group != _WHY}
    for pattern in read_when([words], pointer, problems):
        for test in pattern.tests:
            kind = fact_kinds().get(test.name)
            if kind is None or kind.reads or not kind.words or test.operator != "any-of":
                problems.append(Problem(pointer, f"{test.name}: excuses words of a leaf of the question"))
            else:
                yield Excuse(test.name, tuple(map(str, test.values)), why)


def excuse_faults(rule: Rule) -> Iterator[str]:
    """Tell which words a rule excuses though it leaves none of them out, or twice."""
    excused = Counter((excuse.leaf, word) for excuse in rule.excuses for word in excuse.words)
    for (leaf, word), times in excused.items():
        if word not in left_out(rule, leaf):
            yield f"{leaf}: {word} is not left out; the rule fires on it"
        if times > 1:
            yield f"{leaf}: {word} stands twice"


def unexcused(rule: Rule, leaf: str) -> tuple[str, ...]:
    """Give the words of a leaf that a rule leaves out with neither an excuse nor a word of what it is about."""
    out = left_out(rule, leaf)
    excused = {word for excuse in rule.excuses if excuse.leaf == leaf for word in excuse.words}
    rest = tuple(word for word in out if word not in excused)
    return () if rest and lists_only(rule, leaf) and _names(rule, leaf, out) else rest


def _names(rule: Rule, leaf: str, out: tuple[str, ...]) -> bool:
    """Tell whether id or sentence name each word that the rule lists, by a part that is in none of those left out."""
    if any(f"{{{name}}}" in rule.says for name in same_words(leaf)):
        return True
    told = _TOKENS.findall(f"{rule.id.partition('/')[2]} {rule.says}".lower())
    others = {part for word in out for part in word.lower().split("-")}
    listed = [word for word in fact_kinds()[leaf].words if word not in out]
    return all(any(one.startswith(part) for one in told for part in _own(word, others)) for word in listed)


def _own(word: str, others: set[str]) -> list[str]:
    return [part for part in word.lower().split("-") if part not in others]
