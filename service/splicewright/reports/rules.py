"""Rules for people: lists, one rule whole, counts."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

import yaml
from rich.table import Table

from splicewright.reports.screen import screen
from splicewright.rulebook.effects import EFFECTS

if TYPE_CHECKING:
    from splicewright.choice.proving import Checked
    from splicewright.rulebook import Rule


def print_rules(rules: Iterable[Rule]) -> None:
    """Print one line a rule: id, what it does, its source, what it says."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in ("rule", "does", "source", "says"):
        table.add_column(heading, overflow="fold")
    for rule in rules:
        table.add_row(rule.id, rule.effect.kind, _source(rule), rule.says)
    with screen() as out:
        out.print(table)


def print_rule(rule: Rule) -> None:
    """Print one rule as its file writes it, with file and line above."""
    sys.stdout.write(f"# {rule.file}:{rule.line}\n")
    sys.stdout.write(yaml.safe_dump({**rule.raw, "id": rule.id}, sort_keys=False, allow_unicode=True, width=110))


def print_counts(checked: Checked) -> None:
    """Print the counts of rules by ruleset, code, effect and kind of source."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in ("ruleset", "rules", "read on a page", "memory", "common practice"):
        table.add_column(heading, justify="left" if heading == "ruleset" else "right")
    kinds = ("page", "memory", None)
    for ruleset in sorted({rule.ruleset for rule in checked.rules}):
        own = [rule for rule in checked.rules if rule.ruleset == ruleset]
        table.add_row(
            ruleset,
            str(len(own)),
            *(str(sum(rule.source.obtained == kind for rule in own)) for kind in kinds),
        )
    everything = [str(sum(rule.source.obtained == kind for rule in checked.rules)) for kind in kinds]
    table.add_row("all", str(len(checked.rules)), *everything)
    effects: Counter[str] = Counter(rule.effect.kind for rule in checked.rules)
    with screen() as out:
        out.print(table)
        out.print("by effect: " + ", ".join(f"{kind} {effects[kind]}" for kind in EFFECTS))
        out.print("by code: " + ", ".join(f"{code} {count}" for code, count in sorted((checked.by_code or {}).items())))
        out.print(f"{checked.examples} examples run, no fault")


def _source(rule: Rule) -> str:
    return f"{rule.source} (memory)" if rule.source.obtained == "memory" else str(rule.source)
