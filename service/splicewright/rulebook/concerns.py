"""What a careful electrician asks of any joint, read from `concerns.yaml`: when it arises, and what settles it.

A concern has cases. Each says when it arises (patterns, as in rules) and either what must be stated before the rules
can settle it, or that no rule here does. What arises is derived by the engine, like all that rules say.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from marshmallow import fields, validate

from splicewright import shipped
from splicewright.codes import Code, Codes, codes, name_of
from splicewright.faults import Fault
from splicewright.json_pointer import join
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.model import Concern, ConcernCase, Effect, Need, Rule, RuleSource
from splicewright.rulebook.schema import ID
from splicewright.strict_fields import Flag, Text
from splicewright.strict_schema import Strict, load, made_once

FILE = "concerns.yaml"
PREFIX = "concern"


class _CaseSchema(Strict):
    when = fields.Raw(required=True)
    needs = fields.List(fields.Raw())
    settled_by = fields.List(fields.String())
    no_rule = fields.Raw()


class _ConcernSchema(Strict):
    id = Text(40, required=True, validate=validate.Regexp(ID, error="is not a phrase of plain words like box-room"))
    asks = Text(200, required=True)
    hurts = Flag()
    of_connector = Flag()
    article = fields.Raw(required=True)
    cases = fields.List(fields.Nested(_CaseSchema), required=True, validate=validate.Length(1))


class _FileSchema(Strict):
    about = Text(300, required=True)
    through = fields.Dict(required=True)
    concerns = fields.List(fields.Nested(_ConcernSchema), required=True)


class ConcernsFile:
    """A file of concerns, read once for all code editions; `through` says how far it was read, by code."""

    def __init__(self, path: Path, declared: Codes) -> None:
        """Read a file; where there is none, there are no concerns. Raises `Faults`."""
        self._document = shipped.read_data_file(path, FILE) if path.exists() else None
        self._codes = declared

    @functools.cached_property
    def _read(self) -> tuple[list[Mapping[str, Any]], tuple[Problem, ...]]:
        """The concerns as written, and what is wrong in the whole file."""
        assert self._document is not None
        try:
            found = load(made_once(_FileSchema), self._document.value)
        except Refused as error:
            return [], tuple(error.problems)
        return found["concerns"], tuple(_misclaimed(found["through"], self._codes))

    def unread(self, code: Code, edition: str) -> tuple[str, ...]:
        """Give the ids of the concerns that were not read for an edition: neither with the whole file nor by name."""
        if self._document is None or code.reached(str(self._document.value["through"][code.name]), edition):
            return ()
        named = f"{code.name}-{edition}"
        return tuple(concern["id"] for concern in self.written if named not in concern["article"])

    @property
    def written(self) -> list[Mapping[str, Any]]:
        """The concerns as they are written, for all codes; none where the file is not as it should be, or not there."""
        return self._read[0] if self._document else []

    def concerns(self, code: str) -> tuple[Concern, ...]:
        """Give the concerns of a code edition, in the order of the file. Raises `Faults`."""
        document = self._document
        if document is None:
            return ()
        read, faults = self._read
        problems, found = [*faults], list[Concern]()
        for at, concern in enumerate(read):
            pointer = join("/concerns", at)
            if concern["id"] in {known.id for known in found}:
                problems.append(Problem(join(pointer, "id"), "stands twice"))
            found.append(_concern(concern, pointer, code, document.line(pointer), problems))
        if problems:
            raise document.faults(problems)
        return tuple(found)


def read_concerns(path: Path, code: str) -> tuple[Concern, ...]:
    """Read the concerns of a code edition, in the order of the file. Raises `Faults`."""
    return ConcernsFile(path, codes()).concerns(code)


@functools.cache
def _shipped() -> list[Mapping[str, Any]]:
    return ConcernsFile(shipped.folder("rulesets") / FILE, codes()).written


def concern_words() -> dict[str, str]:
    """Give the shipped concerns with what each asks, in their order."""
    return {one["id"]: one["asks"] for one in _shipped()}


def concerns_that_hurt() -> frozenset[str]:
    """Give the shipped concerns that an answer names first where they were not judged."""
    return frozenset(one["id"] for one in _shipped() if one.get("hurts"))


def _misclaimed(through: Mapping[str, Any], declared: Codes) -> Iterator[Problem]:
    """Tell for which codes the file does not say that it was read as far as questions may ask for them."""
    for name, code in declared.by_name.items():
        edition, pointer = str(through.get(name)), join("/through", name)
        if edition not in code.editions:
            yield Problem(pointer, f"is required, the newest edition of {code.title} that every concern was read for")
        elif not code.reached(edition, code.through):
            yield Problem(pointer, f"is {edition}, and {code.title} is asked through {code.through}; read them for it")


def _concern(found: Mapping[str, Any], pointer: str, code: str, line: int, problems: list[Problem]) -> Concern:
    article = _by_code(found["article"], code, join(pointer, "article"), problems)
    rules = []
    for at, one in enumerate(found["cases"]):
        here = join(pointer, "cases", at)
        case = _case(found["id"], one, article, code, here, problems)
        when = read_when(one["when"], join(here, "when"), problems)
        rules.append(_rule(found, case, at, when, line))
    return Concern(
        found["id"],
        found["asks"],
        article,
        found.get("hurts", False),
        found.get("of_connector", False),
        tuple(rules),
    )


def _rule(found: Mapping[str, Any], case: ConcernCase, at: int, when: tuple[Any, ...], line: int) -> Rule:
    """Give the rule that derives that a case arises."""
    return Rule(
        id=f"{PREFIX}/{found['id']}/{at + 1}",
        code=None,
        editions=None,
        when=when,
        effect=Effect("arise", case=case),
        says=found["asks"],
        source=RuleSource(None),
        file=FILE,
        line=line,
        raw=found,
    )


def _case(
    concern: str, one: Mapping[str, Any], article: str, code: str, pointer: str, problems: list[Problem]
) -> ConcernCase:
    if "no_rule" in one:
        if "needs" in one or "settled_by" in one:
            problems.append(Problem(pointer, "no rule settles it, so nothing is needed and nothing settles it"))
        return ConcernCase(concern, _by_code(one["no_rule"], code, join(pointer, "no_rule"), problems), no_rule=True)
    if not one.get("settled_by"):
        problems.append(Problem(pointer, "says neither by which rules it is settled (settled_by) nor no_rule"))
    needs = tuple(_need(need, join(pointer, "needs", at), problems) for at, need in enumerate(one.get("needs", ())))
    return ConcernCase(concern, article, needs=needs, settled_by=tuple(one.get("settled_by", ())))


def _need(raw: Any, pointer: str, problems: list[Problem]) -> Need:
    fact, leaf = next(iter(raw.items())) if isinstance(raw, dict) and len(raw) == 1 else (raw, raw)
    for name in (fact, leaf):
        if not isinstance(name, str) or name not in fact_kinds():
            says = not_allowed(str(name), fact_kinds())
            problems.append(Problem(pointer, f"is a fact, or {{fact: leaf to ask for}}: {says}"))
            return Need("", "")
    if fact_kinds()[leaf].reads:
        problems.append(
            Problem(pointer, f"{leaf} is a measure, which nobody states; write {{{fact}: leaf to ask for}}")
        )
    return Need(fact, leaf)


def _by_code(raw: Any, code: str, pointer: str, problems: list[Problem]) -> str:
    """Give the section for a code edition, of those written by edition or by family."""
    if not isinstance(raw, dict) or not all(isinstance(one, str) for one in raw.values()):
        problems.append(Problem(pointer, "is a map of sections by code or edition, such as {nfpa70: '240.4'}"))
        return ""
    known = codes().by_name
    keys = [*(f"{name}-{edition}" for name in known for edition in known[name].editions), *known]
    problems += [Problem(join(pointer, key), not_allowed(str(key), keys)) for key in raw if key not in keys]
    found = raw.get(code, raw.get(name_of(code)))
    if found is None:
        problems.append(Problem(pointer, f"has no section for {code}"))
    return str(found)


def check_settled(concerns: Iterable[Concern], rules: Iterable[Rule]) -> list[Fault]:
    """Give a fault for each rule that is to settle a concern, and each condition that it waits for, that is not there.

    `rules` are those of every edition of a code.
    """
    rules = list(rules)
    known = sorted({rule.id for rule in rules})  # in order, so that a refusal names the same words each time
    concluded = sorted({"{}: {}".format(*rule.effect.concludes) for rule in rules if rule.effect.concludes})
    found = []
    for concern in concerns:
        for one in concern.rules:
            assert one.effect.case is not None
            says = [
                f"settled_by: {not_allowed(name, known)}" for name in one.effect.case.settled_by if name not in known
            ]
            says += [
                f"no rule concludes {{{condition}}}; {not_allowed(condition, concluded)}"
                for condition in _conditions(one)
                if condition not in concluded
            ]
            found += [Fault(FILE, one.line, concern.id, each) for each in says]
    return found


def _conditions(rule: Rule) -> Iterator[str]:
    for pattern in rule.when:
        if pattern.scope == "condition":
            yield from (f"{test.name.partition('.')[2]}: {word}" for test in pattern.tests for word in test.values)
