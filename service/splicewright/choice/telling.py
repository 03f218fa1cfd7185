"""What is told of a connector: why it is refused, in the words of its listing, or the work steps of the joint with it.

Reasons are worded once, kept with the catalogue, and shared by answers.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from operator import itemgetter
from typing import Any, NamedTuple, TypeVar
from weakref import WeakKeyDictionary

import orjson

from splicewright.answer_forms import HERE
from splicewright.catalogue import Connector, meets
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.catalogue.model import ListedFigure
from splicewright.engine import Finding, Statement
from splicewright.question.model import Joint
from splicewright.question.vocabulary import PHASES
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.model import FactValue, ListingTest
from splicewright.units import coded_plain, coded_text


def listed_value(attributes: Mapping[str, Any], attribute: str) -> str:
    """Give what a listing says of an attribute, in words."""
    if attribute not in attributes:
        return "no figure of its own" if ATTRIBUTES[attribute].rightly_silent else "not stated by its listing"
    value = attributes[attribute]
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset | tuple | list):
        return ", ".join(sorted(value)) or "none"
    return str(coded_text(ATTRIBUTES[attribute].kind, value))


def test_plain(test: ListingTest) -> dict[str, Any]:
    """Give a test as answers write it: `{any-of: [{value: 600, unit: V}]}`, `{includes: [wet]}`."""
    kind = ATTRIBUTES[test.attribute].kind
    values = [value if isinstance(value, FactValue) else coded_plain(kind, value) for value in test.values]
    return {test.operator: values}


def with_here(says: str, here: str) -> str:
    """Join a rule's sentence and what it finds here, as answers write them: `Water gets in. Here: places: dry.`."""
    return f"{says}{HERE}{here}." if here else says


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a connector is refused: the rule, its sentence, and what is so of this connector (empty: nothing more).

    `not_stated` are the attributes that its listing does not state, where that is all that speaks against it. `text`
    has it as JSON, joined as answers write it.
    """

    rule: str
    says: str
    here: str
    not_stated: tuple[str, ...]
    text: bytes = field(repr=False, compare=False)

    @classmethod
    def of(cls, rule: str, says: str, here: str = "", not_stated: tuple[str, ...] = ()) -> Reason:
        """Give a reason."""
        return cls(rule, says, here, not_stated, orjson.dumps({"rule": rule, "says": with_here(says, here)}))

    @property
    def whole(self) -> str:
        """All that it says, as answers write it."""
        return with_here(self.says, self.here)


Failing = tuple[tuple[int, Reason], ...]


def barring(bar: Finding) -> Reason:
    """Give why the connectors of a barred method are refused."""
    found: Reason | None = bar.kept.get("reason")
    if found is None:
        found = bar.kept["reason"] = Reason.of(bar.rule.id, bar.says)
    return found


@functools.lru_cache(maxsize=4096)
def unfit(rule_id: str, says: str, by: str) -> Reason:
    """Give why a connector does not take the conductors, in the rule's words for its verdict."""
    return Reason.of(rule_id, says, by)


_Made = TypeVar("_Made")


class Each(dict[int, _Made]):
    """Something for each connector, by place; it is made when it is first wanted."""

    def __init__(self, connectors: Sequence[Connector], make: Callable[[Connector], _Made]) -> None:
        super().__init__()
        self._connectors, self._make = connectors, make
        self.every: tuple[tuple[int, _Made], ...] = ()  # those that someone put together

    def __missing__(self, at: int) -> _Made:
        """Make it for the connector in one place."""
        found = self[at] = self._make(self._connectors[at])
        return found


def of_each(index: ConnectorIndex, key: tuple[Any, ...], make: Callable[[Connector], _Made]) -> Each[_Made]:
    """Give what is made of each connector, kept with the index. It depends on nothing but the connector and the key."""
    found: Each[_Made] | None = index.kept.get(key)
    if found is None:
        found = index.kept.keep(key, Each(index.catalogue.connectors, make))
    return found


def failing(index: ConnectorIndex, demand: Finding, passing: int) -> Failing:
    """Give the connectors that fail a demand on their listing alone, by place, each with the reason.

    `passing` are all others, as bits of the index.
    """
    rule_id, says, tests = demand.rule.id, demand.says, demand.tests

    def reason(connector: Connector) -> Reason:
        failed = [test.attribute for test in tests if not meets(connector, test)]
        here = "; ".join([listed_text(connector, name) for name in failed])
        return Reason.of(rule_id, says, here, connector.silent_on(connector.attributes, failed))

    reasons = of_each(index, ("fails", rule_id, says, tests), reason)
    if not reasons.every:
        reasons.every = tuple([(at, reasons[at]) for at in index.places(index.everything & ~passing)])
    return reasons.every


