"""Reads one rule file, of a code or of practice, strictly: every fault at once, each with file and line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from splicewright import shipped
from splicewright.codes import FILE as CODES
from splicewright.codes import Claim, Code
from splicewright.document import Document
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.effects import EFFECTS, read_effect
from splicewright.rulebook.excuses import read_excuses
from splicewright.rulebook.model import Rule
from splicewright.rulebook.schema import RulesetSchema
from splicewright.strict_schema import load, made_once

_SENTENCES = ("about", "says", "note", "because", "do", "authority", "document", "section")


def read_file(path: Path, code: Code | None) -> tuple[list[Rule], str]:
    """Read one rule file, of a code or of practice, into its rules and what it says it is about. Raises `Faults`."""
    document = shipped.read_data_file(path, f"{path.parent.name}/{path.name}")
    try:
        found = load(made_once(RulesetSchema), document.value)
    except Refused as error:
        raise document.faults([*error.problems, *problems_of_rules(document)]) from None
    problems = cut_sentences(document)
    if found["ruleset"] != path.stem:
        problems.append(Problem("/ruleset", f"is {found['ruleset']!r}; the file's name says {path.stem!r}"))
    through = _through(found, code, problems)
    rules = [
        rule_of(found["ruleset"], code, through, given, document, join("/rules", at), problems)
        for at, given in enumerate(found["rules"])
    ]
    if problems:
        raise document.faults(problems)
    return [rule for rule in rules if rule], found["about"]


def cut_sentences(document: Document) -> list[Problem]:
    """Tell which sentences, and names of sources, end at a `#` that whoever wrote them may have meant as a part."""
    says = "ends before #, behind which all is a comment; put the whole text into quotes, or the comment above it"
    return [Problem(pointer, says) for pointer in document.cut() if pointer.rpartition("/")[2] in _SENTENCES]


def _through(found: Mapping[str, Any], code: Code | None, problems: list[Problem]) -> str:
    """Give the newest edition that all rules of a file were read for; that of the code where it is not rightly said."""
    if code is None:
        if "through" in found:
            problems.append(Problem("/through", "practice is of no edition; leave it out"))
        return ""
    if "through" not in found:
        problems.append(Problem("/through", "is required: the newest edition that every rule here was read for"))
        return code.through
    through = str(found["through"])
    if through not in code.editions:
        problems.append(Problem("/through", not_allowed(through, code.editions)))
        return code.through
    if not code.reached(through, code.through):
        says = f"is {through}, and {code.title} is asked through {code.through}; read the rules here for it"
        problems.append(Problem("/through", f"{says}, or let {CODES} say through: {through}"))
    return through


def _claim(
    found: Mapping[str, Any], code: Code | None, through: str, pointer: str, problems: list[Problem]
) -> Claim | None:
    """Give the editions that a rule was read for; None for one of practice, which is of no edition."""
    if code is None:
        if "editions" in found:
            problems.append(Problem(pointer, "practice is of no edition; leave it out"))
        return None
    try:
        return code.claim(str(found["editions"]) if "editions" in found else f"{code.editions[0]}-", through)
    except ValueError as error:
        problems.append(Problem(pointer, str(error)))
        return None


def _places(again: Callable[[str], int] | None, pointer: str) -> Callable[[str], int] | None:
    """Give the lines of a rule's parts, without holding on to its document."""
    return None if again is None else lambda part: again(f"{pointer}/{part}")


def problems_of_rules(document: Document) -> list[Problem]:
    """Give what is wrong in what rules test and do, of a document whose keys are not as they should be.

    What is wrong with keys is left to the schema.
    """
    problems: list[Problem] = []
    given = document.value.get("rules") if isinstance(document.value, dict) else None
    for at, rule in enumerate(given if isinstance(given, list) else ()):
        if isinstance(rule, dict):
            pointer = join("/rules", at)
            if rule.get("when") is not None:
                read_when(rule["when"], join(pointer, "when"), problems)
            if sum(key in rule for key in EFFECTS) == 1:
                read_effect(rule, pointer, problems)
    return problems


def rule_of(
    ruleset: str,
    code: Code | None,
    through: str,
    found: Mapping[str, Any],
    document: Document,
    pointer: str,
    problems: list[Problem],
    **of_amendment: Any,
) -> Rule | None:
    """Make a rule of what was read at a pointer of a document, or append what is wrong to `problems`.

    A rule of no code is of no edition. `of_amendment` is what a rule of an amendment has beside (`Rule`).
    """
    when = read_when(found["when"], join(pointer, "when"), problems)
    effect = read_effect(found, pointer, problems)
    if effect is None:
        return None
    at = int(pointer.rpartition("/")[2])
    return Rule(
        id=f"{ruleset}/{found['id']}",
        code=code.name if code else None,
        editions=_claim(found, code, through, join(pointer, "editions"), problems),
        when=when,
        effect=effect,
        says=found["says"],
        source=found["source"],
        note=found.get("note"),
        excuses=read_excuses(found["excuses"], join(pointer, "excuses"), problems) if "excuses" in found else (),
        fires=tuple(found["examples"]["fires"]),
        silent=tuple(found["examples"]["silent"]),
        file=document.file,
        line=document.line(pointer),
        raw=document.value["rules"][at],
        succeeds=found.get("succeeds"),
        places=_places(document.again, pointer),
        **of_amendment,
    )
