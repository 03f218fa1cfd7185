"""Proves rulesets before they are used: reads them, looks for faults, runs every example through the real parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path

from splicewright.answering.chooser import Chooser
from splicewright.choice.matching import speaks
from splicewright.codes import FILE as DECLARED
from splicewright.codes import codes
from splicewright.engine import Engine, UnfitRulebook, derived_rules
from splicewright.faults import Fault, Faults
from splicewright.operate.floor import floor_counts, floor_faults
from splicewright.operate.unread import Unread, unread
from splicewright.question.facts import facts_of
from splicewright.question.proposal import Proposal
from splicewright.question.read import ParsedQuestion
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, Rulebook, RuleFiles
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.examples import example_question, failing_examples, failing_proposals
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
    faults: list[Fault] = [*_codes(rulesets), *_tables(rulesets), *_catalogues(rulesets)]
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
    for code, book in books.items():
        if not book.rules:  # where nothing is asked for, everything would do
            faults.append(Fault(str(rulesets), 1, "", f"holds no rules of {code}; name a folder that does"))
        by_code[code] = len(book.rules)
        found = lint(book) or [*_compiling(book, rules, tell)]
        rules |= {rule.id: rule for rule in book.rules}
        if not found and not faults:
            try:
                found += _examples(book.rules, code, chooser)
            except UnfitRulebook as error:  # each alone is fit, all together are not
                return Checked((_unfit(error, chain(*(one.derived for one in books.values()))),))
            examples += sum(len(rule.fires) + len(rule.silent) for rule in book.rules)
        faults += found
    faults += kept_faults(rulesets, rules.values()) if kept else []
    faults += [] if faults else floor_faults(rulesets, chooser, CODES)
    if faults:
        return Checked(tuple(sorted(set(faults))))
    every = tuple(rules[rule_id] for rule_id in sorted(rules))
    return Checked(
        (), every, by_code, examples, floor_counts(rulesets), digests(chooser), tuple(unread(chooser.holding.files))
    )


def digests(chooser: Chooser) -> tuple[str, ...]:
    """Give the digests of all rules and catalogues in use; reads those not read yet."""
    chooser.holding.load_everything()
    books = [chooser.holding.rules(code).rulebook.digest for code in CODES]
    return (*books, *(chooser.catalogue(name).digest for name in chooser.holding.catalogue_names()))


def _codes(rulesets: Path) -> Iterator[Fault]:
    try:
        declared = RuleFiles(rulesets).codes
    except Faults as error:
        yield from error.faults
        return
    if (declared.offered(), declared.default) != (codes().offered(), codes().default):
        says = "offers other editions than those in use, which are read once; install or start anew with them"
        yield Fault(DECLARED, 1, "", says)


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
        return _unfit(error, every)
    return None


def _unfit(error: UnfitRulebook, rules: Iterable[Rule]) -> Fault:
    rule = next(rule for rule in rules if rule.id == error.rule)
    return Fault(rule.file, rule.line, rule.id, error.says)


def _compiling(book: Rulebook, tried: Mapping[str, Rule], tell: Callable[[str], None]) -> Iterator[Fault]:
    plain = facts_of(example_question({}, book.code).question)
    for rule in book.rules:
        if tried.get(rule.id) is rule:  # for another edition
            continue
        tell(rule.id)
        try:
            engine = Engine(replace(book, rules=(rule,)))
        except UnfitRulebook as error:
            yield Fault(rule.file, rule.line, rule.id, error.says)
            continue
        engine.firings(plain)
        engine.close()


def _examples(rules: tuple[Rule, ...], code: str, chooser: Chooser) -> Iterator[Fault]:
    fill_words = [rule for rule in rules if rule.effect.kind == "refuse"]
    on_proposals = [rule for rule in rules if rule.effect.kind in OF_PROPOSALS]
    derived = [rule for rule in rules if rule.effect.kind not in ("refuse", *OF_PROPOSALS)]
    engine = chooser.engine(code)
    yield from failing_examples(
        derived, code, lambda asked: {finding.rule.id for finding in engine.derive(asked.question).findings}
    )
    yield from failing_examples(fill_words, code, lambda asked: _refusing(chooser, asked))
    yield from failing_proposals(on_proposals, code, lambda asked, proposal: speaking(chooser, asked, proposal))


def speaking(chooser: Chooser, asked: ParsedQuestion, proposal: Proposal) -> set[str]:
    """Give the ids of the rules that speak of a proposed splice which names its method only."""
    method = str(proposal.method)
    connectors = [
        connector for connector in chooser.catalogue(asked.question.catalogue).connectors if connector.method == method
    ]
    return {
        finding.rule.id
        for finding in chooser.engine(asked.question.code).derive(asked.question).findings
        if finding.rule.effect.kind in OF_PROPOSALS and speaks(finding.rule.effect, proposal, method, connectors)
    }


def _refusing(chooser: Chooser, asked: ParsedQuestion) -> set[str]:
    answer = chooser.answer(asked)
    return {reason["rule"] for refusal in answer["refusals"] for reason in refusal["because"]}
