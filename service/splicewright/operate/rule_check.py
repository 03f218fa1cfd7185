"""Proves rulesets before they are used: reads them, looks for faults, runs every example through the real parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from splicewright.answering.chooser import Chooser
from splicewright.catalogue import Catalogue
from splicewright.catalogue.checking import sound_catalogue
from splicewright.choice.floor import floor_counts, floor_faults
from splicewright.codes import FILE as DECLARED
from splicewright.codes import codes, edition_of, name_of
from splicewright.engine import UnfitRulebook, derived_rules
from splicewright.faults import Fault, Faults
from splicewright.operate.amendment_check import (
    amendment_faults,
    amendment_file_faults,
    stacks,
    unknown_before,
    unlaid_faults,
)
from splicewright.operate.proving import proving_chooser
from splicewright.operate.rule_compiling import compiling_faults
from splicewright.operate.rule_examples import example_faults, lone_example_faults
from splicewright.operate.rule_notes import RuleNote, notes_of_all
from splicewright.operate.unread import Unread, unread
from splicewright.operate.unread_files import unread_files
from splicewright.project.reading import Project
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, Rulebook, RuleFiles
from splicewright.rulebook.amendment_files import Amendment
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.kept import kept_faults
from splicewright.rulebook.lint import lint, rule_faults
from splicewright.rulebook.translation import Translated, translated, translation_faults
from splicewright.tables.loader import tables_in_use, tables_of


@dataclass(frozen=True, slots=True)
class Checked:
    """The faults found, or all rules of all editions where there are none."""

    faults: tuple[Fault, ...]
    rules: tuple[Rule, ...] = ()
    by_code: Counter[str] | None = None
    amendments: tuple[str, ...] = ()
    examples: int = 0
    floor: tuple[int, int] = (0, 0)  # joints that hold under each edition, and good ones that get options
    digests: tuple[str, ...] = ()  # of each code's rulebook and each catalogue
    unread: tuple[Unread, ...] = ()  # for each edition still to come
    translated: tuple[Translated, ...] = ()  # how much is, for each language
    notes: tuple[RuleNote, ...] = ()  # what is probably not meant, and fails nothing


def check_rulesets(
    rulesets: Path,
    tell: Callable[[str], None] = lambda _: None,
    *,
    kept: bool = False,
    project: Project | None = None,
) -> Checked:
    """Check every code edition and every catalogue of a folder of rulesets.

    Each rule is compiled alone, after `tell` was called with its id, then with the others; its examples run under every
    edition that it holds for. A file that can't be read hides nothing that is wrong in another one, but for what only
    all rules together show. With no other fault, each edition is held to the floor of the folder. With `kept`, the
    folder is also held to what it had reached before, and its translations to the rules, and rules without a fault are
    looked through for what is probably not meant. Amendments of a `project` are checked beside those of the folder, and
    the stack that it says stands for questions which name none.
    """
    of_catalogues = [*_catalogues(rulesets)]
    faults: list[Fault] = [*_codes(rulesets), *_tables(rulesets), *of_catalogues, *_unread(rulesets)]
    rules: dict[str, Rule] = {}
    chooser = proving_chooser(rulesets, _own_amendments(project))
    files = chooser.holding.files
    books = _books(chooser, faults)
    if too_many := _too_many(books.values(), files.amendments.fit.values()):
        return Checked((*faults, too_many))
    of_amendments = [*amendment_file_faults(chooser, books, tell)]
    unfit: list[Fault] = []
    for code in CODES:
        book = books.get(code) or _apart(files, code)
        fresh = [rule for rule in book.rules if rules.get(rule.id) is not rule]  # the others were for another edition
        unfit += compiling_faults(fresh, book, tell)
        faults += lint(book) if code in books else chain(*map(rule_faults, fresh), lone_example_faults(fresh, code))
        if code in books and not book.rules:  # where nothing is asked for, everything would do
            faults.append(Fault(str(rulesets), 1, "", f"holds no rules of {code}; name a folder that does"))
        rules |= {rule.id: rule for rule in book.rules}
    faults += [*unfit, *of_amendments]
    amendments = files.amendments.fit
    laid = () if set(of_amendments) - set(files.amendments.faults) else stacks(amendments, books)
    of_project = [*_of_project(project, amendments, books)]
    faults += unlaid_faults(chooser, of_project)
    if not unfit:
        try:
            for code, book in books.items():
                faults += example_faults(_judged(book.rules, of_catalogues), code, chooser)
            faults += amendment_faults(chooser, laid)
        except UnfitRulebook as error:  # each alone is fit, all together are not
            return Checked((*faults, error.fault(chain(*(one.derived for one in books.values())))))
    if len(books) == len(CODES):
        every = (*rules.values(), *(rule for one in amendments.values() for rule in one.rules))
        faults += unknown_before(every, files)
        faults += _faults_of_keeping(rulesets, rules, files) if kept else []
    asked = dict.fromkeys([*((code, ()) for code in CODES), *stacks(amendments, CODES), *of_project])
    faults += [] if faults else floor_faults(rulesets, chooser.holding.match, asked)
    if faults:
        return Checked(tuple(sorted(set(faults))))
    by_code = Counter({code: len(book.rules) for code, book in books.items()})
    run = [rule for book in books.values() for rule in book.rules]
    run += [rule for one in amendments.values() for rule in one.rules]
    examples = sum(len(rule.fires) + len(rule.silent) for rule in run)
    checked = tuple(rules[rule_id] for rule_id in sorted(rules))
    counts = (tuple(amendments), examples, floor_counts(rulesets), digests(chooser))
    if not kept:
        return Checked((), checked, by_code, *counts, tuple(unread(files)))
    done = translated(rulesets, checked, _concerns(files))
    notes = tuple(notes_of_all(chooser, stacks(amendments, books), _catalogue(rulesets, project)))
    return Checked((), checked, by_code, *counts, tuple(unread(files)), done, notes)


def _faults_of_keeping(rulesets: Path, rules: Mapping[str, Rule], files: RuleFiles) -> list[Fault]:
    return [*kept_faults(rulesets, rules.values()), *translation_faults(rulesets, rules, _concerns(files))]


def _concerns(files: RuleFiles) -> list[str]:
    return [concern["id"] for concern in files.concerns_file.written]


def _own_amendments(project: Project | None) -> Project | None:
    """Give of a project its amendments alone: examples ask the catalogues that the rules were written with."""
    return project and Project(file=project.file, text="", own_amendments=project.own_amendments)


def _of_project(
    project: Project | None, amendments: Mapping[str, Amendment], books: Mapping[str, Rulebook]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give the stack that stands for questions which name none, where a project says it and its parts can be read."""
    code = (project and project.code) or codes().default
    if project and project.amendments and code in books and amendments.keys() >= {*project.amendments}:
        yield code, project.amendments


