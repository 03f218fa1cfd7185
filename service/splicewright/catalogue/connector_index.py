"""A catalogue by demand: how a joint stands in each listing, and which connectors pass each test, as bits of a number.

All combinations of a connector count together; each group of its ports counts alone.

The same few hundred tests of demands and preferences come again and again, so each is tried on the whole catalogue
once. A listing that is silent fails every test, but for one that asks only what states a figure.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any
from weakref import WeakKeyDictionary

from splicewright.catalogue.combination_fill import CombinationFill
from splicewright.catalogue.fill import Fill, PortFill, best, refused
from splicewright.catalogue.model import Catalogue, Connector, Shape, kinds_text, shape_of
from splicewright.memo import Memo
from splicewright.question.model import Joint
from splicewright.question.only import Only
from splicewright.rulebook.attributes import ATTRIBUTES, OF_JOINT
from splicewright.rulebook.model import IF_STATED, FactValue, ListingTest


def fill(connector: Connector, joint: Joint) -> Fill:
    """Judge how a joint's conductors stand in a connector's listing.

    All combinations of the connector count together; each group of ports counts alone. The best of these
    outcomes is given: listed, then bracketed, then the nearest refusal (`fill.NEAREST_FIRST`).
    """
    return judge_of(connector)(shape_of(joint))


def judge_of(connector: Connector) -> Judge:
    """Give the judge of a connector's listing, made once for as long as its catalogue is in use."""
    judge = _judges.get(connector)
    if judge is None:
        judge = _judges[connector] = Judge(connector)
    return judge


class Judge:
    """One connector's listing, made ready."""

    def __init__(self, connector: Connector) -> None:
        combinations = [combination for take in connector.takes for combination in take.combinations]
        self._kinds = connector.kinds  # not the connector: what is remembered for it must not keep it alive
        self._groups: list[Callable[[Shape], Fill | None]] = [PortFill(take) for take in connector.takes if take.ports]
        if combinations:
            self._groups.append(CombinationFill(combinations))
        if any(take.metal for take in connector.takes):
            from splicewright.catalogue.metal_fill import MetalFill  # noqa: PLC0415 - few listings are by total metal

            self._groups += [MetalFill(one) for take in connector.takes for one in take.metal]

    def __call__(self, shape: Shape) -> Fill:
        """Judge how a joint of this shape stands in the listing."""
        found = [outcome for group in self._groups if (outcome := group(shape))]
        return best(found) if found else _not_taken(self._kinds, shape)


#: What was made ready for each connector, for as long as its catalogue is in use.
_judges: WeakKeyDictionary[Connector, Judge] = WeakKeyDictionary()


def _not_taken(kinds: int, shape: Shape) -> Fill:
    missing = shape.mask & ~kinds
    if missing:
        return _kinds_not_taken(missing, kinds)
    together = f"{shape.count} conductors of {kinds_text(shape.mask)}"
    return refused("construction-not-taken", f"nothing listed takes {together} together")


@functools.lru_cache(maxsize=4096)
def _kinds_not_taken(missing: int, taken: int) -> Fill:
    return refused("construction-not-taken", f"{kinds_text(missing)}; it takes {kinds_text(taken)}")


# --- tests ---------------------------------------------------------------------------------------

Values = tuple[Any, ...]
_OF_JOINT = frozenset(OF_JOINT)
_RIGHTLY_SILENT = tuple(name for name, kind in ATTRIBUTES.items() if kind.rightly_silent)
_NOT_PLAIN = frozenset({FactValue, tuple, frozenset, list})


def meets(listed: Connector | Mapping[str, Any], test: ListingTest) -> bool:
    """Say whether a connector, or a map of listed attributes (coded as `Connector.attributes`), passes a test.

    A value that a rule takes from the question must have been put in its place, a list of words as a tuple:
    raises TypeError where the test still names a fact.
    """
    attributes = listed.attributes if isinstance(listed, Connector) else listed
    value = attributes.get(test.attribute)
    if value is None:
        return test.operator == IF_STATED
    values = test.values
    for one in values:
        if type(one) in _NOT_PLAIN:
            values = tuple(_flat(test))
            break
    return _OPERATORS[test.operator](value, values)


