"""Splits found by trying everything: each conductor by itself, in every joint, with every way to tie the joints."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from splicewright.choice.loaded_rules import LoadedRules
from splicewright.question.model import Conductor, Question
from splicewright.question.read import merged
from splicewright.units import Size, size

#: The least copper that may stand behind a device, in amperes (NFPA 70 240.4(D)), and the least equipment grounding
#: conductor (Table 250.122): the same sizes of copper for these three.
LEAST_COPPER = {15: "14 AWG", 20: "12 AWG", 30: "10 AWG"}


def trees(joints: int) -> Iterator[list[tuple[int, int]]]:
    """Give every tree that ties so many joints: any so many pairs that reach all of them."""
    pairs = list(itertools.combinations(range(joints), 2))
    for chosen in itertools.combinations(pairs, joints - 1):
        if side(0, list(chosen)) == set(range(joints)):
            yield list(chosen)


def side(start: int, pairs: list[tuple[int, int]]) -> set[int]:
    """Give the joints that pairs reach from one of them."""
    found = {start}
    while more := {at for pair in pairs if found & set(pair) for at in pair} - found:
        found |= more
    return found


def jumpers(question: Question) -> list[Conductor]:
    """Give what a jumper may be: like a conductor, or copper where that is aluminum; larger where its device asks."""
    conductors, device = question.joint.conductors, question.circuit.overcurrent_amps
    least = size(LEAST_COPPER[int(device)]) if device else conductors[0].size
    found = set()
    for like in conductors:
        of = max(like.size, least) if like.size == conductors[0].size else like.size
        for material in ("copper", like.material):
            one = replace(like, count=1, size=of, material=material)
            found.add(replace(one, end="plain", condition="sound", path="ends"))
    return sorted(found, key=repr)


def fewest(question: Question, holding: LoadedRules, most: int) -> int | None:
    """Give the fewest joints, up to `most`, that the question can be made as; None where that is not enough."""
    single = [replace(conductor, count=1) for conductor in question.joint.conductors for _ in range(conductor.count)]
    known: dict[tuple[Conductor, ...], bool] = {}

    def can_be_made(conductors: list[Conductor]) -> bool:
        joint = merged(conductors)
        if joint not in known:
            asked = replace(question, joint=replace(question.joint, conductors=joint))
            known[joint] = holding.match(asked).outcome == "options"
        return known[joint]

    for number in range(2, most + 1):
        for jumper, placed in itertools.product(jumpers(question), _placings(single, number)):
            for pairs in trees(number):
                ends = Counter(at for pair in pairs for at in pair)
                if any(not own and ends[at] < 3 for at, own in enumerate(placed)):
                    continue
                if not all(
                    _is_large_enough(question, jumper.size, jumper.material, placed, pairs, one) for one in pairs
                ):
                    continue
                if all(can_be_made([*own, *[jumper] * ends[at]]) for at, own in enumerate(placed)):
                    return number
    return None


def _placings(conductors: Iterable[Conductor], number: int) -> Iterator[list[list[Conductor]]]:
    """Give every way to put conductors into so many joints, those that differ only in like conductors once."""
    alike = Counter(conductors)
    seen = set()
    for chosen in itertools.product(
        *(itertools.combinations_with_replacement(range(number), count) for count in alike.values())
    ):
        placed: list[list[Conductor]] = [[] for _ in range(number)]
        for one, joints in zip(alike, chosen, strict=True):
            for at in joints:
                placed[at].append(one)
        key = repr(sorted(repr(own) for own in placed))
        if key not in seen:
            seen.add(key)
            yield placed


def _is_large_enough(
    question: Question,
    of: Size,
    material: str,
    placed: list[list[Conductor]],
    pairs: list[tuple[int, int]],
    pair: tuple[int, int],
) -> bool:
    device = question.circuit.overcurrent_amps
    assert device is None or material == "copper"
    largest = max(conductor.size for conductor in question.joint.conductors)
    if device is None:
        return of == largest
    if of < size(LEAST_COPPER[int(device)]):
        return False
    here = side(pair[0], [one for one in pairs if one != pair])
    sides = ([at in here for at in range(len(placed))], [at not in here for at in range(len(placed))])
    return any(all(one.size <= of for at, own in enumerate(placed) if on[at] for one in own) for on in sides)
