"""Reads rule files into rulebooks, strictly: every fault of every file at once, each with file and line."""

from __future__ import annotations

import functools
import hashlib
import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import orjson

from splicewright import shipped
from splicewright.question.vocabulary import CODES
from splicewright.reading import Document, NotText, Problem, Refused, join, read_yaml
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.concerns import FILE as CONCERNS
from splicewright.rulebook.concerns import ConcernFault, ConcernsFault, ConcernsFile, check_settled
from splicewright.rulebook.effects import read_effect
from splicewright.rulebook.excuses import read_excuses
from splicewright.rulebook.model import Concern, Rule, Rulebook
from splicewright.rulebook.schema import ruleset_schema
from splicewright.strict_fields import load
from splicewright.tables.loader import tables_in_use

PRACTICE = "practice"


@dataclass(frozen=True, slots=True, order=True)
class RuleFault:
    """One thing wrong in a rule file."""

    file: str
    line: int
    rule: str
    says: str

    def __str__(self) -> str:
        """Give it as printed: `file:line: rule: what is wrong`."""
        return f"{self.file}:{self.line}: {self.rule + ': ' if self.rule else ''}{self.says}"


class RulebookFault(ValueError):
    """Rule files that can't be taken into use. Carries every fault found."""

    def __init__(self, faults: Iterable[RuleFault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))


def load_rulebook(code: str) -> Rulebook:
    """Give the shipped rulebook of a code edition, such as `nfpa70-2023`. Raises KeyError, `RulebookFault`."""
    if code not in CODES:
        raise KeyError(code)
    return _shipped().rulebook(code)


@functools.cache
def _shipped() -> RuleFiles:
    return RuleFiles(shipped.folder("rulesets"))


def read_rulebook(rulesets: Path, code: str) -> Rulebook:
    """Read the rulebook of `code` from a folder of rulesets. Raises `RulebookFault`."""
    return RuleFiles(rulesets).rulebook(code)


class RuleFiles:
    """The rule files of a folder of rulesets: each is read once, and its rules are the same in all editions.

    Safe between threads: a rule is the same object for all who ask, as the masks of compiled rules need.
    """

    def __init__(self, rulesets: Path) -> None:
        """Read from `rulesets`, file by file when first asked for."""
        self._folder = rulesets
        self._files: dict[str, _Files] = {}
        self._books: dict[str, Rulebook] = {}
        self._of_concerns: dict[str, list[Rule]] = {}
        self._lock = threading.Lock()

    def rulebook(self, code: str) -> Rulebook:
        """Give the rulebook of a code edition. Raises `RulebookFault`.

        The code's own folder and `practice/` go together; same-named files form one ruleset.
        """
        with self._lock:
            found = self._books.get(code)
            if found is None:
                found = self._books[code] = self._rulebook(code)
            return found

    def _rulebook(self, code: str) -> Rulebook:
        family, _, edition = code.partition("-")
        files = self._read(family)
        faults = [*files.faults]
        concerns: tuple[Concern, ...] = ()
        try:
            concerns = tuple(map(self._shared, self._concerns_file.concerns(code)))
        except ConcernsFault as error:
            faults += _of_concerns(error.faults)
        # Else what concerns name may stand in a file that could not be read, or in a folder that lost its files.
        if files.all_read and any(rule.code == family for rule in files.rules):
            faults += _of_concerns(check_settled(concerns, files.rules))
        if faults:
            raise RulebookFault(faults)
        kept = tuple(sorted((rule for rule in files.rules if _holds(rule, int(edition))), key=lambda rule: rule.id))
        return Rulebook(code, kept, _digest(kept, concerns), files.about, concerns)

    @functools.cached_property
    def _concerns_file(self) -> ConcernsFile:
        return ConcernsFile(self._folder / CONCERNS)

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

    def _read(self, family: str) -> _Files:
        """Read the files of a family of editions, and those of practice."""
        found = self._files.get(family)
        if found is None:
            rules: list[Rule] = []
            faults: list[RuleFault] = []
            about: dict[str, str] = {}
            for folder in (PRACTICE, family):
                for path in sorted((self._folder / folder).glob("*.yaml")):
                    try:
                        read, told = read_file(path, None if folder == PRACTICE else family)
                    except RulebookFault as error:
                        faults += error.faults
                        continue
                    rules += read
                    about.setdefault(path.stem, told)
            found = self._files[family] = _Files(tuple(rules), not faults, (*faults, *_repeated(rules)), about)
        return found


