"""What a finding rests on: the facts that its rule matched, followed back to what was given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from splicewright.question.facts import Facts, Value, fact_kinds, printed
from splicewright.question.model import Conductor, Question
from splicewright.rulebook.model import Rule

_OF_QUESTION = frozenset({"size", "length", "temperature"})  # kinds that are printed as the question has them
_REMEMBERED = 20_000

#: Lines printed before, for values of the kinds that look alike in every question.
_lines: dict[tuple[str, Value], str] = {}


@dataclass(frozen=True, slots=True)
class Grounds:
    """The facts that a rule's findings rest on: those tested, and those that the tested measures read."""

    single: tuple[str, ...]  # in the order of their lines
    every: tuple[str, ...]  # of every conductor: what the measures of the joint read
    matched: tuple[tuple[str, ...], ...]  # of the conductor matched, for each pattern on conductors

    @classmethod
    def of(cls, rule: Rule) -> Grounds:
        """Read a rule."""
        tested = [test.name for one in rule.when if one.scope == "single" for test in one.tests]
        read = _with_reads(tested)
        matched = [_with_reads([test.name for test in one.tests]) for one in rule.when if one.scope == "conductor"]
        single = {name for names in (read, *matched) for name in names if not _of_conductor(name)}
        return cls(
            # as their lines are sorted, so that most findings need no sorting
            tuple(sorted(single, key=lambda name: f"{name}: ")),
            tuple(sorted(filter(_of_conductor, read))),
            tuple(tuple(sorted(filter(_of_conductor, names))) for names in matched),
        )


def _of_conductor(name: str) -> bool:
    return name.startswith("conductor.")


def _with_reads(names: list[str]) -> set[str]:
    return {*names, *(read for name in names for read in fact_kinds()[name].reads)}


class Lines(dict[str, str]):
    """Facts as `name: printed value`, empty where a fact has no value. Each is printed once a question."""

    def __init__(self, question: Question, values: Mapping[str, Value], conductor: Conductor | None) -> None:
        super().__init__()
        self._question = question
        self._values = values
        self._conductor = conductor

    def __missing__(self, name: str) -> str:
        """Print a fact not asked for before."""
        value = self._values.get(name)
        if value is None:
            line = self._label(name)
        elif fact_kinds()[name].kind in _OF_QUESTION:
            line = self._print(name, value)
        else:
            line = _lines.get((name, value)) or self._print(name, value)
            if len(_lines) < _REMEMBERED:
                _lines[name, value] = line
        self[name] = line
        return line

    def _print(self, name: str, value: Value) -> str:
        return f"{name}: {printed(self._question, name, value, self._conductor)}"

    def _label(self, name: str) -> str:
        """Print what measures read though no rule may test it: the label of a conductor's circuit."""
        label = None if name in fact_kinds() else getattr(self._conductor, name.partition(".")[2], None)
        return "" if label is None else f"{name}: {label}"

    def text(self, name: str) -> str:
        """Give only the printed value."""
        return self[name][len(name) + 2 :]


class Given:
    """The facts of one question, coded and in print."""

    def __init__(self, question: Question, facts: Facts) -> None:
        self.facts = facts
        self.single = Lines(question, facts.single, None)
        pairs = zip(facts.conductors, question.joint.conductors, strict=True)
        self.conductors = [Lines(question, values, conductor) for values, conductor in pairs]
