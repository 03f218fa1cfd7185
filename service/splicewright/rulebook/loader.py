"""Reads rule files into rulebooks, strictly: every fault of every file at once, each with file and line."""

from __future__ import annotations

import functools
import hashlib
import threading
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import orjson

from splicewright import shipped
from splicewright.codes import FILE as CODES
from splicewright.codes import Code, Codes, codes, edition_of, name_of, read_codes
from splicewright.faults import Fault, Faults
from splicewright.rulebook.amendment_files import FOLDER as AMENDMENTS
from splicewright.rulebook.amendment_files import AmendmentFiles, AmendmentText
from splicewright.rulebook.amendment_stack import lay
from splicewright.rulebook.concerns import FILE as CONCERNS
from splicewright.rulebook.concerns import ConcernsFile, check_settled
from splicewright.rulebook.model import Concern, Rule, Rulebook
from splicewright.rulebook.rule_file import read_file
from splicewright.tables.loader import tables_in_use

PRACTICE = "practice"


def load_rulebook(code: str) -> Rulebook:
    """Give the shipped rulebook of a code edition, such as `nfpa70-2023`. Raises KeyError, `Faults`."""
    if code not in codes().offered():
        raise KeyError(code)
    return _shipped().rulebook(code)


@functools.cache
def _shipped() -> RuleFiles:
    return RuleFiles(shipped.folder("rulesets"))


def read_rulebook(rulesets: Path, code: str) -> Rulebook:
    """Read the rulebook of `code` from a folder of rulesets. Raises `Faults`."""
    return RuleFiles(rulesets).rulebook(code)


class RuleFiles:
    """The rule files of a folder of rulesets: each is read once, and its rules are the same in all editions.

    Safe between threads: a rule is the same object for all who ask, as the masks of compiled rules need.
    """

    def __init__(self, rulesets: Path, amendments: Sequence[AmendmentText] = ()) -> None:
        """Read from `rulesets`, file by file when first asked for, and `amendments` beside its own."""
        self.folder = rulesets
        self.amendments = AmendmentFiles(rulesets / AMENDMENTS, amendments)
        self._files: dict[str, _Files] = {}
        self._books: dict[str, Rulebook] = {}
        self._of_concerns: dict[str, list[Rule]] = {}
        self._lock = threading.Lock()

    def rulebook(self, code: str, amendments: Sequence[str] = ()) -> Rulebook:
        """Give the rulebook of a code edition with amendments laid over it. Raises `Faults`.

        The code's own folder and `practice/` go together; same-named files form one ruleset. Raises KeyError where no
        amendment has a name.
        """
        with self._lock:
            found = self._books.get(code)
            if found is None:
                found = self._books[code] = self._rulebook(code)
            return lay(found, [self.amendments.amendment(name) for name in amendments]) if amendments else found

    def _rulebook(self, code: str) -> Rulebook:
        files = self._read(name_of(code))
        faults = [*files.faults]
        concerns: tuple[Concern, ...] = ()
        try:
            concerns = tuple(map(self._shared, self.concerns_file.concerns(code)))
        except Faults as error:
            faults += error.faults
        # Else what concerns name may stand in a file that could not be read, or in a folder that lost its files.
        if files.all_read and any(rule.code == name_of(code) for rule in files.rules):
            faults += check_settled(concerns, files.rules)
        if faults:
            raise Faults(faults)
        holding = (rule for rule in files.rules if rule.holds_in(edition_of(code)))
        kept = tuple(sorted(holding, key=lambda rule: rule.id))
        return Rulebook(code, kept, _digest(kept, concerns), files.about, concerns)

    @functools.cached_property
    def codes(self) -> Codes:
        """The codes as the folder declares them; where it does not, the shipped ones. Raises `Faults`."""
        path = self.folder / CODES
        return read_codes(path) if path.exists() else codes()

    @functools.cached_property
    def concerns_file(self) -> ConcernsFile:
        """The file of concerns. Raises `Faults` where it is no YAML."""
        return ConcernsFile(self.folder / CONCERNS, self.codes)

    def read_rules(self, name: str) -> tuple[Rule, ...]:
        """Give the rules of a code, of whatever edition, and those of practice, of all files that could be read."""
        return self._read(name).rules

    def rules_of(self, code: Code) -> tuple[Rule, ...]:
        """Give the rules of a code, of whatever edition, of all its files that could be read."""
        return tuple(rule for rule in self._read(code.name).rules if rule.code == code.name)

    def _shared(self, concern: Concern) -> Concern:
        """Let the rules by which a concern arises be those of another edition where they are the same."""
        rules = []
        for rule in concern.rules:
            known = self._of_concerns.setdefault(rule.id, [])
            same = next((one for one in known if one == rule), rule)
            if same is rule:
                known.append(rule)
            rules.append(same)
        return replace(concern, rules=tuple(rules))

    def _read(self, name: str) -> _Files:
        """Read the files of a code, and those of practice."""
        found = self._files.get(name)
        if found is None:
            rules: list[Rule] = []
            faults: list[Fault] = []
            about: dict[str, str] = {}
            for folder in (PRACTICE, name):
                for path in sorted((self.folder / folder).glob("*.yaml")):
                    try:
                        read, told = read_file(path, None if folder == PRACTICE else self.codes.by_name[name])
                    except Faults as error:
                        faults += error.faults
                        continue
                    rules += read
                    about.setdefault(path.stem, told)
            found = self._files[name] = _Files(tuple(rules), not faults, (*faults, *_repeated(rules)), about)
        return found


class _Files(NamedTuple):
    """What was read of some files: the rules of all editions, what is wrong, and what each ruleset settles."""

    rules: tuple[Rule, ...]
    all_read: bool
    faults: tuple[Fault, ...]
    about: Mapping[str, str]


def _repeated(rules: list[Rule]) -> list[Fault]:
    seen: dict[str, Rule] = {}
    faults = []
    for rule in rules:
        first = seen.setdefault(rule.id, rule)
        if first is not rule:
            faults.append(
                Fault(
                    rule.file,
                    rule.line,
                    rule.id,
                    f"this id stands at {first.file}:{first.line} too; ids are used once",
                )
            )
    return faults


def _digest(rules: tuple[Rule, ...], concerns: tuple[Concern, ...]) -> str:
    asked = [[rule.id, rule.raw] for concern in concerns for rule in concern.rules]
    content: Any = [[[rule.id, rule.raw] for rule in rules], asked, tables_in_use()]
    return "sha256:" + hashlib.sha256(orjson.dumps(content, option=orjson.OPT_SORT_KEYS)).hexdigest()
