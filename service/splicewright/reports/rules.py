"""Rules for people: lists, one rule whole, counts."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

import yaml

from splicewright.reading import clean
from splicewright.reports.page import page
from splicewright.rulebook.effects import EFFECTS

if TYPE_CHECKING:
    from splicewright.operate.rule_check import Checked
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


def _counts(name: str, rules: Collection[Rule]) -> tuple[str, ...]:
    kinds = ("page", "memory", None)
    return name, str(len(rules)), *(str(sum(rule.source.obtained == kind for rule in rules)) for kind in kinds)


def _source(rule: Rule) -> str:
    return f"{rule.source} (memory)" if rule.source.obtained == "memory" else str(rule.source)
