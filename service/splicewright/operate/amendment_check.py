"""Proves amendments: each with what it builds on, over every code edition that it is for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from splicewright.answering.chooser import Chooser
from splicewright.faults import Fault, Faults
from splicewright.operate.rule_compiling import compiling_faults
from splicewright.operate.rule_examples import example_faults
from splicewright.rulebook import Rulebook
from splicewright.rulebook.amendment_files import Amendment


def amendment_file_faults(
    chooser: Chooser, books: Mapping[str, Rulebook], tell: Callable[[str], None]
) -> Iterator[Fault]:
    """Give what is wrong with the files of amendments, and with their rules one by one.

    Each rule is compiled alone, after `tell` was called with its id: before all of them are compiled together.
    """
    amendments = chooser.holding.files.amendments
    yield from amendments.faults
    for amendment in amendments.fit.values():
        book = next((book for code, book in books.items() if amendment.holds_for(code)), None)
        if book is not None:
            yield from compiling_faults(amendment.rules, book, tell)


def amendment_faults(chooser: Chooser, books: Mapping[str, Rulebook]) -> Iterator[Fault]:
    """Give what is wrong with amendments over each code edition: what can't be laid, and examples that fail."""
    amendments = chooser.holding.files.amendments.fit
    for code, names in stacks(amendments, books):
        try:
            chooser.holding.rulebook(code, names)
        except Faults as error:
            yield from error.faults
        else:
            yield from example_faults(amendments[names[-1]].rules, code, chooser, names)


def stacks(amendments: Mapping[str, Amendment], codes: Iterable[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give each code edition with each amendment that is for it, after those whose rules that one names."""
    for code in codes:
        for name, amendment in amendments.items():
            if amendment.holds_for(code):
                yield code, (*_built_on(name, amendments, ()), name)


def _built_on(name: str, amendments: Mapping[str, Amendment], seen: tuple[str, ...]) -> tuple[str, ...]:
    amendment = amendments[name]
    named = [one.rule for one in amendment.withdraws] + [rule.replaces or "" for rule in amendment.rules]
    found: dict[str, None] = {}
    for beneath in dict.fromkeys(rule.partition("/")[0] for rule in named):
        if beneath in amendments and beneath not in (name, *seen):
            found |= dict.fromkeys((*_built_on(beneath, amendments, (*seen, name)), beneath))
    return tuple(found)
