"""What a folder of rulesets has reached and is held to: `kept.yaml`, the rules of each code by how they are known.

No rule of a code is dropped without a word in `CHANGES.md`, and the share of those read on a page does not fall. A
folder without the file is asked nothing.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from marshmallow import fields

from splicewright.codes import codes
from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.refusals import Refused
from splicewright.rulebook.model import Rule
from splicewright.strict_fields import Text
from splicewright.strict_schema import Strict, load
from splicewright.yaml_text import read_data_file

FILE = "kept.yaml"
CHANGES = "CHANGES.md"
_LISTS = ("page", "other")
_ABOUT = """\
# The rules of each code that `rules check` holds this folder to: those read on a page, and the others.
# `rules check --keep` writes it anew, once nothing falls short of it. It is not written by hand.
"""
_REMOVED = re.compile(r"^- remove:(?:.*\n)(?:^[ \t]+\S.*\n)*", re.MULTILINE)
_NAMED = re.compile(r"`([^`\s]+/[^`\s]+)`")


class _CodeSchema(Strict):
    page = fields.List(Text(120), required=True)
    other = fields.List(Text(120), required=True)


@functools.cache
def _schema() -> Strict:
    return Strict.from_dict({name: fields.Nested(_CodeSchema) for name in codes().by_name})()  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept of one code: for each rule its line, and those that were on a page."""

    code: str
    line: int
    lines: Mapping[str, int]
    page: frozenset[str]


def kept_faults(rulesets: Path, rules: Iterable[Rule]) -> list[Fault]:
    """Give a fault for all in which `rules`, those of every edition, fall short of what the folder keeps."""
    path = rulesets / FILE
    if not path.exists():
        return []
    try:
        document = read_data_file(path.read_bytes(), FILE)
        load(_schema(), document.value)
    except Faults as error:
        return [*error.faults]
    except Refused as error:
        return [*map(document.locate, error.problems)]
    removed = removed_rules(rulesets)
    rules = list(rules)
    faults: list[Fault] = []
    for code, lists in document.value.items():
        twice = list(_twice(document, code, lists))
        faults += twice or _short(_kept(document, code, lists), [rule for rule in rules if rule.code == code], removed)
    return faults


def removed_rules(rulesets: Path) -> frozenset[str]:
    """Give the ids that `CHANGES.md` tells as removed: written as code, after `remove:` and before the next colon."""
    path = rulesets / CHANGES
    text = path.read_text(encoding="utf-8") + "\n" if path.exists() else ""
    gone = [entry.partition("remove:")[2].partition(":")[0] for entry in _REMOVED.findall(text)]
    return frozenset(name for named in gone for name in _NAMED.findall(named))


def written(rules: Iterable[Rule]) -> str:
    """Write the file for the rules of every edition."""
    by_code: dict[str, dict[str, list[str]]] = {}
    for rule in sorted(rules, key=lambda one: one.id):
        if rule.code:
            lists = by_code.setdefault(rule.code, {name: [] for name in _LISTS})
            lists["page" if _on_a_page(rule) else "other"].append(rule.id)
    return _ABOUT + "".join(f"{code}:\n{''.join(map(_list, lists.items()))}" for code, lists in sorted(by_code.items()))


def _list(named: tuple[str, list[str]]) -> str:
    name, ids = named
    return f"  {name}:\n" + "".join(f"    - {rule_id}\n" for rule_id in ids) if ids else f"  {name}: []\n"


def _on_a_page(rule: Rule) -> bool:
    return rule.source.obtained == "page"


def _kept(document: Document, code: str, lists: Mapping[str, list[str]]) -> _Kept:
    lines = {one: document.line(join("", code, name, at)) for name in _LISTS for at, one in enumerate(lists[name])}
    return _Kept(code, document.line(join("", code)), lines, frozenset(lists["page"]))


def _twice(document: Document, code: str, lists: Mapping[str, list[str]]) -> Iterator[Fault]:
    seen: set[str] = set()
    for name in _LISTS:
        for at, one in enumerate(lists[name]):
            if one in seen:
                yield Fault(FILE, document.line(join("", code, name, at)), one, "stands twice")
            seen.add(one)


def _short(kept: _Kept, rules: list[Rule], removed: frozenset[str]) -> list[Fault]:
    here = {rule.id for rule in rules}
    faults = [
        Fault(
            FILE, line, one, f"is no rule of {kept.code}; bring it back, or tell under remove in {CHANGES} why it went"
        )
        for one, line in kept.lines.items()
        if one not in here | removed
    ]
    on_a_page, read = {rule.id for rule in rules if _on_a_page(rule)}, kept.page - (removed - here)
    if len(on_a_page) < len(read) or len(on_a_page) * len(kept.lines) < len(read) * len(here):
        told = {
            "no longer": (read & here) - on_a_page,
            "new, and not read on a page": here - kept.lines.keys() - on_a_page,
        }
        which = "".join(f"; {how}: {', '.join(sorted(ids))}" for how, ids in told.items() if ids)
        faults.append(
            Fault(
                FILE,
                kept.line,
                "",
                f"{kept.code}: {len(on_a_page)} of {len(here)} rules were read on a page, and {len(read)} of "
                f"{len(kept.lines)} before{which}",
            )
        )
    return faults
