"""Reads rule files into rulebooks, strictly: every fault of every file at once, each with file and line."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import orjson

from splicewright import shipped
from splicewright.question.vocabulary import CODES
from splicewright.reading import Document, NotText, Problem, Refused, join, read_yaml
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.concerns import FILE as CONCERNS
from splicewright.rulebook.concerns import ConcernsFault, Misread, check_settled, read_concerns
from splicewright.rulebook.effects import read_effect
from splicewright.rulebook.excuses import read_excuses
from splicewright.rulebook.model import Concern, Rule, Rulebook
from splicewright.rulebook.schema import ruleset_schema
from splicewright.strict import load
from splicewright.tables.loader import tables_in_use

PRACTICE = "practice"


@dataclass(frozen=True, slots=True, order=True)
class Fault:
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

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))


@functools.lru_cache(maxsize=16)
def load_rulebook(code: str) -> Rulebook:
    """Give the shipped rulebook of a code edition, such as `nfpa70-2023`. Raises KeyError, `RulebookFault`."""
    if code not in CODES:
        raise KeyError(code)
    return read_rulebook(shipped.folder("rulesets"), code)


def read_rulebook(rulesets: Path, code: str) -> Rulebook:
    """Read the rulebook of `code` from a folder of rulesets. Raises `RulebookFault`.

    The code's own folder and `practice/` go together; same-named files form one ruleset.
    """
    family, _, edition = code.partition("-")
    rules: list[Rule] = []
    faults: list[Fault] = []
    about: dict[str, str] = {}
    for folder in (PRACTICE, family):
        for path in sorted((rulesets / folder).glob("*.yaml")):
            try:
                read, told = read_file(path, None if folder == PRACTICE else family)
            except RulebookFault as error:
                faults += error.faults
                continue
            rules += read
            about.setdefault(path.stem, told)
    # Else what concerns name may stand in a file that could not be read, or in a folder that lost its files.
    all_read = not faults and any(rule.code == family for rule in rules)
    faults += _repeated(rules)
    concerns: tuple[Concern, ...] = ()
    try:
        concerns = read_concerns(rulesets / CONCERNS, code)
    except ConcernsFault as error:
        faults += _of_concerns(error.faults)
    if all_read:
        faults += _of_concerns(check_settled(concerns, rules))
    if faults:
        raise RulebookFault(faults)
    kept = tuple(sorted((rule for rule in rules if _holds(rule, int(edition))), key=lambda rule: rule.id))
    return Rulebook(code, kept, _digest(kept, concerns), about, concerns)


def _of_concerns(misread: Iterable[Misread]) -> list[Fault]:
    return [Fault(CONCERNS, one.line, one.concern, one.says) for one in misread]


def _holds(rule: Rule, edition: int) -> bool:
    first, last = rule.editions
    return (first is None or edition >= first) and (last is None or edition <= last)


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


def read_file(path: Path, family: str | None) -> tuple[list[Rule], str]:
    """Read one rule file into its rules and what it says it is about. Raises `RulebookFault`."""
    name = f"{path.parent.name}/{path.name}"
    try:
        document = read_yaml(path.read_bytes())
    except NotText as error:
        raise RulebookFault([Fault(name, error.line or 1, "", error.problems[0].says)]) from None
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


def _located(name: str, document: Document, problems: Iterable[Problem]) -> list[Fault]:
    faults = []
    for problem in problems:
        rule = ""
        parts = problem.pointer.split("/")
        if len(parts) > 2 and parts[1] == "rules" and parts[2].isdigit():
            raw = document.value["rules"][int(parts[2])]
            rule = str(raw.get("id", "")) if isinstance(raw, dict) else ""
        key = "/".join(parts[3:] if len(parts) > 3 else parts[1:])
        faults.append(
            Fault(name, document.line(problem.pointer), rule, f"{key}: {problem.says}" if key else problem.says)
        )
    return faults
