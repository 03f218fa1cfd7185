"""The rules and catalogues that answers are made from: read and compiled when first needed, never changed."""

from __future__ import annotations

import threading
from collections.abc import Callable, Collection, Mapping, Sequence
from contextlib import suppress
from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property, partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

import orjson

from splicewright.catalogue import Catalogue, read_catalogue
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.choice.matching import Match
from splicewright.engine import CompiledRulebook, Engine, UnfitRulebook
from splicewright.faults import Fault, Faults
from splicewright.question.model import Question
from splicewright.question.only import Only
from splicewright.question.read import UNSAID, Unsaid
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.rulebook import Rule, Rulebook, RuleFiles
from splicewright.rulebook.rule_dependencies import given_behind

if TYPE_CHECKING:
    from splicewright.choice.amended_rules import AmendedRules
    from splicewright.project.reading import Project


@dataclass(frozen=True)
class CompiledRules:
    """A rulebook, compiled, with what answers look up in it."""

    engine: Engine

    @property
    def rulebook(self) -> Rulebook:
        """The rulebook."""
        return self.engine.rulebook

    @cached_property
    def by_id(self) -> Mapping[str, Rule]:
        """Its rules by id."""
        return {rule.id: rule for rule in self.rulebook.rules}

    @cached_property
    def given_behind(self) -> Mapping[str, frozenset[str]]:
        """What its rules rest on in the end: names of given facts by the rule's id."""
        return given_behind(self.rulebook)

    @cached_property
    def citations(self) -> Mapping[str, bytes]:
        """The sources of its rules as answers cite them: `"environment/buried-is-wet":{"source":…}`, by id."""
        cited = {rule.id: orjson.dumps({rule.id: rule.cited()}) for rule in self.rulebook.rules}
        return {rule_id: text[1:-1] for rule_id, text in cited.items()}

    @cached_property
    def fill_words(self) -> Mapping[str, Rule]:
        """The rules that have the words for each verdict of fill."""
        return {rule.effect.verdict: rule for rule in self.rulebook.rules if rule.effect.verdict}


def _says(problem: Problem) -> Says:
    return problem.says if isinstance(problem.says, Says) else Says(problem.says, problem.code)


