"""Proves rulesets before they are used: reads them, looks for faults, runs every example through the real parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from splicewright.answering.chooser import Chooser
from splicewright.codes import FILE as DECLARED
from splicewright.codes import codes
from splicewright.engine import UnfitRulebook, derived_rules
from splicewright.faults import Fault, Faults
from splicewright.operate.amendment_check import amendment_faults, amendment_file_faults, stacks
from splicewright.operate.floor import floor_counts, floor_faults
from splicewright.operate.rule_compiling import compiling_faults
from splicewright.operate.rule_examples import example_faults
from splicewright.operate.unread import Unread, unread
from splicewright.operate.unread_files import unread_files
from splicewright.question.vocabulary import CODES
from splicewright.refusals import not_allowed
from splicewright.rulebook import Rule, Rulebook, RuleFiles
from splicewright.rulebook.kept import kept_faults
from splicewright.rulebook.lint import lint
from splicewright.tables.loader import tables_in_use, tables_of


@dataclass(frozen=True, slots=True)
class Checked:
    """The faults found, or all rules of all editions where there are none."""

    faults: tuple[Fault, ...]
    rules: tuple[Rule, ...] = ()
    by_code: Counter[str] | None = None
    examples: int = 0
    floor: tuple[int, int] = (0, 0)  # joints that hold under each edition, and good ones that get options
    digests: tuple[str, ...] = ()  # of each code's rulebook and each catalogue
    unread: tuple[Unread, ...] = ()  # for each edition still to come


def check_rulesets(rulesets: Path, tell: Callable[[str], None] = lambda _: None, *, kept: bool = False) -> Checked:
    """Check every code edition and every catalogue of a folder of rulesets.

    Each rule is compiled alone, after `tell` was called with its id, then with the others; its examples run under every
    edition that it holds for. With no other fault, each edition is held to the floor of the folder. With `kept`, the
    folder is also held to what it had reached before.
    """
    faults: list[Fault] = [*_codes(rulesets), *_tables(rulesets), *_catalogues(rulesets), *_unread(rulesets)]
    rules: dict[str, Rule] = {}
    by_code: Counter[str] = Counter()
    examples = 0
    chooser = Chooser(rulesets)
    try:
        books = {code: chooser.holding.rulebook(code) for code in CODES}
    except Faults as error:
        return Checked((*faults, *error.faults))
    if too_many := _too_many(books.values()):
        return Checked((*faults, too_many))
    faults += amendment_file_faults(chooser, books, tell)
    for code, book in books.items():
        if not book.rules:  # where nothing is asked for, everything would do
            faults.append(Fault(str(rulesets), 1, "", f"holds no rules of {code}; name a folder that does"))
        by_code[code] = len(book.rules)
        fresh = [rule for rule in book.rules if rules.get(rule.id) is not rule]  # the others were for another edition
        found = lint(book) or [*compiling_faults(fresh, book, tell)]
        rules |= {rule.id: rule for rule in book.rules}
        if not found and not faults:
            try:
                found += example_faults(book.rules, code, chooser)
            except UnfitRulebook as error:  # each alone is fit, all together are not
                return Checked((error.fault(chain(*(one.derived for one in books.values()))),))
            examples += sum(len(rule.fires) + len(rule.silent) for rule in book.rules)
        faults += found
    faults += _unknown_before(rules)
    faults += kept_faults(rulesets, rules.values()) if kept else []
    amendments = chooser.holding.files.amendments.fit
    faults += [] if faults else amendment_faults(chooser, books)
    examples += sum(len(rule.fires) + len(rule.silent) for one in amendments.values() for rule in one.rules)
    asked = [(code, ()) for code in CODES] + [*stacks(amendments, CODES)]
    faults += [] if faults else floor_faults(rulesets, chooser, asked)
    if faults:
        return Checked(tuple(sorted(set(faults))))
    every = tuple(rules[rule_id] for rule_id in sorted(rules))
    return Checked(
        (), every, by_code, examples, floor_counts(rulesets), digests(chooser), tuple(unread(chooser.holding.files))
    )


def _unknown_before(rules: Mapping[str, Rule]) -> Iterator[Fault]:
    """Tell which rules go on from one that there is not."""
    for rule in rules.values():
        if rule.succeeds is not None and rule.succeeds not in rules:
            yield Fault(rule.file, rule.line, rule.id, f"succeeds: {not_allowed(rule.succeeds, rules)}")


def digests(chooser: Chooser) -> tuple[str, ...]:
    """Give the digests of all rules and catalogues in use; reads those not read yet."""
    chooser.holding.load_everything()
    books = [chooser.holding.rules(code).rulebook.digest for code in CODES]
    amendments = [amendment.digest for amendment in chooser.holding.files.amendments.fit.values()]
    return (*books, *amendments, *(chooser.catalogue(name).digest for name in chooser.holding.catalogue_names()))


def _codes(rulesets: Path) -> Iterator[Fault]:
    try:
        declared = RuleFiles(rulesets).codes
    except Faults as error:
        yield from error.faults
        return
    if (declared.offered(), declared.default) != (codes().offered(), codes().default):
        says = "offers other editions than those in use, which are read once; install or start anew with them"
        yield Fault(DECLARED, 1, "", says)


def _unread(rulesets: Path) -> Iterator[Fault]:
    try:
        yield from unread_files(rulesets, RuleFiles(rulesets).codes)
    except Faults:
        return  # told where the codes are


def _tables(rulesets: Path) -> Iterator[Fault]:
    try:
        if tables_of(rulesets / "tables") not in ({}, tables_in_use()):
            yield Fault(
                "tables", 1, "", "are not the tables in use, which are read once; install or start anew with them"
            )
    except Faults as error:
        yield from error.faults


def _catalogues(rulesets: Path) -> Iterator[Fault]:
    chooser = Chooser(rulesets)
    if not chooser.holding.catalogue_names():
        yield Fault(str(rulesets), 1, "", "holds no catalogue; name a folder that does")
    for name in chooser.holding.catalogue_names():
        try:
            chooser.catalogue(name)
        except Faults as error:
            yield from error.faults


def _too_many(books: Iterable[Rulebook]) -> Fault | None:
    every = [rule for book in books for rule in book.derived]
    try:
        derived_rules(every)
    except UnfitRulebook as error:
        return error.fault(every)
    return None
