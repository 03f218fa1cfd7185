"""Compiles rules one by one, before they are compiled with others: the library trusts what it is given."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import BinaryIO

from splicewright.engine import Engine, UnfitRulebook
from splicewright.faults import Fault
from splicewright.question.facts import facts_of
from splicewright.rulebook import Rule, Rulebook
from splicewright.rulebook.examples import example_question

_COMPILING = b"compiling "


def teller(out: BinaryIO) -> Callable[[str], None]:
    """Give what tells a parent process of each rule before it is compiled, a line each."""

    def tell(rule: str) -> None:
        out.write(_COMPILING + rule.encode() + b"\n")
        out.flush()

    return tell


def told_by_child(written: bytes) -> tuple[bytes | None, str]:
    """Give the last line that a child process wrote, None where it was still compiling, and the last rule told of."""
    lines = written.splitlines()
    rules = [line.removeprefix(_COMPILING).decode() for line in lines if line.startswith(_COMPILING)]
    ended = lines[-1] if lines and not lines[-1].startswith(_COMPILING) else None
    return ended, rules[-1] if rules else ""


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
