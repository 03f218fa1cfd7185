"""A firing: a rule with the conductors and the conditions that it fired on."""

from __future__ import annotations

from dataclasses import dataclass

from splicewright.rulebook.model import Rule

Condition = tuple[str, str]  # key and word


@dataclass(frozen=True, slots=True)
class Firing:
    """One firing of a rule.

    `conductors` has an index into `Facts.conductors` for each conductor pattern, `conditions` the key and
    word matched by each condition pattern, both in the rule's order.
    """

    rule: Rule
    conductors: tuple[int, ...] = ()
    conditions: tuple[Condition, ...] = ()
