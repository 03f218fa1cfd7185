"""Files of amendments of a code, read strictly: what each withdraws, replaces and adds, and by what right."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

import orjson
from marshmallow import ValidationError, fields

from splicewright import shipped, yaml_text
from splicewright.codes import codes, name_of
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused, not_allowed, shown
from splicewright.rulebook.model import Authority, Rule
from splicewright.rulebook.rule_file import cut_sentences, problems_of_rules, rule_of
from splicewright.rulebook.schema import ID, QuotedText, RuleSchema, Worded, is_day, no_phrase
from splicewright.strict_fields import Items, Word
from splicewright.strict_schema import Strict, load, made_once, read_or_load

FOLDER = "amendments"
EVERY_CODE = "every-code"
MOST_KNOWN = 100
_MOST_RULES = 200  # of one file
LARGEST = 250_000  # of one file
WRITE_BY = "write by: {authority, document, section, obtained}"


# --- read ----------------------------------------------------------------------------------------


class AuthoritySchema(Strict):
    """By what right an amendment departs from a code."""

    authority = Worded(120, required=True)
    document = Worded(120, required=True)
    section = QuotedText(80, required=True)
    obtained = Word(("page", "memory"), required=True)
    checked = Worded(10, validate=is_day)


class AuthorityField(fields.Field[Authority]):
    """An authority, as a map."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Authority:
        if not isinstance(value, dict):
            raise ValidationError(f"{shown(value)} is no authority; {WRITE_BY}")
        return Authority(**read_or_load(made_once(AuthoritySchema), value))


class _WithdrawalSchema(Strict):
    rule = Worded(100, required=True)
    says = Worded(240, required=True)
    by = AuthorityField()


class _AmendingRuleSchema(RuleSchema):
    by = AuthorityField()
    replaces = Worded(100)


def _is_name(text: str) -> None:
    if not ID.match(text):
        raise ValidationError(no_phrase(text, "is not a phrase like coastal-county"))


class AmendmentSchema(Strict):
    """One file of an amendment."""

    ruleset = Worded(40, required=True, validate=_is_name)
    about = Worded(300, required=True)
    amends = fields.Raw(required=True)
    by = AuthorityField()
    withdraws = Items(fields.Nested(_WithdrawalSchema), 0, _MOST_RULES)
    rules = Items(fields.Nested(_AmendingRuleSchema), 0, _MOST_RULES)


class Withdrawal(NamedTuple):
    """A rule that an amendment takes out, by its id, with the reason."""

    rule: str
    says: str
    by: Authority | None
    line: int


@dataclass(frozen=True, slots=True)
class Amendment:
    """One amendment as its file has it. `amends` are code editions, codes (`nfpa70`: all editions), or `every-code`."""

    name: str
    about: str
    amends: tuple[str, ...]
    by: Authority | None
    withdraws: tuple[Withdrawal, ...]
    rules: tuple[Rule, ...]
    file: str
    digest: str

    def holds_for(self, code: str) -> bool:
        """Tell whether it amends a code edition."""
        return not {EVERY_CODE, code, name_of(code)}.isdisjoint(self.amends)

    def heading(self) -> dict[str, Any]:
        """Give it as a list of amendments has it."""
        found: dict[str, Any] = {"name": self.name, "about": self.about, "amends": list(self.amends)}
        if self.by is not None:
            found["by"] = self.by.to_dict()
        return {**found, "rules": len(self.rules), "withdrawn": len(self.withdraws), "digest": self.digest}


def read_amendment(path: Path) -> Amendment:
    """Read the amendment of a file, which is named like it. Raises `Faults`."""
    name = f"{path.parent.name}/{path.name}"
    if path.stat().st_size > LARGEST:
        raise Faults([Fault(name, 0, "", f"has more than {LARGEST:,} bytes; write two amendments of it")])
    return _amendment(shipped.read_data_file(path, name), path.stem)


def read_amendment_text(content: bytes, file: str) -> Amendment:
    """Read an amendment of what a file holds, or what was sent under its name. Raises `Faults`."""
    if len(content) > LARGEST:
        raise Faults([Fault(file, 0, "", f"has more than {LARGEST:,} bytes; write two amendments of it")])
    return _amendment(yaml_text.read_data_file(content, file), Path(file).stem)


