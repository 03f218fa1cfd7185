"""Compiles rules one by one, before they are compiled with others: the library trusts what it is given."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from splicewright.engine import Engine, UnfitRulebook
from splicewright.faults import Fault
from splicewright.question.facts import facts_of
from splicewright.rulebook import Rule, Rulebook
from splicewright.rulebook.examples import example_question


def compiling_faults(rules: Iterable[Rule], book: Rulebook, tell: Callable[[str], None]) -> Iterator[Fault]:
    """Compile each rule alone and derive with it, under the code edition of a rulebook; give what can't be compiled.

    `tell` is called with the id of each before it is: the last one told brought the process down, where that ends.
    """
    plain = facts_of(example_question({}, book.code).question)
    for rule in rules:
        tell(rule.id)
        try:
            engine = Engine(replace(book, rules=(rule,)))
        except UnfitRulebook as error:
            yield error.fault([rule])
            continue
        engine.firings(plain)
        engine.close()