def _flat(test: ListingTest) -> Iterator[Any]:
    for value in test.values:
        if isinstance(value, FactValue):
            raise TypeError(f"{test.attribute} is compared with the fact {value.fact!r}; put in its value first")
        yield from value if isinstance(value, tuple | frozenset | list) else (value,)


def _any_of(value: Any, given: Values) -> bool:
    return not value.isdisjoint(given) if isinstance(value, frozenset) else value in given


def _other_than(value: Any, given: Values) -> bool:
    return not _any_of(value, given)


def _includes_all(value: Any, given: Values) -> bool:
    return value.issuperset(given) if isinstance(value, frozenset) else all(value == one for one in given)


#: what a rule may write -> (value listed, values asked for) -> passes; most as for facts
_OPERATORS: dict[str, Callable[[Any, Values], bool]] = {
    "any-of": _any_of,
    "other-than": _other_than,
    "at-least": lambda value, given: bool(value >= given[0]),
    "at-most": lambda value, given: bool(value <= given[0]),
    IF_STATED: lambda value, given: bool(value >= given[0]),
    "above": lambda value, given: bool(value > given[0]),
    "below": lambda value, given: bool(value < given[0]),
    "includes": _includes_all,
    "includes-any": _any_of,
    "includes-all": _includes_all,
}


REMEMBERED_SHAPES = 512
REMEMBERED_OPTIONS = 1000
REMEMBERED_REFUSALS = 20_000  # in all, at some 400 bytes each
REMEMBERED_MADE = 20_000  # things made of single connectors, at some 600 bytes each
REMEMBERED_TESTS = 64  # of each shape
REMEMBERED = 4096  # tests; a rulebook asks some hundreds, but volts and degrees come from questions


@dataclass(slots=True)
class _Known:
    """How a joint of one shape stands in the listings judged so far.

    `judged` has these and those of them that take it: one pair, replaced as a whole, so that threads never see half
    of it. So has `tested` for each test on what only joint and connector have together.
    """

    judged: tuple[int, int] = (0, 0)
    fills: dict[int, Fill] = field(default_factory=dict)
    tested: Memo[ListingTest, tuple[int, int]] = field(default_factory=lambda: Memo(REMEMBERED_TESTS))


