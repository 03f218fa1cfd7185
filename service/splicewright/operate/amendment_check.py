"""Proves amendments: each with what it builds on, over every code edition that it is for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from splicewright.answering.chooser import Chooser
from splicewright.faults import Fault, Faults
from splicewright.operate.rule_compiling import compiling_faults
from splicewright.operate.rule_examples import example_faults
from splicewright.refusals import not_allowed
from splicewright.rulebook import Rule, Rulebook, RuleFiles
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


def amendment_faults(chooser: Chooser, laid: Iterable[tuple[str, tuple[str, ...]]]) -> Iterator[Fault]:
    """Give what is wrong with some `stacks` of amendments: what can't be laid, and examples that fail."""
    amendments = chooser.holding.files.amendments.fit
    for code, names in laid:
        unlaid = [*unlaid_faults(chooser, [(code, names)])]
        yield from unlaid or example_faults(amendments[names[-1]].rules, code, chooser, names)


def unlaid_faults(chooser: Chooser, laid: Iterable[tuple[str, tuple[str, ...]]]) -> Iterator[Fault]:
    """Give why some `stacks` of amendments can't be laid."""
    for code, names in laid:
        try:
            chooser.holding.rulebook(code, names)
        except Faults as error:
            yield from error.faults


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


def unknown_before(rules: Iterable[Rule], files: RuleFiles) -> Iterator[Fault]:
    """Tell which rules go on from one that there is not, in any edition or amendment that can be read."""
    named = [rule for rule in rules if rule.succeeds is not None]
    if not named:
        return
    known = {rule.id for name in files.codes.by_name for rule in files.read_rules(name)}
    known |= {rule.id for amendment in files.amendments.fit.values() for rule in amendment.rules}
    for rule in named:
        if rule.succeeds not in known:
            says = not_allowed(str(rule.succeeds), sorted(known)).within("succeeds: ")
            yield Fault(rule.file, rule.line_of("succeeds"), rule.id, says)
