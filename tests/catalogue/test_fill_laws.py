"""Fill against its definition, written again in the plainest way (every assignment is tried), and its laws."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.catalogue import NEAREST_FIRST, OVER_FILLED, Combination, Connector, Port, Range, Take, fill
from splicewright.catalogue.model import CombinationEntry, kind_bit, kinds_mask
from splicewright.question.model import Conductor, Joint
from splicewright.units import size
from tests.catalogue.making import conductor

pytestmark = pytest.mark.slow

SIZES = [size(text) for text in ("18 AWG", "16 AWG", "1.5 mm2", "14 AWG", "2.5 mm2", "12 AWG", "10 AWG")]
CONSTRUCTIONS = ("solid", "stranded", "fine-stranded")
LONG = settings(max_examples=150, deadline=None)

sizes = st.sampled_from(SIZES)
some_constructions = st.sets(st.sampled_from(CONSTRUCTIONS), min_size=1)
conductors = st.builds(
    lambda of, construction, count: replace(conductor("1 x 12 AWG"), size=of, construction=construction, count=count),
    sizes,
    st.sampled_from(CONSTRUCTIONS[:2]) | st.sampled_from(CONSTRUCTIONS),
    st.integers(1, 3),
)
joints = st.builds(
    lambda some: Joint(purpose="splice", conductors=tuple(some)),
    st.lists(conductors, min_size=1, max_size=3).filter(lambda some: sum(one.count for one in some) <= 5),
)


def kinds(constructions: Iterable[str]) -> int:
    return kinds_mask(["copper"], constructions, ["plain"])


def combination(entries: list[tuple[int, int, int]]) -> Combination:
    """Make one of (place in SIZES, count, kinds) entries."""
    made = [CombinationEntry(SIZES[at], count, some) for at, count, some in entries]
    return Combination(tuple(sorted(made, key=lambda one: (-one.size.area, one.kinds))))


uniform = st.builds(
    lambda entries, some: combination([(at, count, kinds(some)) for at, count in entries]),
    st.lists(st.tuples(st.integers(0, 6), st.integers(1, 2)), min_size=1, max_size=3, unique_by=lambda one: one[0]),
    some_constructions,
)
picky = st.builds(
    combination,
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(1, 2), some_constructions.map(kinds)),
        min_size=1,
        max_size=3,
        unique_by=lambda one: (one[0], one[2]),
    ),
)
combination_takes = st.lists(uniform | picky, min_size=1, max_size=8).map(lambda some: Take(combinations=tuple(some)))


def port(count: int, each: int, ends: tuple[int, int], some: Iterable[str], system: str) -> Port:
    of = [one for one in SIZES if one.system == system]
    least, most = sorted(of[at % len(of)] for at in ends)
    return Port(count, each, tuple(Range(least, most, kinds([one]), one) for one in sorted(some)))


port_takes = st.builds(
    lambda some, least: Take(ports=tuple(some), least=least),
    st.lists(
        st.builds(
            port,
            st.integers(1, 2),
            st.sampled_from([1, 1, 2]),
            st.tuples(st.integers(0, 4), st.integers(0, 4)),
            some_constructions,
            st.sampled_from(["awg", "awg", "metric"]),
        ),
        min_size=1,
        max_size=3,
    ).filter(lambda some: sum(one.count * one.conductors for one in some) <= 6),
    st.integers(1, 2),
)


def connector(*takes: Take) -> Connector:
    masks = [one.kinds for take in takes for one in take.combinations]
    masks += [one.kinds for take in takes for of in take.ports for one in of.ranges]
    together = 0
    for mask in masks:
        together |= mask
    return Connector("one", "One", "twist-on", takes, together, {})


# --- the definition again ---------------------------------------------------------------------------------------

Slot = tuple[int, int]  # area, kinds (of a conductor: the bit of its one kind)


def of_joint(joint: Joint) -> list[Slot]:
    return [
        (one.size.area, kind_bit(one.material, one.construction, one.end))
        for one in joint.conductors
        for _ in range(one.count)
    ]


def of_listed(one: Combination) -> list[Slot]:
    return [(entry.size.area, entry.kinds) for entry in one.entries for _ in range(entry.count)]


def assignable(items: list[Slot], places: list[Slot], fits: Callable[[Slot, Slot], bool]) -> bool:
    return len(items) <= len(places) and any(
        all(fits(item, place) for item, place in zip(items, some, strict=True))
        for some in permutations(places, len(items))
    )


def taken(joint: list[Slot], listed: list[Slot]) -> bool:
    """The joint's kinds are taken: each by some place, and together by as many places as there are."""
    if not all(any(kind & some for _, some in listed) for _, kind in joint):
        return False
    few, many = (joint, listed) if len(joint) <= len(listed) else (listed, joint)
    return assignable(few, many, lambda one, other: bool(one[1] & other[1]))


def by_definition(joint: Joint, listing: Iterable[Combination]) -> tuple[str | None, str | None]:
    conductors = of_joint(joint)
    candidates = [listed for one in listing if taken(conductors, listed := of_listed(one))]
    if not candidates:
        return None, "construction-not-taken"
    if any(
        len(candidate) == len(conductors)
        and assignable(conductors, candidate, lambda item, place: item[0] == place[0] and bool(item[1] & place[1]))
        for candidate in candidates
    ):
        return "listed", None
    above = [
        candidate
        for candidate in candidates
        if assignable(conductors, candidate, lambda item, place: item[0] <= place[0] and bool(item[1] & place[1]))
    ]
    below = [
        candidate
        for candidate in candidates
        if assignable(candidate, conductors, lambda place, item: place[0] <= item[0] and bool(item[1] & place[1]))
    ]
    if not above:
        return None, "too-many" if len(conductors) > max(map(len, candidates)) else "too-large"
    if not below:
        return None, "too-few" if len(conductors) < min(map(len, candidates)) else "too-small"
    areas = [area for area, _ in conductors]
    for upper in above:
        for lower in below:
            both = [area for area, _ in (*upper, *lower)]
            if min(both) <= min(areas) and max(areas) <= max(both):
                return "bracketed", None
    return None, "size-not-taken"


def places(take: Take) -> Iterator[tuple[int, Port]]:
    at = 0
    for one in take.ports:
        for _ in range(one.count):
            yield from [(at, one)] * one.conductors
            at += 1


def range_for(kind: int, one: Port) -> Range | None:
    return next((some for some in one.ranges if some.kinds & kind), None)


def ports_by_definition(joint: Joint, take: Take) -> tuple[str | None, str | None, int | None]:
    """Give basis, verdict and spare ports by trying every way to put the conductors into ports."""
    conductors = [one for one in joint.conductors for _ in range(one.count)]
    kinds_of = [kind_bit(one.material, one.construction, one.end) for one in conductors]
    if not all(any(range_for(kind, one) for one in take.ports) for kind in kinds_of):
        return None, "construction-not-taken", None
    slots = list(places(take))
    listed, used, roomy = False, [], False
    for some in permutations(slots, len(conductors)):
        ways = [(one.size, range_for(kind, of)) for one, kind, (_, of) in zip(conductors, kinds_of, some, strict=True)]
        roomy = roomy or all(way and of <= way.most for of, way in ways)
        if all(way and way.least <= of <= way.most for of, way in ways):
            used.append(len({at for at, _ in some}))
            listed = listed or all(way is not None and of.system == way.least.system for of, way in ways)
    if used and len(conductors) >= take.least:
        return "listed" if listed else "bracketed", None, sum(one.count for one in take.ports) - max(used)
    return None, ports_refusal(conductors, take, roomy=roomy, room=len(slots)), None


def ports_refusal(conductors: list[Conductor], take: Take, *, roomy: bool, room: int) -> str:
    ranges = [
        [some for of in take.ports if (some := range_for(kind_bit(one.material, one.construction, one.end), of))]
        for one in conductors
    ]
    if len(conductors) > room:
        return "ports-too-few"
    if any(one.size > max(way.most for way in ways) for one, ways in zip(conductors, ranges, strict=True)):
        return "too-large"
    if not roomy:
        return "ports-too-few"
    if len(conductors) < take.least:
        return "too-few"
    if any(one.size < min(way.least for way in ways) for one, ways in zip(conductors, ranges, strict=True)):
        return "too-small"
    return "size-not-taken"


# --- agreement with the definition -----------------------------------------------------------------------------


