"""What a rule may test: every fact's name and kind.

Facts about the joint, its place, circuit and work are single; each distinct conductor has facts of its own.
Values are words, tuples of words, true or false, and whole numbers in base units (see units.py): nothing else
reaches an engine.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.nearest_word import Spoken
from splicewright.question import loads, protection  # noqa: F401 - they enter their measures
from splicewright.question.leaf import leaves_of
from splicewright.question.measures import CONDUCTOR, JOINT
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.strict_fields import InputField
from splicewright.units import UNITS

Value = str | int | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactKind:
    """What sort of value a fact has: `word`, `words`, `flag`, `count`, `size`, or a quantity's kind.

    The words of an `open` one are whatever anyone writes; all others have a closed list.
    """

    name: str
    kind: str
    words: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()  # of a measure: the given facts it is made from
    about: str = ""
    means: Mapping[str, str] = field(default_factory=dict, compare=False)  # what the words of a leaf mean
    open: bool = False
    rightly_silent: bool = False  # of an attribute: a listing that does not state it lacks nothing

    @property
    def spoken(self) -> Iterable[str]:
        """Its words, with what people say instead of them where that is known."""
        return self.means if isinstance(self.means, Spoken) else self.words

    @property
    def decided_by(self) -> frozenset[str]:
        """The leaves of a question that decide the value and how it is printed; `joint` for all of its conductors.

        What a measure reads of conductors it reads of the whole joint, unless it is a conductor's own. A length is
        printed in the unit of the depth, a size as some conductor of the joint has it.
        """
        found = set(self.reads or [self.name])
        if not self.name.startswith("conductor."):
            found = {"joint" if name.startswith(("conductor.", "joint.")) else name for name in found}
        if self.kind == "length":
            found.add("place.depth")
        if self.kind == "size" and self.reads:
            found.add("joint")
        return frozenset(found)

    @property
    def parts(self) -> frozenset[str]:
        """The parts of a question that these leaves are in."""
        return frozenset(name.partition(".")[0] for name in self.decided_by)


def _of_leaf(name: str, read: InputField[Any]) -> FactKind:
    kind = read.kind
    if kind in ("number", "quantity"):
        kind = UNITS[next(iter(read.units))][0] if read.units else "count"
    if kind == "tags":
        return FactKind(name, "words", about=read.about, open=True)
    means: Any = read.words if read.meanings else dict.fromkeys(read.words, "")
    return FactKind(name, kind, tuple(read.words), about=read.about, means=means)


def _facts_of(name: str, part: type) -> dict[str, FactKind]:
    leaves = {f"{name}.{key}": leaf.field for key, leaf in leaves_of(part).items()}
    return {name: _of_leaf(name, read) for name, read in leaves.items() if read.kind not in ("text", "list")}


#: The leaves of a question that are facts, in the order of their parts.
SINGLE_LEAVES: Mapping[str, FactKind] = {
    name: kind
    for part, of in (("joint", Joint), ("place", Place), ("circuit", Circuit), ("work", Work))
    for name, kind in _facts_of(part, of).items()
}
#: The leaves of a conductor that are facts.
CONDUCTOR_LEAVES: Mapping[str, FactKind] = _facts_of("conductor", Conductor)


@functools.cache
def fact_kinds() -> Mapping[str, FactKind]:
    """Give every fact by its name, such as `place.exposure` or the measure `joint.count`."""
    found = {**SINGLE_LEAVES, **CONDUCTOR_LEAVES}
    for measure in (*JOINT, *CONDUCTOR):
        found[measure.name] = FactKind(measure.name, measure.kind, measure.words, measure.reads, measure.about)
    return found