class ConnectorIndex:
    """One catalogue's connectors as bits: bit n is the connector in place n."""

    def __init__(self, catalogue: Catalogue) -> None:
        """Index a catalogue."""
        self.catalogue = catalogue
        count = len(catalogue.connectors)
        self.everything = (1 << count) - 1
        self._by_method: dict[str, int] = {}
        for at, connector in enumerate(catalogue.connectors):
            self._by_method[connector.method] = self._by_method.get(connector.method, 0) | 1 << at
        self._place = {connector.id: at for at, connector in enumerate(catalogue.connectors)}
        varying = {name for connector in catalogue.connectors for name in connector.varying}
        #: attributes that are tested for each joint: what it makes of a connector, and figures by size and metal
        self.of_joint = _OF_JOINT | varying
        #: whether some listing states what most rightly leave out
        self.states_more = any(
            name in one.attributes or name in one.varying for one in catalogue.connectors for name in _RIGHTLY_SILENT
        )
        #: connectors whose listings leave something unknown
        self.silent = sum(1 << at for at, one in enumerate(catalogue.connectors) if one.unknown or one.varying)
        self._judges = [judge_of(connector) for connector in catalogue.connectors]
        self.options: Memo[Any, Any] = Memo(REMEMBERED_OPTIONS)  # which connectors are options, by what decides that
        # For whoever reads on: what was made of the catalogue, and refusals by what they depend on.
        self.kept: Memo[Any, Any] = Memo(max(REMEMBERED_MADE // max(count, 1), 2))
        self.refusals: Memo[Any, Any] = Memo(max(REMEMBERED_REFUSALS // max(count, 1), 2))
        self._passing: Memo[ListingTest, int] = Memo(REMEMBERED)
        self._places_by_methods: Memo[tuple[str, ...], tuple[int, ...]] = Memo(REMEMBERED)  # of the bars there are
        self._shapes: Memo[Shape, _Known] = Memo(REMEMBERED_SHAPES)

    def passing_all(self, tests: Iterable[ListingTest]) -> int:
        """Give the connectors that pass all of these tests on their listing."""
        found = self.everything
        for test in tests:
            found &= self.passing(test)
        return found

    def fitting(self, shape: Shape, among: int) -> int:
        """Give those of some connectors whose listing takes a joint of this shape."""
        return self.judged(shape, among)[0]

    def judged(self, shape: Shape, among: int) -> tuple[int, Mapping[int, Fill]]:
        """Give the same, and how a joint of this shape stands in each listing among them, by place (others may too)."""
        known = self._known(shape)
        judged, taking = known.judged
        unknown = among & ~judged
        if unknown:
            judges, fills = self._judges, known.fills
            for at in self.places(unknown):
                fitted = fills[at] = judges[at](shape)
                if fitted.basis is not None:
                    taking |= 1 << at
            known.judged = (judged | unknown, taking)
        return taking & among, known.fills

    def passing_here(self, shape: Shape, test: ListingTest, among: int) -> int:
        """Give those of some connectors that pass a test on how a joint of this shape stands in their listings."""
        known = self._known(shape)
        tested, passing = known.tested.get(test, (0, 0))
        unknown = among & ~tested
        if unknown:
            for at in _places(unknown):
                fitted = known.fills.get(at) or self.fill(at, shape)
                by_size = test.attribute not in _OF_JOINT
                if meets(self.catalogue.connectors[at].attributes_in(shape) if by_size else fitted.attributes, test):
                    passing |= 1 << at
            known.tested.keep(test, (tested | unknown, passing))
        return passing & among

    def open_to(self, shape: Shape, test: ListingTest, among: int) -> int:
        """Give those of some connectors that pass a test with a joint, or of which nothing is known that it asks."""
        found = 0
        for at in _places(among):
            connector = self.catalogue.connectors[at]
            listed = connector.attributes_in(shape)
            here = {**listed, **self.fill(at, shape).attributes}
            if meets(here, test) or connector.silent_on(listed, (test.attribute,)):
                found |= 1 << at
        return found

    def _known(self, shape: Shape) -> _Known:
        found = self._shapes.get(shape)
        return self._shapes.keep(shape, _Known()) if found is None else found

    def fill(self, at: int, shape: Shape) -> Fill:
        """Judge how a joint of this shape stands in the listing of the connector in place `at`."""
        return self._judges[at](shape)

    def place(self, connector: Connector) -> int:
        """Give a connector's place: its bit is `1 << place`."""
        return self._place[connector.id]

    def passing(self, test: ListingTest) -> int:
        """Give the connectors that pass a test on their listing. Raises TypeError where it still names a fact."""
        found = self._passing.get(test)
        if found is None:
            connectors = self.catalogue.connectors
            bits = sum(1 << at for at, connector in enumerate(connectors) if meets(connector, test))
            found = self._passing.keep(test, bits)
        return found

    def of_methods(self, methods: tuple[str, ...]) -> int:
        """Give the connectors that join by one of these methods."""
        found = 0
        for method in methods:
            found |= self._by_method.get(method, 0)
        return found

    def places_of_methods(self, methods: tuple[str, ...]) -> tuple[int, ...]:
        """Give the places of the connectors that join by one of these methods."""
        found = self._places_by_methods.get(methods)
        if found is None:
            found = self._places_by_methods.keep(methods, self.places(self.of_methods(methods)))
        return found

    @property
    def ids(self) -> Collection[str]:
        """The ids of the connectors."""
        return self._place.keys()

    def carried(self, only: Only) -> int:
        """Give the connectors that a question keeps to; one that this catalogue lacks is none of them."""
        found = self.everything
        if only.methods:
            found &= self.of_methods(only.methods)
        if only.connectors:
            found &= sum(1 << self._place[connector] for connector in only.connectors if connector in self._place)
        return found

    def places(self, bits: int) -> tuple[int, ...]:
        """Give the places of these bits, in the order of the connectors' ids."""
        return tuple(_places(bits))


def _places(bits: int) -> Iterator[int]:
    while bits:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest
