"""The division into fewest parts is what trying every division finds."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator

import pytest

from splicewright.remedies.partition import Cost, Counts, JointPart, Partition, Task


def every_part(counts: Counts, most: int) -> list[JointPart]:
    """Give every part that there can be."""
    takings = itertools.product(*(range(count + 1) for count in counts))
    found = [JointPart(taken, ends) for taken in takings for ends in range(1, most + 1) if sum(taken) + ends <= most]
    return [part for part in found if sum(part.taken) or part.ends > 2]


def every_division(counts: Counts, parts: list[JointPart], number: int) -> Iterator[tuple[JointPart, ...]]:
    """Give every choice of so many parts that hold all conductors and can be tied into a tree."""
    for chosen in itertools.combinations_with_replacement(parts, number):
        if sum(part.ends for part in chosen) != 2 * (number - 1):
            continue
        if all(sum(part.taken[at] for part in chosen) == count for at, count in enumerate(counts)):
            yield chosen


def added(costs: list[Cost]) -> Cost:
    return tuple(sum(each) for each in zip(*costs, strict=True))


@pytest.mark.parametrize("seed", range(60))
def test_cheapest_division_is_the_one_that_trying_all_finds(seed: int) -> None:
    rng = random.Random(seed)
    counts = rng.choice([(3,), (5,), (6,), (2, 2), (3, 2), (4, 1), (2, 1, 2), (1, 1, 1, 1)])
    most = rng.randint(3, 5)
    together = rng.choice([0, 0, 1]) if len(counts) > 1 else 0
    can_be_made = [part for part in every_part(counts, most) if rng.random() < 0.6]
    costs = {part: (rng.randint(0, 1), -rng.randint(0, 3), rng.randint(0, 9)) for part in can_be_made}
    search = Partition(Task(counts, (most,) * len(counts), together), costs.get, lambda: None)
    for number in range(2, 5):
        allowed = [
            chosen
            for chosen in every_division(counts, can_be_made, number)
            if not together or any(part.taken[0] == counts[0] for part in chosen)
        ]
        found = search.into(number)
        if not allowed:
            assert found is None
        else:
            assert found is not None
            assert found.cost == min(added([costs[part] for part in chosen]) for chosen in allowed)
            assert added([costs[part] for part in found.parts]) == found.cost
            assert any(sorted(found.parts, key=repr) == sorted(chosen, key=repr) for chosen in allowed)


def test_bound_on_larger_ends_leaves_out_only_what_cannot_be() -> None:
    # No joint has more than three ends as large as the first kind, or more than five in all.
    def cost_of(part: JointPart) -> Cost | None:
        fits = part.taken[0] + part.ends <= 3 and sum(part.taken) + part.ends <= 5
        return (sum(part.taken) ** 2,) if fits else None

    for counts in itertools.product(range(1, 5), range(5)):
        loose = Partition(Task(counts, (5, 5)), cost_of, lambda: None)
        tight = Partition(Task(counts, (3, 5)), cost_of, lambda: None)
        for number in range(2, 6):
            one, other = loose.into(number), tight.into(number)
            assert (one and one.cost) == (other and other.cost), (counts, number)


def test_hub_without_a_conductor_joins_three_jumpers_or_more() -> None:
    def cost_of(part: JointPart) -> Cost | None:
        return (0,) if part in {JointPart((1,), 1), JointPart((0,), 3), JointPart((0,), 2)} else None

    search = Partition(Task((3,), (3,)), cost_of, lambda: None)
    assert search.into(3) is None
    found = search.into(4)
    assert found is not None
    assert sorted(part.ends for part in found.parts) == [1, 1, 1, 3]


def test_plain_search_takes_conductors_in_order_along_a_chain() -> None:
    task = Task((1, 1, 1, 1, 1), (4, 4, 4, 4, 4), plain=True)
    found = Partition(task, lambda _: (1,), lambda: None).into(2)
    assert found is not None
    assert [part.taken for part in found.parts] == [(1, 1, 0, 0, 0), (0, 0, 1, 1, 1)]


def test_search_ends_when_a_step_raises() -> None:
    def step() -> None:
        raise StopIteration

    with pytest.raises(StopIteration):
        Partition(Task((9,), (5,)), lambda _: (1,), step).into(3)