def _catalogue(rulesets: Path, project: Project | None) -> Catalogue:
    """Give the catalogue that is asked where a question names none, or the first one. Raises `Faults`."""
    holding = Chooser(rulesets, project=project).holding
    return holding.index(holding.unsaid.values.get("catalogue") or holding.catalogue_names()[0]).catalogue


def _books(chooser: Chooser, faults: list[Fault]) -> dict[str, Rulebook]:
    """Give the rulebook of each code edition that has one; `faults` gets why the others have none."""
    books = {}
    for code in CODES:
        try:
            books[code] = chooser.holding.rulebook(code)
        except Faults as error:
            faults += error.faults
    return books


def _apart(files: RuleFiles, code: str) -> Rulebook:
    """Give the rules of a code edition that could be read, where they don't make a rulebook."""
    rules = (rule for rule in files.read_rules(name_of(code)) if rule.holds_in(edition_of(code)))
    return Rulebook(code, tuple({rule.id: rule for rule in rules}.values()), "")


def _judged(rules: Iterable[Rule], of_catalogues: Sequence[Fault]) -> list[Rule]:
    """Leave out the rules whose examples ask a catalogue, where one can't be read."""
    asking = ("refuse", *OF_PROPOSALS) if of_catalogues else ()
    return [rule for rule in rules if rule.effect.kind not in asking]


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
            file = chooser.holding.catalogue_file(name)
            sound_catalogue(file.read_bytes(), str(file), name)
        except Faults as error:
            yield from error.faults


def _too_many(books: Iterable[Rulebook], amendments: Iterable[Amendment]) -> Fault | None:
    every = [rule for book in books for rule in book.derived]
    every += [rule for amendment in amendments for rule in amendment.rules]
    try:
        derived_rules(every)
    except UnfitRulebook as error:
        return error.fault(every)
    return None
