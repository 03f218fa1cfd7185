"""Two catalogues compared: connector by connector, field by field, as their listings say it in one canonical way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import orjson

from splicewright.catalogue import Catalogue
from splicewright.question.vocabulary import MAKE_UP_FIGURES, TORQUE_UNITS
from splicewright.units import UNITS, exact

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One field of a connector that says something else. Of a list, what was added and what is gone.

    `was` or `now` is None where one of the two does not say it.
    """

    field: str
    was: Any = None
    now: Any = None
    added: tuple[Any, ...] = ()
    gone: tuple[Any, ...] = ()

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        if self.added or self.gone:
            return {"field": self.field, "added": list(self.added), "gone": list(self.gone)}
        return {"field": self.field, "was": self.was, "now": self.now}


@dataclass(frozen=True, slots=True)
class CatalogueDiff:
    """What of a newer catalogue is not as in an older one. Connectors are known by their ids, in their order."""

    old: Catalogue
    new: Catalogue
    added: tuple[str, ...]
    gone: tuple[str, ...]
    changed: Mapping[str, tuple[FieldChange, ...]]

    @property
    def same(self) -> bool:
        """Whether every connector says the same."""
        return not (self.added or self.gone or self.changed)

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        return {
            "old": {"name": self.old.name, "digest": self.old.digest},
            "new": {"name": self.new.name, "digest": self.new.digest},
            "same": self.same,
            "added": list(self.added),
            "gone": list(self.gone),
            "changed": [
                {"connector": one, "fields": [each.to_dict() for each in fields]}
                for one, fields in self.changed.items()
            ],
        }


def compare(old: Catalogue, new: Catalogue) -> CatalogueDiff:
    """Compare two catalogues."""
    olds = {connector.id: connector for connector in old.connectors}
    news = {connector.id: connector for connector in new.connectors}
    both = [one for one in olds if one in news]
    changed = {one: tuple(_changes(olds[one].to_dict(), news[one].to_dict())) for one in both}
    return CatalogueDiff(
        old=old,
        new=new,
        added=tuple(one for one in news if one not in olds),
        gone=tuple(one for one in olds if one not in news),
        changed={one: fields for one, fields in changed.items() if fields},
    )


def _changes(was: Plain, now: Plain) -> Iterator[FieldChange]:
    for name in (*was, *(name for name in now if name not in was)):
        before, after = was.get(name), now.get(name)
        if _text(before) == _text(after):
            continue
        if name == "takes":
            yield _of_takes(was[name], now[name])
        elif isinstance(before, list) and isinstance(after, list):
            yield _of_lists(name, before, after)
        else:
            yield FieldChange(name, before, after)


def _of_takes(before: list[Plain], after: list[Plain]) -> FieldChange:
    """Compare what is taken: line by line, each with the kinds of its group."""
    found = _of_lists("takes", list(_lines(before)), list(_lines(after)))
    same = not (found.added or found.gone)
    return FieldChange("takes", before, after) if same else found  # the same lines in other groups


def _lines(takes: Iterable[Plain]) -> Iterator[str]:
    for take in takes:
        kinds = [" or ".join(take[key]) for key in ("constructions", "materials", "ends") if _worth_saying(take, key)]
        least = [f"at least {take['least']}"] if take.get("least", 1) > 1 else []
        beside = f" ({', '.join([*kinds, *least])})" if kinds or least else ""
        for one in (*take.get("ports", ()), *take.get("combinations", ()), *take.get("metal", ())):
            yield f"{one}{beside}"
        for ports in take.get("figures", ()):
            figures = [
                f"{name} {ports[name]['value']:g} {ports[name]['unit']}" for name in MAKE_UP_FIGURES if name in ports
            ]
            yield f"{ports['ports']}: {', '.join(figures)}"


def _worth_saying(take: Plain, key: str) -> bool:
    return key in take and take[key] != ["plain"]


def _of_lists(name: str, before: list[Any], after: list[Any]) -> FieldChange:
    had, has = {_text(one) for one in before}, {_text(one) for one in after}
    added = tuple(one for one in after if _text(one) not in had)
    gone = tuple(one for one in before if _text(one) not in has)
    return FieldChange(name, before, after, added, gone)


def _text(value: Any) -> bytes:
    return orjson.dumps(_in_base_units(value), option=orjson.OPT_SORT_KEYS)


def _in_base_units(value: Any) -> Any:
    """Give what is said whatever its units: 105 degC is 221 degF, and 1/2 in is 12.7 mm."""
    if isinstance(value, list):
        return [_in_base_units(one) for one in value]
    if not isinstance(value, Mapping):
        return value
    if value.keys() == {"value", "unit"} and (base := _base(value["value"], value["unit"])):
        return base
    return {key: _in_base_units(one) for key, one in value.items()}


def _base(value: float, unit: str) -> str:
    """Give a quantity in a base unit, with the kind that it is of; empty where it is of none, as sizes are."""
    if unit in UNITS:
        kind, times, zero = UNITS[unit]
        return f"{kind} {(Fraction(str(value)) - zero) * times}"
    return f"torque {exact(value, unit)}" if unit in TORQUE_UNITS else ""
