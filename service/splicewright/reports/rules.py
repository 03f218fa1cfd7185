"""Rules for people: lists, one rule whole, counts, what a word of a question reaches."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import yaml

from splicewright.refusals import clean
from splicewright.reports.page import Page, page
from splicewright.reports.words import source_text
from splicewright.rulebook.effects import EFFECTS
from splicewright.units import counted

if TYPE_CHECKING:
    from splicewright.operate.rule_check import Checked
    from splicewright.operate.unread import Unread
    from splicewright.rulebook import Rule
    from splicewright.rulebook.word_reach import Reached, WordReach


def print_rules(rules: Iterable[Rule]) -> None:
    """Print one line a rule: id, what it does, its source, what it says."""
    columns = [("rule", False), ("does", False), ("source", False), ("says", False)]
    with page() as out:
        out.table(columns, ((rule.id, rule.effect.kind, _source(rule), rule.says) for rule in rules))


def print_rule(rule: Rule) -> None:
    """Print one rule as its file writes it, with file and line above."""
    written = yaml.safe_dump({**rule.raw, "id": rule.id}, sort_keys=False, allow_unicode=True, width=110)
    lines = [f"# {rule.file}:{rule.line}", *written.split("\n")[:-1]]
    sys.stdout.write("".join(f"{clean(line)}\n" for line in lines))


def print_counts(checked: Checked) -> None:
    """Print the counts of rules by ruleset, code, effect and kind of source."""
    columns = [
        ("ruleset", False),
        ("rules", True),
        ("read on a page", True),
        ("memory", True),
        ("common practice", True),
    ]
    rulesets = sorted({rule.ruleset for rule in checked.rules})
    rows = [_counts(name, [rule for rule in checked.rules if rule.ruleset == name]) for name in rulesets]
    effects: Counter[str] = Counter(rule.effect.kind for rule in checked.rules)
    with page() as out:
        out.table(columns, [*rows, _counts("all", checked.rules)])
        out.line("by effect: " + ", ".join(f"{kind} {effects[kind]}" for kind in EFFECTS))
        out.line("by code: " + ", ".join(f"{code} {count}" for code, count in sorted((checked.by_code or {}).items())))
        if checked.amendments:
            out.line(f"amendments: {', '.join(checked.amendments)}")
        joints, good = checked.floor
        if joints or good:
            out.line(f"floor: {joints} joints and {good} good ones hold under each edition")
        for one in checked.translated:
            left = one.of - one.done
            out.line(
                f"{one.language}: {one.done} of {one.of} sentences of work sheets translated, {left} left in English"
            )
        for coming in checked.unread:
            out.line(f"{coming.code} may not be asked yet: {_not_read(coming)}; --unread lists them")
        print_notes(out, [note.to_dict() for note in checked.notes])
        noted = counted(len(checked.notes), "note") if checked.notes else "no note"
        out.line(f"{checked.examples} examples run, no fault, {noted}")


def print_notes(out: Page, notes: Sequence[Mapping[str, Any]]) -> None:
    """Print what is probably not meant in rules, and what to write instead."""
    if notes:
        out.title("Look at again")
    for note in notes:
        out.item(f"{note['says']}; {note['write']}", f"{note['file']}:{note['line']}: {note['rule']}")


def print_unread(unread: Iterable[Unread]) -> None:
    """Print what is not read for each edition still to come: rules with their lines, tables, concerns."""
    with page() as out:
        for coming in unread:
            out.line(f"{coming.code}: {_not_read(coming)}")
            parts = [f"{rule.file}:{rule.line}: {rule.id}" for rule in coming.rules]
            parts += [f"tables/{name}.yaml" for name in coming.tables]
            for part in [*parts, *(f"concerns.yaml: {name}" for name in coming.concerns)]:
                out.line(part, indent=2)


def _not_read(coming: Unread) -> str:
    counts = [
        counted(len(coming.rules), "rule"),
        counted(len(coming.tables), "table"),
        counted(len(coming.concerns), "concern"),
    ]
    return f"{', '.join(counts[:2])} and {counts[2]} not read for it"


def counts_plain(checked: Checked) -> dict[str, Any]:
    """Write the counts, and what is not read, as JSON prints them."""
    effects = Counter(rule.effect.kind for rule in checked.rules)
    return {
        "rules": len(checked.rules),
        "by_effect": {kind: effects[kind] for kind in EFFECTS},
        "by_code": dict(checked.by_code or {}),
        "amendments": list(checked.amendments),
        "examples": checked.examples,
        "floor": dict(zip(("joints", "good_joints"), checked.floor, strict=True)),
        "translated": {one.language: {"sentences": one.of, "translated": one.done} for one in checked.translated},
        "notes": [note.to_dict() for note in checked.notes],
        "unread": [coming.to_dict() for coming in checked.unread],
    }


def _counts(name: str, rules: Collection[Rule]) -> tuple[str, ...]:
    kinds = ("page", "memory", None)
    return name, str(len(rules)), *(str(sum(rule.source.obtained == kind for rule in rules)) for kind in kinds)


def _source(rule: Rule) -> str:
    return f"{rule.source} (memory)" if rule.source.obtained == "memory" else str(rule.source)


# --- what a word of a question reaches -----------------------------------------------------------


_GROUPS = {"bar": "bars", "refer": "referrals", "demand": "demands", "caution": "cautions"}
_REST = "rest"


def print_reach(found: Iterable[WordReach]) -> None:
    """Print for each leaf the rules that its word turns on and off."""
    with page() as out:
        for at, one in enumerate(found):
            means = f": {one.asked.means}" if one.asked.means else ""
            (out.title if at else out.headline)(f"{one.asked}{means}")
            parts = {
                "turns on" if one.asked.word is not None else "is tested by": one.on,
                "turns off": one.off,
                "turns off, unless something beside it is what they ask for": one.unless,
                "decides by way of a measure": one.measured,
            }
            if not any(parts.values()):
                out.line("reaches no rule", indent=2)
            for title, reached in parts.items():
                _print_part(out, title, reached)


def _print_part(out: Page, title: str, reached: tuple[Reached, ...]) -> None:
    if reached:
        out.title(title)
    for group in (*_GROUPS.values(), _REST):
        own = [one for one in reached if _GROUPS.get(one.rule.effect.kind, _REST) == group]
        if own:
            out.line(group, indent=2)
        for one in own:
            does = f"{one.rule.effect.kind} " if group == _REST else ""
            out.line(f"{does}{one.rule.id} ({one.by}) — {source_text(one.rule.source.to_dict())}", indent=4)
            out.line(one.rule.says, indent=6)