@LONG
@given(joints, combination_takes)
def test_combinations_agree_with_the_definition(joint, take):
    found = fill(connector(take), joint)
    assert (found.basis, found.verdict) == by_definition(joint, take.combinations)


@LONG
@given(joints, port_takes)
def test_ports_agree_with_the_definition(joint, take):
    found = fill(connector(take), joint)
    assert (found.basis, found.verdict, found.spare_ports) == ports_by_definition(joint, take)


@LONG
@given(joints, combination_takes, combination_takes, port_takes)
def test_several_groups_give_the_best_outcome(joint, first, second, third):
    outcomes = [
        by_definition(joint, (*first.combinations, *second.combinations)),
        ports_by_definition(joint, third)[:2],
    ]
    order = [("listed", None), ("bracketed", None), *((None, verdict) for verdict in NEAREST_FIRST)]
    found = fill(connector(first, third, second), joint)
    assert (found.basis, found.verdict) == min(outcomes, key=order.index)


# --- the order's laws -------------------------------------------------------------------------------------------


def stands_at_or_below(lower: Joint, upper: Joint) -> bool:
    """As fill sees it: a listing of `upper` alone is not over-filled by `lower`."""
    entries = tuple(
        sorted((CombinationEntry(one.size, one.count, -1) for one in upper.conductors), key=lambda one: -one.size.area)
    )
    return fill(connector(Take(combinations=(Combination(entries),))), lower).verdict not in OVER_FILLED


def areas(joint: Joint) -> list[int]:
    return sorted((one.size.area for one in joint.conductors for _ in range(one.count)), reverse=True)


@given(joints)
def test_order_is_reflexive(joint):
    assert stands_at_or_below(joint, joint)


@LONG
@given(joints, joints)
def test_order_is_antisymmetric(one, other):
    if stands_at_or_below(one, other) and stands_at_or_below(other, one):
        assert areas(one) == areas(other)


@LONG
@given(joints, joints, joints)
def test_order_is_transitive(one, other, third):
    if stands_at_or_below(one, other) and stands_at_or_below(other, third):
        assert stands_at_or_below(one, third)


@given(joints, joints)
def test_order_is_that_of_places(one, other):
    small, large = areas(one), areas(other)
    plainly = len(small) <= len(large) and all(a <= b for a, b in zip(small, large, strict=False))
    assert stands_at_or_below(one, other) == plainly


# --- what never happens -----------------------------------------------------------------------------------------


@LONG
@given(joints, conductors, combination_takes, port_takes)
def test_another_conductor_never_makes_an_over_filled_connector_fit(joint, added, first, second):
    of = connector(first, second)
    more = replace(joint, conductors=(*joint.conductors, added))
    if fill(of, joint).verdict in OVER_FILLED:
        assert not fill(of, more).fits


@LONG
@given(joints, st.integers(0, 2), sizes, combination_takes, port_takes)
def test_larger_conductor_never_makes_an_over_filled_connector_fit(joint, at, of_size, first, second):
    of = connector(first, second)
    swapped = joint.conductors[at % len(joint.conductors)]
    larger = replace(swapped, size=max(swapped.size, of_size))
    more = replace(joint, conductors=tuple(larger if one is swapped else one for one in joint.conductors))
    if fill(of, joint).verdict in OVER_FILLED:
        assert not fill(of, more).fits


@LONG
@given(st.data(), joints, combination_takes, port_takes)
def test_fill_does_not_depend_on_the_order_of_conductors(data, joint, first, second):
    apart = [replace(one, count=1) for one in joint.conductors for _ in range(one.count)]
    shuffled = replace(joint, conductors=tuple(data.draw(st.permutations(apart))))
    of = connector(first, second)
    again = connector(first, second)  # a connector that remembers nothing
    assert fill(of, shuffled).to_dict() == fill(again, joint).to_dict()


@LONG
@given(joints, combination_takes, port_takes)
def test_outcome_is_a_basis_with_comfort_or_a_verdict_with_words(joint, first, second):
    found = fill(connector(first, second), joint)
    if found.fits:
        assert found.verdict is None
        assert found.by is None
        assert 0 <= found.comfort <= 100
        assert found.listing or found.between
    else:
        assert found.verdict in NEAREST_FIRST
        assert found.by
