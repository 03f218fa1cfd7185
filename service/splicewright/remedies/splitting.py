"""A joint that no connector takes, made as the fewest joints tied by jumpers that the catalogue can make.

Each joint is a question of its own, put to the same rules and the same catalogue; a split is made of options only. All
jumpers of a split are alike. Which conductors they are like, and how large they must be, is for `tables/jumpers.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from splicewright.choice.loaded_rules import LoadedRules
from splicewright.choice.matching import Match, Option
from splicewright.question.answer_vocabulary import SIZED_BY
from splicewright.question.measures import LEADS
from splicewright.question.model import Conductor, Question
from splicewright.question.read import merged
from splicewright.remedies.partition import Division, JointPart, Partition
from splicewright.remedies.split_search import Asking, OutOfBounds
from splicewright.tables.jumpers import carries_device, jumper_length, least_for_device, suits_device, tail_metal
from splicewright.units import Measured
from splicewright.work import Watch

FEWEST_CONDUCTORS = 3
MOST_JOINTS = 24
MOST_CANDIDATES, MOST_PLAIN = 8, 1  # kinds of jumper tried, and where there was too much to look at
LARGEST, DEVICE = SIZED_BY
_ONE_CIRCUIT = ""  # stands for every label while a joint is divided: no rule looks at them but to bar the joint


@dataclass(frozen=True, slots=True)
class Jumper:
    """One jumper: a conductor with both ends in joints of the split. `sized_by` is LARGEST or DEVICE."""

    conductor: Conductor
    between: tuple[int, int]  # places in the split's joints
    length: Measured
    sized_by: str


@dataclass(frozen=True)
class Split:
    """Joints tied by jumpers into one. `proven`: no fewer joints would do with jumpers that are alike."""

    joints: tuple[Question, ...]
    jumpers: tuple[Jumper, ...]
    options: tuple[Option, ...]  # the best of each joint
    by_tails: bool  # every joint but one only gives a single conductor a tail
    proven: bool


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A conductor that jumpers may be, what it is sized by, and how many kinds of conductor are larger than it."""

    conductor: Conductor
    sized_by: str
    larger: int


def split(question: Question, holding: LoadedRules, match: Match | None = None) -> Split | None:
    """Give the fewest joints that `question` can be made as; None where none was found. `match` is the question's own.

    Ties go to listed fills, then to joints that the rules prefer, then to the larger jumper, then to what comes first
    (the largest conductors together, as many as go).
    """
    return search(question, holding, match or holding.match(question))[0]


def search(
    question: Question, holding: LoadedRules, match: Match, watch: Watch | None = None
) -> tuple[Split | None, int]:
    """Give what `split` gives, and how much work it was: the same for the same question, rules and catalogue."""
    joint = question.joint
    count = sum(conductor.count for conductor in joint.conductors)
    if joint.purpose == "cap" or count < FEWEST_CONDUCTORS:
        return None, 0
    kinds = merged([replace(conductor, circuit=_ONE_CIRCUIT) for conductor in joint.conductors])
    divided = replace(question, joint=replace(joint, conductors=kinds))
    candidates = list(dict.fromkeys(_candidates(divided)))[:MOST_CANDIDATES]
    asking = Asking(divided, match, holding, watch)
    for plain in (False, True):
        asking.begin()
        tried = candidates[: MOST_PLAIN if plain else None]
        searches = [(one, asking.search(one.conductor, one.larger, plain=plain)) for one in tried]
        try:
            found = _fewest(searches, min(MOST_JOINTS, 2 * count - 2))
        except OutOfBounds:
            continue
        return _made(question, *found, kinds, holding, proven=not plain) if found else None, asking.work
    return None, asking.work


def _fewest(searches: list[tuple[_Candidate, Partition]], most: int) -> tuple[_Candidate, Division] | None:
    """Give the cheapest of the divisions into the fewest parts; the first of those that cost the same."""
    for parts in range(2, most + 1):
        each = [(candidate, division) for candidate, one in searches if (division := one.into(parts)) is not None]
        if each:
            return min(each, key=lambda one: one[1].cost)
    return None


def _candidates(question: Question) -> Iterator[_Candidate]:
    """Give what jumpers may be: like the largest conductors, or tails of another metal; then, behind a device, smaller.

    One smaller than some conductors carries all that the device lets through, and what is larger is in one joint.
    """
    conductors = question.joint.conductors
    device, code = question.circuit.overcurrent_amps, question.code
    for of in sorted({conductor.size for conductor in conductors}, reverse=True):
        larger = sum(conductor.size > of for conductor in conductors)
        if larger and device is None:
            return
        for like in (conductor for conductor in conductors if conductor.size == of):
            for material in filter(None, (like.material, tail_metal(like.material))):
                one = _wire(like, material)
                if device is None:
                    yield _Candidate(one, LARGEST, 0)
                    continue
                sized = (of, material, one.role, device, code)
                if larger:
                    if suits_device(*sized) and carries_device(*sized):
                        yield _Candidate(one, DEVICE, larger)
                elif suits_device(*sized):
                    yield _Candidate(one, LARGEST, 0)
                elif least := least_for_device(*sized):
                    yield _Candidate(replace(one, size=least), DEVICE, 0)


def _wire(like: Conductor, material: str) -> Conductor:
    """Give sound wire like a conductor; a lead of equipment is no wire that one could cut a jumper of."""
    own = replace(like, cable="none", insulation=None) if like.cable == LEADS else like
    return replace(own, count=1, material=material, end="plain", condition="sound", path="ends")


def _made(
    question: Question,
    candidate: _Candidate,
    division: Division,
    kinds: tuple[Conductor, ...],
    holding: LoadedRules,
    *,
    proven: bool,
) -> Split | None:
    """Put the question's own conductors into the parts, tie them, and ask about each joint as it then is."""
    parts = sorted(division.parts, key=lambda part: (-part.ends, [-n for n in part.taken]))
    jumper = replace(candidate.conductor, circuit=min(conductor.circuit for conductor in question.joint.conductors))
    single = [replace(conductor, count=1) for conductor in question.joint.conductors for _ in range(conductor.count)]
    waiting = {kind: [one for one in single if _is(kind, one)] for kind in kinds}
    joints = []
    for part in parts:
        own = [waiting[kind].pop(0) for kind, n in zip(kinds, part.taken, strict=True) for _ in range(n)]
        conductors = merged([*own, replace(jumper, count=part.ends)])
        joints.append(replace(question, joint=replace(question.joint, conductors=conductors)))
    matches = [holding.match(joint) for joint in joints]
    if any(match.outcome != "options" for match in matches):
        return None
    length = Measured(*jumper_length())
    return Split(
        tuple(joints),
        tuple(Jumper(jumper, between, length, candidate.sized_by) for between in _tied(parts)),
        tuple(match.options[0] for match in matches),
        by_tails=sum(part.ends == 1 and sum(part.taken) == 1 for part in parts) >= len(parts) - 1,
        proven=proven,
    )


def _is(kind: Conductor, conductor: Conductor) -> bool:
    return replace(conductor, circuit=kind.circuit, count=kind.count) == kind


def _tied(parts: list[JointPart]) -> Iterator[tuple[int, int]]:
    """Tie parts, those with most ends first, into a tree: each is tied to the first one with an end to spare."""
    spare = [part.ends for part in parts]
    for at in range(1, len(parts)):
        to = next(earlier for earlier in range(at) if spare[earlier])
        spare[to] -= 1
        spare[at] -= 1
        yield to, at