@dataclass(frozen=True, slots=True)
class Refusals:
    """Refusals in JSON text with commas between them, and the rules that they name."""

    text: bytes
    rules: frozenset[str]


def written_refusals(
    index: ConnectorIndex, key: tuple[Any, ...], because: Callable[[], Mapping[int, Sequence[Reason]]]
) -> Refusals:
    """Give refusals by the places of the connectors, written once for each key. They depend on nothing but the key."""
    found: Refusals | None = index.refusals.get(key)
    if found is None:
        reasons = because()
        rules = frozenset([reason.rule for each in reasons.values() for reason in each])
        found = index.refusals.keep(key, Refusals(_refusals_text(index, reasons), rules))
    return found


def _refusals_text(index: ConnectorIndex, because: Mapping[int, Sequence[Reason]]) -> bytes:
    named = of_each(index, ("named",), _named_text)
    return b",".join(
        [
            b'{%b,"because":[%b]%b}' % (named[at], b",".join([one.text for one in reasons]), _unproven_text(reasons))
            for at, reasons in because.items()
        ]
    )


def _unproven_text(reasons: Iterable[Reason]) -> bytes:
    """Tell what a listing does not state, where nothing but that refuses its connector."""
    for reason in reasons:
        if not reason.not_stated:
            return b""
    return b',"not_stated":' + orjson.dumps(sorted({name for reason in reasons for name in reason.not_stated}))


def _named_text(connector: Connector) -> bytes:
    return orjson.dumps({"connector": connector.id, "method": connector.method})[1:-1]


#: What was said of each connector's attributes, for as long as its catalogue is in use.
_said: WeakKeyDictionary[Connector, dict[str, str]] = WeakKeyDictionary()


def listed_text(connector: Connector, attribute: str, here: Mapping[str, Any] | None = None) -> str:
    """Give an attribute with what a listing says of it (`volts: 600 V`), for a joint where `here` is told."""
    if here is not None:
        return _listed_text(connector, attribute, here)
    said = _said.setdefault(connector, {})
    if attribute not in said:
        said[attribute] = _listed_text(connector, attribute, connector.attributes)
    return said[attribute]


def _listed_text(connector: Connector, attribute: str, attributes: Mapping[str, Any]) -> str:
    text = f"{attribute}: {listed_value(attributes, attribute)}"
    if not connector.silent_on(attributes, (attribute,)):
        return text
    from splicewright.catalogue.carton import look_for  # noqa: PLC0415 - a listing that states all never needs it

    return f"{text}; look for {look_for(attribute)}"


# --- work steps ----------------------------------------------------------------------------------


class _Step(NamedTuple):
    """A step as far as its rule decides it; `listing` names the figure that it takes from the listing."""

    phase: int
    said: Statement
    methods: tuple[str, ...]
    proves: str | None
    listing: str | None
    one_for_all: tuple[str, ...]  # methods by which that figure is one for all conductors
    text: bytes  # where it takes none

    @classmethod
    def of(cls, said: Statement) -> _Step:
        """Read a step, once for each statement."""
        found: _Step | None = said.kept.get("step")
        if found is None:
            effect = said.rule.effect
            value: Any = effect.value
            listing, alike = (value["listing"], value.get("one_for_all", ())) if isinstance(value, dict) else (None, ())
            text = b"" if listing else _step_text(said, None if value is None else _common(str(value)))
            found = said.kept["step"] = cls(
                _ORDER[str(effect.phase)], said, effect.methods, effect.proves, listing, tuple(alike), text
            )
        return found


class _OfMethod(NamedTuple):
    """The steps for one method in their order; by place those with a figure, and those with one of the listing."""

    steps: tuple[_Step, ...]
    with_figure: tuple[int, ...]
    of_listing: tuple[int, ...]


