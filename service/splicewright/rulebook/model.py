"""Rules as read: patterns over facts, one effect each, a source, and examples.

There are thousands of their parts, made anew by each command: those that are plain values are named tuples, which are
the quickest to declare, to make and to hash.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from splicewright.answer_forms import source_plain
from splicewright.codes import Claim
from splicewright.question.changes import Change

Operator = Literal["any-of", "at-least", "at-most", "above", "below", "other-than"]
Scope = Literal["single", "conductor", "condition"]
Kind = Literal[
    "conclude", "demand", "bar", "refer", "refuse", "prefer", "step", "caution", "defect", "ask", "tolerance", "arise"
]


class Test(NamedTuple):
    """One comparison: a fact's name, an operator, and the values (coded as in question/facts.py).

    `any-of` has one or more values: a word, a flag or a number equal to one of them, or a tuple of words that includes
    one of them. Every other operator has exactly one value. Against an absent fact every comparison is false.
    """

    name: str
    operator: Operator
    values: tuple[str | int | bool, ...]


class Pattern(NamedTuple):
    """Tests that one fact must all pass: the single facts, one conductor, or one concluded condition.

    The tests of a condition read `condition.place` and the like, always `any-of`.
    """

    scope: Scope
    tests: tuple[Test, ...]


class RuleSource(NamedTuple):
    """Where a rule comes from. Common practice has `document` None."""

    document: str | None
    section: str | None = None
    edition: str | int | None = None  # as the file writes it
    obtained: Literal["page", "memory"] | None = None
    checked: str | None = None

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer writes it."""
        return source_plain(**self._asdict())

    def __str__(self) -> str:
        """Give it as a person cites it."""
        return " ".join(part for part in (self.document, self.section) if part) if self.document else "common practice"


class Authority(NamedTuple):
    """By what right an amendment departs from a code: who says so, where, and how it was read."""

    authority: str
    document: str
    section: str
    obtained: Literal["page", "memory"]
    checked: str | None = None

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer writes it."""
        return {key: told for key, told in self._asdict().items() if told is not None}


@dataclass(frozen=True, slots=True)
class FactValue:
    """A demand's value that is taken from the question: the fact's name."""

    fact: str


#: The operator of a test on a listing that a silent one passes too.
IF_STATED = "at-least-if-stated"


class ListingTest(NamedTuple):
    """A comparison with a listed attribute of a connector.

    `operator` is one of Operator, or `includes`, `includes-any`, `includes-all` for list-valued attributes, or
    `at-least-if-stated` for figures, which a silent listing passes; a value may be a FactValue.
    """

    attribute: str
    operator: str
    values: tuple[Any, ...]


class Within(NamedTuple):
    """How far off its figure a measure may be: so much either way, or (`unit` percent) a part of the figure."""

    value: float
    unit: str

    def __str__(self) -> str:
        """Give it as printed: `1 mm`, `10 percent`."""
        return f"{self.value:g} {self.unit}"


class Need(NamedTuple):
    """A fact that must be known before a concern can be judged, and the leaf of a question to ask for where it is not.

    A flag that is a measure, such as `place.cover_judged`, is not known where it is false.
    """

    fact: str
    leaf: str


class ConcernCase(NamedTuple):
    """One way in which a concern arises: what must be known and which rules settle it, or that `no_rule` does."""

    concern: str
    article: str
    needs: tuple[Need, ...] = ()
    settled_by: tuple[str, ...] = ()
    no_rule: bool = False


class Effect(NamedTuple):
    """What a rule does. Only the fields of its kind are filled."""

    kind: Kind
    concludes: tuple[str, str] | None = None  # ("place", "wet")
    tests: tuple[ListingTest, ...] = ()  # demand, prefer; step, defect: a listing that passes them excuses it
    methods: tuple[str, ...] = ()  # bar: the methods barred, empty for the joint itself; else: the methods it is for
    remedies: tuple[Change, ...] = ()  # bar
    verdict: str | None = None  # refuse
    strength: str | None = None  # prefer
    phase: str | None = None  # step
    do: str | None = None  # step
    value: Mapping[str, Any] | str | None = None  # step
    proves: str | None = None  # step
    sign: str | None = None  # defect: the sign reported
    said: tuple[str, bool | None] | None = None  # defect: what the proposal says, None for whatever it says
    asks: str | None = None  # ask, tolerance: the word of a proposal; ask: also `connector`
    within: Within | None = None  # tolerance
    case: ConcernCase | None = None  # arise


class Excuse(NamedTuple):
    """Words of a leaf that a rule leaves out on purpose, and why."""

    leaf: str
    words: tuple[str, ...]
    because: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `when` is empty for a rule that always holds."""

    id: str
    code: str | None  # the folder: None for practice, else `nfpa70`, …
    editions: Claim | None  # None: of no edition, as practice is
    when: tuple[Pattern, ...]
    effect: Effect
    says: str
    source: RuleSource
    note: str | None = None
    excuses: tuple[Excuse, ...] = ()
    fires: tuple[Mapping[str, Any], ...] = ()
    silent: tuple[Mapping[str, Any], ...] = ()
    file: str = ""
    line: int = 0
    raw: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)
    amendment: str | None = None  # the amendment that it is of
    by: Authority | None = None  # the right of that amendment to it, where one is named
    replaces: str | None = None  # the id of the rule that it stands in place of
    succeeds: str | None = None  # the id of the rule of an earlier edition that it goes on from
    places: Callable[[str], int] | None = field(default=None, repr=False, compare=False)  # lines of its parts

    @property
    def does(self) -> tuple[Any, ...]:
        """When it fires and what it does then, whatever it is called; two patterns alike ask two conductors."""
        return frozenset(Counter(self.when).items()), repr(self.effect)

    @property
    def ruleset(self) -> str:
        """The ruleset's name: the part of the id before the slash."""
        return self.id.partition("/")[0]

    def holds_in(self, edition: str) -> bool:
        """Tell whether it holds in an edition of its code, as practice does in any."""
        return self.editions is None or edition in self.editions.editions

    def line_of(self, part: str) -> int:
        """Give the line of one of its parts, such as `examples/fires/0`; its own where that is not known."""
        return self.line if self.places is None else self.places(part)

    def cited(self) -> dict[str, Any]:
        """Give its source, and of a rule of an amendment by what right it stands and for which rule, as answers do."""
        found: dict[str, Any] = {"source": self.source.to_dict()}
        if self.amendment is not None:
            found["amendment"] = self.amendment
            if self.by is not None:
                found["by"] = self.by.to_dict()
            if self.replaces is not None:
                found["replaces"] = self.replaces
        return found


