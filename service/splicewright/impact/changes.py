"""What differs between two stacks: rules, measures that tables decide, connectors; each a change of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from splicewright.catalogue import Catalogue
from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook import Rule, Rulebook

Kind = Literal["added", "withdrawn", "replaced", "reworded", "table", "connector"]


@dataclass(frozen=True, eq=False)
class StackChange:
    """One change: of a rule (`was` and `now`, or one of them), of a measure's table, or of a connector, by `name`."""

    kind: Kind
    was: Rule | None = None
    now: Rule | None = None
    name: str = ""
    about: str = ""

    def __eq__(self, other: object) -> bool:
        """Compare by what it is of: within one comparison that tells a change."""
        return isinstance(other, StackChange) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)

    @property
    def _key(self) -> tuple[str, str, str, str]:
        return (self.kind, self.was.id if self.was else "", self.now.id if self.now else "", self.name)

    @property
    def of_fill(self) -> bool:
        """Whether it is of a rule that has the words for a connector that does not take the conductors."""
        return any(rule.effect.verdict for rule in (self.was, self.now) if rule)

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        if self.kind in ("table", "connector"):
            return {"kind": self.kind, "name": self.name, **({"about": self.about} if self.about else {})}
        found: dict[str, Any] = {"kind": self.kind}
        for key, rule in (("from", self.was), ("to", self.now)):
            if rule is not None:
                found[key] = rule.id
        rule = self.now or self.was
        assert rule is not None
        return {**found, "does": rule.effect.kind, "says": rule.says, **rule.cited()}


@dataclass(frozen=True, slots=True)
class RuleChanges:
    """The changes of rules between two rulebooks, and the rules that only moved: they say and do the same."""

    changes: tuple[StackChange, ...]
    moved: tuple[tuple[Rule, Rule], ...]

    @property
    def same_as(self) -> Mapping[str, str]:
        """The ids that moved rules had, by those that they have now."""
        return {now.id: was.id for was, now in self.moved}


def rule_changes(old: Rulebook, new: Rulebook) -> RuleChanges:
    """Compare rulebooks rule by rule.

    Rules of one id are one rule; so are those of which one replaces or succeeds the other. What is left is paired by
    what it says and does.
    """
    olds, news = _alone(old, new), _alone(new, old)
    changes: list[StackChange] = []
    moved: list[tuple[Rule, Rule]] = []
    for was, now in _paired(olds, news):
        del olds[was.id], news[now.id]
        if _content(was) == _content(now):
            moved += [(was, now)] if was.id != now.id else []
        else:
            reworded = was.does == now.does
            changes.append(StackChange("reworded" if reworded else "replaced", was, now))
    changes += [StackChange("withdrawn", was=rule) for rule in olds.values()]
    changes += [StackChange("added", now=rule) for rule in news.values()]
    return RuleChanges(tuple(sorted(changes, key=_order)), tuple(moved))


def _alone(book: Rulebook, other: Rulebook) -> dict[str, Rule]:
    """Give the rules of a rulebook that the other one does not have as they are."""
    known = {id(rule) for rule in other.rules}
    return {rule.id: rule for rule in book.rules if id(rule) not in known}


def _paired(olds: Mapping[str, Rule], news: Mapping[str, Rule]) -> list[tuple[Rule, Rule]]:
    found = {now.id: olds[now.id] for now in news.values() if now.id in olds}
    for now in news.values():
        for before in filter(None, (now.succeeds, now.replaces)):
            if now.id not in found and before in olds and olds[before] not in found.values():
                found[now.id] = olds[before]
    left = {id(was) for was in found.values()}
    alike: dict[tuple[Any, ...], list[Rule]] = {}
    for was in olds.values():
        if id(was) not in left:
            alike.setdefault(_content(was), []).append(was)
    for now in news.values():
        if now.id not in found and alike.get(_content(now)):
            found[now.id] = alike[_content(now)].pop(0)
    return [(was, news[rule_id]) for rule_id, was in found.items()]


def _content(rule: Rule) -> tuple[Any, ...]:
    return (*rule.does, rule.says)


def _order(change: StackChange) -> tuple[str, str]:
    rule = change.now or change.was
    assert rule is not None
    return rule.id, change.kind


def connector_changes(old: Catalogue, new: Catalogue) -> Iterator[StackChange]:
    """Give the connectors that only one catalogue has, or that say something else in the other."""
    olds = {connector.id: connector.to_dict() for connector in old.connectors}
    news = {connector.id: connector.to_dict() for connector in new.connectors}
    for name in sorted({*olds, *news}):
        if olds.get(name) != news.get(name):
            yield StackChange("connector", name=name)


def table_changes(names: Iterable[str]) -> Iterator[StackChange]:
    """Give the measures of some names as changes."""
    return (StackChange("table", name=name, about=fact_kinds()[name].about) for name in sorted(names))