@dataclass(frozen=True, slots=True)
class _Files:
    """What was read of some files: the rules of all editions, what is wrong, and what each ruleset settles."""

    rules: tuple[Rule, ...]
    all_read: bool
    faults: tuple[RuleFault, ...]
    about: Mapping[str, str]


def _of_concerns(misread: Iterable[ConcernFault]) -> list[RuleFault]:
    return [RuleFault(CONCERNS, one.line, one.concern, one.says) for one in misread]


def _holds(rule: Rule, edition: int) -> bool:
    first, last = rule.editions
    return (first is None or edition >= first) and (last is None or edition <= last)


def _repeated(rules: list[Rule]) -> list[RuleFault]:
    seen: dict[str, Rule] = {}
    faults = []
    for rule in rules:
        first = seen.setdefault(rule.id, rule)
        if first is not rule:
            faults.append(
                RuleFault(
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


def read_file(path: Path, family: str | None) -> tuple[list[Rule], str]:
    """Read one rule file into its rules and what it says it is about. Raises `RulebookFault`."""
    name = f"{path.parent.name}/{path.name}"
    try:
        document = read_yaml(path.read_bytes())
    except NotText as error:
        raise RulebookFault([RuleFault(name, error.line or 1, "", error.problems[0].says)]) from None
    try:
        found = load(ruleset_schema(), document.value)
    except Refused as error:
        raise RulebookFault(_located(name, document, error.problems)) from None
    problems: list[Problem] = []
    if found["ruleset"] != path.stem:
        problems.append(Problem("/ruleset", f"is {found['ruleset']!r}; the file's name says {path.stem!r}"))
    rules = [
        _rule(found["ruleset"], family, one, document, join("/rules", at), name, problems)
        for at, one in enumerate(found["rules"])
    ]
    if problems:
        raise RulebookFault(_located(name, document, problems))
    return [rule for rule in rules if rule], found["about"]


def _rule(
    ruleset: str,
    family: str | None,
    found: Mapping[str, Any],
    document: Document,
    pointer: str,
    name: str,
    problems: list[Problem],
) -> Rule | None:
    when = read_when(found["when"], join(pointer, "when"), problems)
    effect = read_effect(found, pointer, problems)
    if effect is None:
        return None
    at = int(pointer.rpartition("/")[2])
    return Rule(
        id=f"{ruleset}/{found['id']}",
        code=family,
        editions=found["editions"],
        when=when,
        effect=effect,
        says=found["says"],
        source=found["source"],
        note=found.get("note"),
        excuses=read_excuses(found["excuses"], join(pointer, "excuses"), problems) if "excuses" in found else (),
        fires=tuple(found["examples"]["fires"]),
        silent=tuple(found["examples"]["silent"]),
        file=name,
        line=document.line(pointer),
        raw=document.value["rules"][at],
    )


def _located(name: str, document: Document, problems: Iterable[Problem]) -> list[RuleFault]:
    faults = []
    for problem in problems:
        rule = ""
        parts = problem.pointer.split("/")
        if len(parts) > 2 and parts[1] == "rules" and parts[2].isdigit():
            raw = document.value["rules"][int(parts[2])]
            rule = str(raw.get("id", "")) if isinstance(raw, dict) else ""
        key = "/".join(parts[3:] if len(parts) > 3 else parts[1:])
        faults.append(
            RuleFault(name, document.line(problem.pointer), rule, f"{key}: {problem.says}" if key else problem.says)
        )
    return faults