class LoadedRules:
    """One folder of rulesets and catalogues as it was when they were read. Safe to share between threads."""

    def __init__(
        self, rulesets: Path, project: Project | None = None, *, apart: bool = False, unproved: bool = False
    ) -> None:
        """Hold what `rulesets` has, and what is a project's own, read part by part when first asked for.

        Rules of all editions are compiled together; with `apart`, those of each edition alone: less work for a process
        that asks one question and ends. With `unproved`, stacks of amendments under which the floor does not hold are
        given too: for whoever proves them.
        """
        self._folder, self.project, self._apart, self._unproved = rulesets, project, apart, unproved
        self.files = RuleFiles(rulesets, () if project is None else project.own_amendments)
        self._unfit: dict[str, Faults] = {}  # amendments that can't be compiled with the others, by name
        self._rules: dict[str, CompiledRules] = {}
        self._indexes: dict[str, ConnectorIndex] = {}
        self._lock = threading.Lock()

    def rulebook(self, code: str, amendments: Sequence[str] = ()) -> Rulebook:
        """Give the rulebook of a code edition, with amendments, as it was read, compiled or not. Raises `Faults`."""
        return self.files.rulebook(code, amendments)

    def rules_of(self, question: Question) -> CompiledRules:
        """Give the compiled rules that a question asks. Raises what `rules` raises."""
        return self.rules(question.code, question.amendments)

    def rules(self, code: str, amendments: tuple[str, ...] = ()) -> CompiledRules:
        """Give the compiled rules of a code edition with amendments laid over it.

        Raises `Faults`, `UnfitRulebook`, and `Refused` for amendments that are not known, can't be laid, or under which
        the floor does not hold.
        """
        if amendments:
            try:
                return self._amended.rules(code, amendments)
            except Refused as error:
                raise self._told_whose(amendments, error) from None
        found = self._rules.get(code)
        if found is None:
            with self._lock:
                found = self._rules.get(code)
                if found is None:
                    together = None if self._apart else self._compiled
                    found = self._rules[code] = CompiledRules(Engine(self.files.rulebook(code), together))
        return found

    def _told_whose(self, amendments: tuple[str, ...], error: Refused) -> Refused:
        """Tell of amendments that a project lays, or a command, that the question need not name them."""
        project = self.project
        if project is None or project.amendments != amendments:
            return error
        whose = project.file.name if project.amendments_from == "project" else "--amend"
        after = f" ({', '.join(amendments)} of {whose} stand where nothing else is said; write amendments: [] for none)"
        return Refused(replace(one, says=_says(one).within("", after)) for one in error.problems)

    @cached_property
    def _amended(self) -> AmendedRules:
        from splicewright.choice.amended_rules import AmendedRules  # noqa: PLC0415 - most questions name none

        compiled = None if self._apart else lambda: self._compiled
        return AmendedRules(self.files, compiled, self._unfit, None if self._unproved else self.match_by)

    @cached_property
    def _compiled(self) -> CompiledRulebook:
        """The rules of all editions that can be read and all amendments, compiled once: each stack is a mask of them.

        An amendment whose rules can't be compiled with the others is left out, and told when it is asked for.
        """
        rules: list[Rule] = []
        for code in CODES:
            with suppress(Faults):  # told when that edition is asked for
                rules += self.files.rulebook(code).derived
        amendments = {**self.files.amendments.fit}
        while True:
            try:
                return CompiledRulebook(chain(rules, *(amendment.rules for amendment in amendments.values())))
            except UnfitRulebook as error:
                amendment = amendments.pop(error.rule.partition("/")[0], None)
                if amendment is None:
                    raise
                self._unfit[amendment.name] = Faults([error.fault(amendment.rules)])

    def index(self, name: str) -> ConnectorIndex:
        """Give a catalogue by its name. Raises `Refused` with the nearest name there is, and `Faults`."""
        found = self._indexes.get(name)
        if found is None:
            with self._lock:
                found = self._indexes.get(name)
                if found is None:
                    readers = self._catalogues
                    if name not in readers:
                        raise Refused([Problem("/catalogue", not_allowed(name, readers, "unknown-name"))])
                    found = self._indexes[name] = ConnectorIndex(readers[name]())
        return found

    def with_catalogue(self, catalogue: Catalogue) -> LoadedRules:
        """Give the same rules with one catalogue more, or in place of that of its name."""
        return self.with_index(catalogue.name, ConnectorIndex(catalogue))

    def with_index(self, name: str, index: ConnectorIndex) -> LoadedRules:
        """Give the same rules with one catalogue more, under some name."""
        self._amended  # noqa: B018 - what was laid is shared by all copies
        found = copy(self)
        found._indexes = {**self._indexes, name: index}  # noqa: SLF001 - its own class
        return found

    def catalogue_names(self) -> list[str]:
        """Give the names of the catalogues there are."""
        return list(self._catalogues)

    def catalogue_file(self, name: str) -> Path:
        """Give the file of a catalogue that there is, whichever folder it is in."""
        if self.project is not None and name in dict(self.project.shelf):
            return self.project.catalogue_file(name)
        return self._folder / "catalogues" / f"{name}.yaml"

    def rules_read(self) -> dict[str, str]:
        """Give the digests of the rules read so far, by code edition."""
        return {code: found.rulebook.digest for code, found in sorted(self._rules.copy().items())}

    def catalogues_read(self) -> dict[str, str]:
        """Give the digests of the catalogues read so far, by name."""
        return {name: found.catalogue.digest for name, found in sorted(self._indexes.copy().items())}

    def load_everything(self) -> None:
        """Read every code edition and every catalogue now. Raises what `rules` and `index` raise."""
        for code in CODES:
            self.rules(code)
        for name in self._catalogues:
            self.index(name)

    def match(self, question: Question) -> Match:
        """Derive what a question asks, and match it with its catalogue. Raises `Refused` for a name not known here."""
        return self.match_by(question, None)

    def match_by(self, question: Question, rules: CompiledRules | None) -> Match:
        """Do the same by rules at hand; None: those that it asks."""
        index = self.index(question.catalogue)
        if unknown := [connector for connector in question.only.connectors if connector not in index.ids]:
            raise Refused([self._unknown(one, question.only, index.ids) for one in unknown])
        derived = (rules or self.rules_of(question)).engine.derive(question)
        return Match.of(index, question, derived)

    def _unknown(self, connector: str, only: Only, known: Collection[str]) -> Problem:
        says, project = not_allowed(connector, known), self.project
        if project is None or connector not in project.only.get("connectors", ()):
            return Problem(only.pointer(connector), says)
        lacks = f"{project.file.name} keeps to what this catalogue lacks; say what to keep to: "
        return Problem("/only/connectors", says.within(lacks))

    @cached_property
    def unsaid(self) -> Unsaid:
        """What stands for a question that does not say it. Raises `Faults` where a project names what is not there."""
        known, project = self.catalogue_names(), self.project
        values, by = dict(UNSAID.values), {}
        if values["catalogue"] not in known:
            del values["catalogue"]
            if len(known) == 1:
                values["catalogue"], by["catalogue"] = known[0], "default"
        if project is not None:
            if project.catalogue is not None and project.catalogue not in known:
                raise Faults([project.fault("/catalogue", not_allowed(project.catalogue, known, "unknown-name"))])
            amendments = self.files.amendments.names if project.amendments else ()
            if unknown := [(at, one) for at, one in enumerate(project.amendments) if one not in amendments]:
                faults = [(f"/amendments/{at}", not_allowed(one, amendments, "unknown-name")) for at, one in unknown]
                of_option = project.amendments_from != "project"
                raise Faults(
                    Fault("--amend", 0, "", says) if of_option else project.fault(pointer, says)
                    for pointer, says in faults
                )
            said: dict[str, Any] = {"code": project.code, "catalogue": project.catalogue, "only": project.only}
            said["amendments"] = list(project.amendments)
            values |= {key: value for key, value in said.items() if value}
            by |= {key: "project" for key, value in said.items() if value}
            by |= {"amendments": project.amendments_from} if project.amendments else {}
            if (own := project.only.get("connectors")) and "catalogue" in values:
                ids = self.index(values["catalogue"]).ids
                wrong = [(at, one) for at, one in enumerate(own) if one not in ids]
                if wrong:
                    raise Faults(project.fault(f"/only/connectors/{at}", not_allowed(one, ids)) for at, one in wrong)
        return Unsaid(values, by, known) if by or "catalogue" not in values else UNSAID

    @cached_property
    def _catalogues(self) -> Mapping[str, Callable[[], Catalogue]]:
        """What reads each catalogue, by its name. Raises `Faults` where a project has one that is called as another."""
        files = sorted((self._folder / "catalogues").glob("*.yaml"))
        found = {file.stem: partial(read_catalogue, file) for file in files}
        if (project := self.project) is not None:
            own = {
                name: partial(_own_catalogue, content, str(project.catalogue_file(name)), name)
                for name, content in project.shelf
            }
            if twice := sorted(found.keys() & own.keys()):
                file = project.catalogue_file(twice[0])
                says = f"{file} is called like one that is there already; give it another name"
                raise Faults([project.fault("/catalogues", says)])
            found |= own
        return dict(sorted(found.items()))


def _own_catalogue(content: bytes, file: str, name: str) -> Catalogue:
    """Read a catalogue of a project. What is shipped contradicts itself nowhere, and is not looked through."""
    from splicewright.catalogue.checking import sound_catalogue  # noqa: PLC0415 - what is shipped needs it not

    return sound_catalogue(content, file, name)
