"""Whether conductors find places: each in one of its own, as in a listed combination or the ports of a connector."""

from __future__ import annotations

from collections.abc import Sequence

from splicewright.catalogue.model import Combination, Shape


def most_placed(choices: Sequence[Sequence[int]], room: Sequence[int]) -> int:
    """Count how many items can be placed at once, each in one of its own places, none over its room.

    `choices` has the numbers of an item's places, for each item; `room` how many items each place holds. This
    is maximum bipartite matching by augmenting paths: an item that finds its places full asks the items in
    them to move.
    """
    held: list[list[int]] = [[] for _ in room]

    def placed(item: int, asked: set[int]) -> bool:
        for place in choices[item]:
            if place in asked:
                continue
            asked.add(place)
            if len(held[place]) < room[place]:
                held[place].append(item)
                return True
            for at, other in enumerate(held[place]):
                if placed(other, asked):
                    held[place][at] = item
                    return True
        return False

    return sum(placed(item, set()) for item in range(len(choices)))


def takes_kinds(combination: Combination, shape: Shape) -> bool:
    """Say whether a combination takes conductors of a joint's kinds, sizes aside.

    Each kind in the joint is one that some conductor of it may be, and where its conductors may not all be
    the same kinds, as many of the joint's find a place as there are places for.
    """
    if shape.mask & ~combination.kinds:
        return False
    if combination.uniform:
        return True
    kinds = [entry.kinds for entry in combination.entries]
    choices = [[at for at, mask in enumerate(kinds) if mask & bit] for bit in shape.bits]
    return most_placed(choices, _room(combination)) == min(shape.count, len(combination.areas))


def goes_into(combination: Combination, shape: Shape) -> bool:
    """Say whether each conductor of a joint finds a place of its own that is as large and takes its kind."""
    slots = [(entry.size.area, entry.kinds) for entry in combination.entries]
    choices = [
        [at for at, (area, kinds) in enumerate(slots) if area >= part.area and kinds & part.bit]
        for part in shape.parts
        for _ in range(part.count)
    ]
    return most_placed(choices, _room(combination)) == shape.count


def is_filled_by(combination: Combination, shape: Shape) -> bool:
    """Say whether each place of a combination gets a conductor of the joint that is as large and of a kind it takes."""
    choices = [
        [at for at, part in enumerate(shape.parts) if part.area >= entry.size.area and entry.kinds & part.bit]
        for entry in combination.entries
        for _ in range(entry.count)
    ]
    return most_placed(choices, [part.count for part in shape.parts]) == len(combination.areas)


def _room(combination: Combination) -> list[int]:
    return [entry.count for entry in combination.entries]