class MakeUp:
    """The work steps for one joint, in the order of phases, then of rule ids; worked out once for like connectors."""

    def __init__(self, joint: Joint, steps: Iterable[Finding]) -> None:
        """Take the steps that the rules found for the joint."""
        self._joint = joint
        self._found = [step.statement for step in steps]
        self._by_method: dict[str, _OfMethod] = {}
        self._listed: dict[Connector, tuple[_OfMethod, dict[int, ListedFigure | None]]] = {}
        self._told: dict[Connector, tuple[list[bytes], list[str]]] = {}
        self._held: dict[tuple[str, tuple[bool, ...]], tuple[int, ...]] = {}

    def steps(self, connector: Connector) -> list[dict[str, Any]]:
        """Give the steps that hold for a connector, with its figures.

        A step that takes its figure from the listing is left out where the listing is silent; where it is not, it
        stands in place of the common figure for the same work (`proves`).
        """
        found: list[dict[str, Any]] = orjson.loads(b"[%b]" % b",".join(self.texts(connector)))
        return found

    def texts(self, connector: Connector) -> list[bytes]:
        """Give the steps that hold for a connector as JSON text."""
        return self._told_of(connector)[0]

    def rules(self, connector: Connector) -> list[str]:
        """Give the ids of the rules whose steps hold for a connector."""
        return self._told_of(connector)[1]

    def figures(self, connector: Connector, *phases: str) -> dict[str, Any]:
        """Give the figure of the first step of each of these phases that has one: `{strip: {value, unit}}`.

        Where conductors differ in a figure, `by_conductor` has it for each.
        """
        of_method, figures = self._listed_figures(connector)
        found, each = dict[str, Any](), list[Any]()
        held = self._holding(connector.method, figures)
        for at in of_method.with_figure:
            effect = of_method.steps[at].said.rule.effect
            if at in held and effect.phase in phases and effect.phase not in found:
                figure = figures[at] if at in figures else _common(str(effect.value))
                if figure is not None:
                    found[effect.phase] = figure.value
                    each += figure.by_conductor
        return {**found, "by_conductor": each} if each else found

    def _told_of(self, connector: Connector) -> tuple[list[bytes], list[str]]:
        found = self._told.get(connector)
        if found is None:
            (steps, *_), figures = self._listed_figures(connector)
            held = self._holding(connector.method, figures)
            texts = [steps[at].text or _step_text(steps[at].said, figures[at]) for at in held]
            found = self._told[connector] = (texts, [steps[at].said.rule.id for at in held])
        return found

    @cached_property
    def _steps(self) -> list[_Step]:
        return sorted(map(_Step.of, self._found), key=itemgetter(0))  # they come by rule id

    def _listed_figures(self, connector: Connector) -> tuple[_OfMethod, dict[int, ListedFigure | None]]:
        """Give the steps for a connector's method, and the figures of its listing by the place of their step."""
        found = self._listed.get(connector)
        if found is None:
            method, joint = connector.method, self._joint
            of_method = self._by_method.get(method) or self._by_method.setdefault(method, self._of_method(method))
            taken = [(at, of_method.steps[at]) for at in of_method.of_listing]
            figures = {
                at: connector.figure(str(step.listing), joint, alike=method in step.one_for_all) for at, step in taken
            }
            found = self._listed[connector] = (of_method, figures)
        return found

    def _of_method(self, method: str) -> _OfMethod:
        steps = [step for step in self._steps if not step.methods or method in step.methods]
        with_figure = [at for at, step in enumerate(steps) if step.said.rule.effect.value is not None]
        return _OfMethod(tuple(steps), tuple(with_figure), tuple([at for at in with_figure if steps[at].listing]))

    def _holding(self, method: str, figures: dict[int, ListedFigure | None]) -> tuple[int, ...]:
        """Give the places of the steps that hold."""
        key = (method, tuple([figure is not None for figure in figures.values()]))
        found = self._held.get(key)
        if found is None:
            steps = self._by_method[method].steps
            by_listing = {steps[at].proves for at, figure in figures.items() if figure} - {None}
            found = self._held[key] = tuple(
                [
                    at
                    for at, step in enumerate(steps)
                    if (figures[at] is not None if step.listing else step.proves not in by_listing)
                ]
            )
        return found


_ORDER = {phase: at for at, phase in enumerate(PHASES)}


def _common(quantity: str) -> ListedFigure:
    number, _, unit = quantity.partition(" ")
    return ListedFigure({"value": float(number) if "." in number else int(number), "unit": unit})


def _step_text(step: Statement, value: ListedFigure | None) -> bytes:
    """Write a work step with its figure, if it has any."""
    written: dict[str, Any] = {"phase": step.rule.effect.phase, "do": step.do}
    if value is not None:
        written["value"] = value.value
        if value.by_conductor:
            written["by_conductor"] = value.by_conductor
    return orjson.dumps({**written, "rule": step.rule.id})
