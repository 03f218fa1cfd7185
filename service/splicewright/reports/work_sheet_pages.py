"""What stands on a work sheet: a page for each box and one for joints outside boxes, each with its joints and steps."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Any, NamedTuple

from splicewright.question.vocabulary import PHASES
from splicewright.reports.words import defaults_that_matter, not_judged, taken_for

Plain = Mapping[str, Any]
#: How much of an answer a sheet asks for.
INCLUDED = frozenset({"make_up", "cautions", "findings", "proofs"})
_PHASES = {phase: at for at, phase in enumerate(PHASES)}


@dataclass(frozen=True, slots=True)
class Made:
    """A connector that joints are made with: its option in the answer, its listing, and how many of it."""

    option: Plain
    listing: Plain
    count: int


class Part(NamedTuple):
    """One of the joints that a joint is divided into: what it takes, and the names of its connectors."""

    takes: str
    connectors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetJoint:
    """A joint: its conductors, and what makes each or why it is not made (`because`: rule, sentence)."""

    name: str
    quantity: int
    outcome: str
    conductors: Sequence[Plain] = ()
    made: Sequence[Made] = ()
    parts: Sequence[Part] = ()
    because: Sequence[tuple[str, str]] = ()
    cautions: Sequence[Plain] = ()
    judged: Sequence[Plain] = ()
    assumed: Mapping[str, Plain] = field(default_factory=dict)
    taken_for: Sequence[Plain] = ()
    read_as: Sequence[Plain] = ()
    departs_from: str = ""  # what is proposed for it, where it is made with something else

    def steps(self) -> Iterator[tuple[Plain, str]]:
        """Give each step once with its own name; with the connector's too, where others of its do without the step."""
        found: dict[str, tuple[Plain, list[str]]] = {}
        for one in self.made:
            for step in one.option.get("make_up", ()):
                found.setdefault(repr(step), (step, []))[1].append(one.option["name"])
        for step, connectors in found.values():
            yield step, self.name if len(connectors) == len(self.made) else f"{self.name}: {', '.join(connectors)}"


class Step(NamedTuple):
    """A step, with the joints of its page that it is for; none named: all of them."""

    step: Plain
    joints: tuple[str, ...]


class Known(NamedTuple):
    """What is known of joints of a page, as an answer has it, and which; none named: all that were answered."""

    told: Any
    joints: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A page: of a box (with the answer about it) so many times, or of joints outside boxes (`box` None)."""

    name: str
    quantity: int
    joints: Sequence[SheetJoint]
    box: Plain | None = None
    errors: Sequence[str] = ()
    sent_as: Sequence[Plain] = ()  # what was read of the whole file in other words

    @property
    def steps(self) -> list[Step]:
        """The steps of all its joints in their order, each once."""
        found: dict[tuple[int, str, str], tuple[Plain, list[str]]] = {}
        made = [joint.name for joint in self.joints if joint.made]
        for joint in self.joints:
            for step, name in joint.steps():
                key = (_PHASES[step["phase"]], step["rule"], repr(step))
                found.setdefault(key, (step, []))[1].append(name)
        return [
            Step(step, () if names == made else tuple(names))
            for _, (step, names) in sorted(found.items(), key=lambda one: one[0])
        ]

    @property
    def cautions(self) -> list[Known]:
        """What to mind of its joints, each once: rule and sentence."""
        return self._cautions("mind")

    @property
    def always(self) -> list[Known]:
        """What holds of every joint."""
        return self._cautions("always")

    def _cautions(self, kind: str) -> list[Known]:
        return sorted(
            self._known(
                lambda joint: [
                    (one["rule"], one["says"]) for one in joint.cautions if one["kind"] == kind and "rule" in one
                ]
            )
        )

    @property
    def taken_for(self) -> list[Known]:
        """What its joints' places are taken for because of a default, each once: rule and sentence."""
        return self._known(lambda joint: [(one["rule"], one["says"]) for one in joint.taken_for])

    @property
    def judged(self) -> list[Known]:
        """What was not judged of its joints, each once: concern, and the pointer to what would settle it, or none."""
        return self._known(lambda joint: [(one["concern"], one.get("asks")) for one in not_judged(joint.judged)])

    @property
    def assumed(self) -> list[Known]:
        """The defaults that its joints' answers rest on, those of joints with the same ones together."""
        return self._known(lambda joint: filter(None, [defaults_that_matter(joint.assumed)]))

    @property
    def read_as(self) -> list[Plain]:
        """What was sent in other words, and what it was taken for."""
        of_joints = chain.from_iterable(joint.read_as for joint in self.joints)
        return [*self.sent_as, *(self.box or {}).get("read_as", ()), *of_joints]

    def _known(self, of: Callable[[SheetJoint], Iterable[Any]]) -> list[Known]:
        """Give once what holds of some joints, with those of which it does."""
        found: dict[Any, dict[str, None]] = {}
        for joint in self.joints:
            for one in of(joint):
                found.setdefault(one, {})[joint.name] = None
        everyone = len({joint.name for joint in self.joints if joint.cautions})
        return [Known(one, () if len(names) == everyone else tuple(names)) for one, names in found.items()]


def answered_joint(
    name: str,
    quantity: int,
    conductors: Sequence[Plain],
    answer: Plain,
    listings: Mapping[str, Plain],
    uses: Sequence[tuple[str, int]] | None = None,
    room: Plain | None = None,
) -> SheetJoint:
    """Give a joint by its answer, which has `INCLUDED`.

    `uses` are the connectors that it is made with and how many of each; None: the best, one a joint. `room` tells
    whether the room of its box was judged, where the box knows it.
    """
    options = {one["connector"]: one for one in answer["options"]}
    taken = uses if uses is not None else [(first, quantity) for first in list(options)[:1]]
    made = [Made(options[connector], listings[connector], count) for connector, count in taken if connector in options]
    return SheetJoint(
        name,
        quantity,
        answer["outcome"],
        conductors,
        made,
        because=[(one["rule"], one["says"]) for one in (*answer["bars"], *answer["referrals"])],
        cautions=answer["cautions"],
        judged=list(_judged(answer["judged"], room)),
        assumed=answer["assumed"],
        taken_for=list(taken_for(answer)),
        read_as=answer.get("read_as", ()),
    )


def _judged(judged: Iterable[Plain], room: Plain | None) -> Iterator[Plain]:
    for one in judged:
        yield room if room is not None and room["concern"] == one["concern"] else one
