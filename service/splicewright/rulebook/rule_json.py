"""Rules as JSON prints them, in a list and one by one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.rulebook.model import Rule, Rulebook
from splicewright.rulebook.word_reach import WordReach

#: kinds of source, as a list of rules may be asked for
SOURCES = {
    "page": "a document whose section was read",
    "memory": "a document that is cited from memory, to be checked",
    "common-practice": "what is done in the trade, with nothing published",
}


def source_kind(rule: Rule) -> str:
    """Give a rule's kind of source, a word of `SOURCES`."""
    return rule.source.obtained or "common-practice"


def rulesets(book: Rulebook) -> list[str]:
    """Give the names of a rulebook's rulesets, in order."""
    return sorted({rule.ruleset for rule in book.rules})


def select(book: Rulebook, *, ruleset: str | None, effect: str | None, source: str | None) -> Iterator[Rule]:
    """Give the rules of one ruleset, effect and kind of source; None is any. Raises `Refused` for no such ruleset."""
    if ruleset is not None and ruleset not in rulesets(book):
        raise Refused([Problem("", not_allowed(ruleset, rulesets(book), "unknown-name").within("?ruleset: "))])
    for rule in book.rules:
        asked = ((ruleset, rule.ruleset), (effect, rule.effect.kind), (source, source_kind(rule)))
        if all(wanted in (None, found) for wanted, found in asked):
            yield rule


def not_there(book: Rulebook, rule_id: str, *, lines: bool = False) -> Says:
    """Tell why a rulebook has no rule of an id: which amendment took it out, else the nearest id there is.

    With `lines`, an amendment is told with its file and line.
    """
    gone = next((one for one in book.amended if one.rule.id == rule_id), None)
    if gone is None:
        return not_allowed(rule_id, [one.id for one in book.rules], "unknown-name")
    by = f"{gone.amendment} ({gone.file}:{gone.line})" if lines else gone.amendment
    if gone.did == "withdrawn":
        return Says(f"{rule_id} was withdrawn by {by}: {gone.says}", "unknown-name")
    following = (*book.rules, *(one.rule for one in book.amended))
    instead = next(one.id for one in following if one.replaces == rule_id and one.amendment == gone.amendment)
    known = any(one.id == instead for one in book.rules)
    further = "" if known else f"; {not_there(book, instead, lines=lines)}"
    return Says(f"{rule_id} was replaced by {by} with {instead}{further}", "unknown-name")


def rule_line(rule: Rule) -> dict[str, Any]:
    """Write a rule as a list has it."""
    return {"id": rule.id, "does": rule.effect.kind, "says": rule.says, **rule.cited()}


def reach_plain(found: WordReach) -> dict[str, Any]:
    """Write what a word reaches."""
    groups = {"on": found.on, "off": found.off, "unless": found.unless, "measured": found.measured}
    return {
        "leaf": found.asked.leaf,
        "word": found.asked.word,
        "means": found.asked.means,
        **{name: [{**rule_line(one.rule), "by": one.by} for one in group] for name, group in groups.items()},
    }


def rule_whole(rule: Rule) -> dict[str, Any]:
    """Write a rule whole: what it tests and does as its file writes it, its source, its note and its examples."""
    found = {
        **rule_line(rule),
        "ruleset": rule.ruleset,
        "holds_for": {"code": rule.code or "every code", "editions": str(rule.editions or "all")},
        "when": rule.raw["when"],
        "effect": rule.raw[rule.effect.kind],
    }
    if "excuses" in rule.raw:
        found["excuses"] = rule.raw["excuses"]
    if rule.succeeds:
        found["succeeds"] = rule.succeeds
    if "remedies" in rule.raw:
        found["remedies"] = rule.raw["remedies"]
    if rule.note:
        found["note"] = rule.note
    return {**found, "examples": {"fires": list(rule.fires), "silent": list(rule.silent)}}