@dataclass(frozen=True, slots=True)
class Concern:
    """One thing that is asked of any joint where it arises. `rules` derive that it does, one for each of its cases.

    `hurts`: an answer that did not judge it says so first. `of_connector`: it is asked of a connector, so it does not
    arise where none is looked for.
    """

    id: str
    asks: str
    article: str
    hurts: bool
    of_connector: bool
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class Amended:
    """A rule that an amendment took out of a rulebook: withdrawn, or replaced by another, with the reason."""

    rule: Rule
    did: Literal["withdrawn", "replaced"]
    amendment: str
    says: str
    by: Authority | None
    file: str = ""
    line: int = 0

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer writes it."""
        found = {"rule": self.rule.id, "did": self.did, "amendment": self.amendment, "says": self.says}
        return found if self.by is None else {**found, "by": self.by.to_dict()}


@dataclass(frozen=True, slots=True)
class Rulebook:
    """All rules that hold for one code edition, sorted by id, and the digest of all they were read from.

    `amendments` are laid over the code, in this order; `amended` is what they took out of it.
    """

    code: str
    rules: tuple[Rule, ...]
    digest: str
    about: Mapping[str, str] = field(default_factory=dict)  # ruleset -> what it settles
    concerns: tuple[Concern, ...] = ()
    amendments: tuple[str, ...] = ()
    amended: tuple[Amended, ...] = ()

    @property
    def derived(self) -> tuple[Rule, ...]:
        """All rules that an engine derives: the rulebook's own, and those by which concerns arise."""
        return (*self.rules, *(rule for concern in self.concerns for rule in concern.rules))

    @property
    def withdrawn(self) -> frozenset[str]:
        """The ids of the rules that amendments took out, with nothing in their place in the end."""
        in_place_of = {one.rule.replaces: one for one in self.amended if one.rule.replaces}
        found = []
        for one in self.amended:
            last = one
            while last.did == "replaced" and last.rule.id in in_place_of:  # what replaced it was taken out too
                last = in_place_of[last.rule.id]
            if last.did == "withdrawn":
                found.append(one.rule.id)
        return frozenset(found)

    def rule(self, rule_id: str) -> Rule:
        """Give a rule by its id. Raises KeyError."""
        for rule in self.rules:
            if rule.id == rule_id:
                return rule
        raise KeyError(rule_id)