def _amendment(document: Document, named: str) -> Amendment:
    if left := [Problem(pointer, f"{mark} is to be replaced by your own words") for pointer, mark in _marks(document)]:
        raise document.faults(left)
    try:
        found = load(made_once(AmendmentSchema), document.value)
    except Refused as error:
        raise document.faults([*error.problems, *problems_of_rules(document), *cut_sentences(document)]) from None
    problems = cut_sentences(document)
    name, by = found["ruleset"], found.get("by")
    if name != named:
        problems.append(Problem("/ruleset", f"is {name!r}; the file's name says {named!r}"))
    amends = _amends(found["amends"], problems)
    rules = [
        _rule(name, given, by, document, join("/rules", at), problems)
        for at, given in enumerate(found.get("rules", ()))
    ]
    withdraws = tuple(
        Withdrawal(given["rule"], given["says"], given.get("by", by), document.line(join("/withdraws", at)))
        for at, given in enumerate(found.get("withdraws", ()))
    )
    if not rules and not withdraws:
        problems.append(Problem("", "changes nothing; write rules or withdraws"))
    if problems:
        raise document.faults(problems)
    digest = "sha256:" + hashlib.sha256(orjson.dumps(document.value, option=orjson.OPT_SORT_KEYS)).hexdigest()
    kept = tuple(rule for rule in rules if rule)
    return Amendment(name, found["about"], amends, by, withdraws, kept, document.file, digest)


def _marks(document: Document) -> Iterator[tuple[str, str]]:
    """Give what was left as `rules new` wrote it, `<kitchen>`, with its pointer."""
    todo = [("", document.value)]
    while todo:
        pointer, value = todo.pop()
        if isinstance(value, str) and value.startswith("<") and value.endswith(">"):
            yield pointer, value
        elif isinstance(value, dict):
            todo += [(join(pointer, key), part) for key, each in value.items() for part in (key, each)]
        elif isinstance(value, list):
            todo += [(join(pointer, at), each) for at, each in enumerate(value)]


def _rule(
    name: str,
    given: Mapping[str, Any],
    by: Authority | None,
    document: Document,
    pointer: str,
    problems: list[Problem],
) -> Rule | None:
    own = {"amendment": name, "by": given.get("by", by), "replaces": given.get("replaces")}
    if "editions" in given:
        problems.append(Problem(join(pointer, "editions"), "an amendment says once, at its head, what it amends"))
        return None
    return rule_of(name, None, "", given, document, pointer, problems, **own)


def _amends(raw: Any, problems: list[Problem]) -> tuple[str, ...]:
    listed = raw if isinstance(raw, list) else [raw]
    known = [*codes().offered(), *codes().by_name, EVERY_CODE]
    for at, word in enumerate(listed):
        if word not in known:
            here = join("/amends", at) if isinstance(raw, list) else "/amends"
            problems.append(Problem(here, not_allowed(str(word), known)))
    if not listed:
        problems.append(Problem("/amends", f"names nothing; use one of: {', '.join(known)}"))
    return tuple(map(str, listed))


class AmendmentText(NamedTuple):
    """The content of an amendment's file, read elsewhere."""

    name: str
    file: str
    content: bytes
    instead: bool = False  # whether it takes the place of one of its name


class AmendmentFiles:
    """The amendments of a folder, and others beside them, by name: read when first asked for, and the same then on."""

    def __init__(self, folder: Path, others: Sequence[AmendmentText] = ()) -> None:
        """Know the files of a folder, which has none if it is not there."""
        self._folder, self._others = folder, others

    @functools.cached_property
    def names(self) -> tuple[str, ...]:
        """The names of all that there are, in order."""
        return tuple(sorted(self._read))

    @functools.cached_property
    def _read(self) -> Mapping[str, Amendment | Faults]:
        found: dict[str, Amendment | Faults] = {}
        shipped_ones = {path.stem: functools.partial(read_amendment, path) for path in self._folder.glob("*.yaml")}
        for name, read in sorted(shipped_ones.items()):
            found[name] = _tried(read)
        for other in self._others:
            if other.name in found and not other.instead:
                found[other.name] = Faults(
                    [Fault(other.file, 1, "", "is called like another amendment; give it a name of its own")]
                )
            else:
                found[other.name] = _tried(functools.partial(read_amendment_text, other.content, other.file))
        if len(found) > MOST_KNOWN:
            says = f"there are {len(found)} amendments; at most {MOST_KNOWN} can be"
            return {name: Faults([Fault(str(self._folder), 0, "", says)]) for name in found}
        return found

    @property
    def fit(self) -> Mapping[str, Amendment]:
        """Those that could be read."""
        return {name: read for name, read in self._read.items() if isinstance(read, Amendment)}

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the others."""
        return tuple(fault for read in self._read.values() if isinstance(read, Faults) for fault in read.faults)

    def is_shipped(self, name: str) -> bool:
        """Tell whether one comes with the package, and is in nobody's folder."""
        own = any(other.name == name for other in self._others)
        return not own and self._folder == shipped.folder("rulesets") / FOLDER

    def amendment(self, name: str) -> Amendment:
        """Give one by its name. Raises KeyError, and `Faults` where its file is not as it should be."""
        read = self._read[name]
        if isinstance(read, Faults):
            raise read
        return read


def _tried(read: Callable[[], Amendment]) -> Amendment | Faults:
    try:
        return read()
    except Faults as error:
        return error
