"""Rules for people: lists, one rule whole, counts."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING, Any

import yaml

from splicewright.reading import clean
from splicewright.reports.page import page
from splicewright.rulebook.effects import EFFECTS
from splicewright.units import counted

if TYPE_CHECKING:
    from splicewright.operate.rule_check import Checked
    from splicewright.operate.unread import Unread
    from splicewright.rulebook import Rule


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
        out.line(f"{checked.examples} examples run, no fault")
        for coming in checked.unread:
            out.line(f"{coming.code} may not be asked yet: {_not_read(coming)}; --unread lists them")


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
        "examples": checked.examples,
        "unread": [coming.to_dict() for coming in checked.unread],
    }


def _counts(name: str, rules: Collection[Rule]) -> tuple[str, ...]:
    kinds = ("page", "memory", None)
    return name, str(len(rules)), *(str(sum(rule.source.obtained == kind for rule in rules)) for kind in kinds)


def _source(rule: Rule) -> str:
    return f"{rule.source} (memory)" if rule.source.obtained == "memory" else str(rule.source)
