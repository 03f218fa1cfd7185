"""Which rules of a stack change no answer on named joints: those that are silent, and those that decide nothing.

A report and no fault: a rule may be there for joints that nobody has yet.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.choice.matching import Match
from splicewright.choice.telling import MakeUp
from splicewright.engine import CompiledRulebook
from splicewright.impact.proposed import judged_proposal, words_of_fill
from splicewright.impact.stacks import Stack
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.question.proposal import Proposal
from splicewright.rulebook import Rule
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.shelf.joints import ShelfJoint

#: Answers without one rule that are worked out; what is left then is told as undecided.
MOST_TRIED = 200_000


class AskedJoints(NamedTuple):
    """Joints, the stack that they are put to, and the rules of it that are judged."""

    stack: Stack
    rules: Sequence[Rule]
    joints: Sequence[ShelfJoint]


@dataclass(frozen=True)
class IdleRules:
    """Rules by what they do on some joints. `fired` has how many joints each fires on; rules are in order of ids.

    `silent` fire on none. `idle` fire, and without any one of them each answer has the same outcome, options in the
    same order, steps and cautions, the same reasons against the joint and each connector, and the same check of what is
    proposed. `undecided` fire where it was not tried what would be without them. `not_judged` speak of nothing that is
    asked for: of refused connectors, or of proposed splices where none is. A rule of several stacks is one: it is none
    of these where it changes an answer under some of them.
    """

    stacks: tuple[Stack, ...]
    asked: int
    judged: int
    silent: tuple[Rule, ...]
    idle: tuple[Rule, ...]
    undecided: tuple[Rule, ...]
    not_judged: tuple[Rule, ...]
    fired: Counter[str]

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        return {
            "stacks": [stack.to_dict() for stack in self.stacks],
            "asked": self.asked,
            "judged": self.judged,
            **{group: [self._rule(rule) for rule in getattr(self, group)] for group in ("silent", "idle", "undecided")},
            "not_judged": len(self.not_judged),
        }

    def _rule(self, rule: Rule) -> dict[str, Any]:
        told = {"rule": rule.id, "does": rule.effect.kind, "file": rule.file, "line": rule.line, "says": rule.says}
        return {**told, "joints": self.fired[rule.id]}


def idle_rules(
    asked: Iterable[AskedJoints], watch: Callable[[int], None] = lambda _: None, most: int = MOST_TRIED
) -> IdleRules:
    """Put joints to their stacks and tell which of some rules of these change no answer.

    `watch` is told of each joint by how many there are. Raises `UnfitRulebook` where the rules can't be compiled.
    """
    asked = tuple(asked)
    proposed = any(joint.proposal for one in asked for joint in one.joints)
    aside = ("refuse",) if proposed else ("refuse", *OF_PROPOSALS)
    tally = _Tally(most, aside)
    for one in asked:
        tally.put(one, watch)
    rules = {rule.id: rule for one in asked for rule in one.rules}
    every = [rules[rule_id] for rule_id in sorted(rules)]
    judged = [rule for rule in every if rule.effect.kind not in aside]
    left = [rule for rule in judged if rule.id not in tally.deciding]
    return IdleRules(
        tuple(one.stack for one in asked),
        sum(joint.count for one in asked for joint in one.joints),
        len(judged),
        tuple(rule for rule in left if not tally.fired[rule.id]),
        tuple(rule for rule in left if tally.fired[rule.id] and rule.id not in tally.untried),
        tuple(rule for rule in left if rule.id in tally.untried),
        tuple(rule for rule in every if rule.effect.kind in aside),
        tally.fired,
    )


class _Tally:
    """What rules did on the joints so far: on how many each fired, which decided something, which were not tried."""

    def __init__(self, most: int, aside: Collection[str]) -> None:
        """Try at most so many answers; rules of the kinds `aside` are not judged."""
        self._aside = aside
        self.fired: Counter[str] = Counter()
        self.deciding: set[str] = set()
        self.untried: set[str] = set()
        self._left = most

    def put(self, asked: AskedJoints, watch: Callable[[int], None]) -> None:
        """Put joints to their stack."""
        judged = [rule for rule in asked.rules if rule.effect.kind not in self._aside]
        answers = _Answers(asked.stack)
        try:
            for joint in asked.joints:
                self._answer(answers, judged, joint)
                watch(joint.count)
        finally:
            answers.close()

    def _answer(self, answers: _Answers, judged: Sequence[Rule], joint: ShelfJoint) -> None:
        facts = facts_of(answers.asked(joint.question))
        firing = answers.firing(facts, judged)
        self.fired.update({rule.id: joint.count for rule in firing})
        open_rules = [rule for rule in firing if rule.id not in self.deciding]
        told = answers.answer(joint, facts) if open_rules else None
        for rule in open_rules:
            if not self._left:
                self.untried.add(rule.id)
                continue
            self._left -= 1
            if answers.answer(joint, facts, without=rule) != told:
                self.deciding.add(rule.id)


class _Answers:
    """What a stack answers, with all of its rules or without one: each a mask of the same compiled rules."""

    def __init__(self, stack: Stack) -> None:
        self._book, self._index = stack.book, ConnectorIndex(stack.catalogue)
        self._compiled = CompiledRulebook(stack.book.derived)
        self._mask = self._compiled.mask(stack.book.derived)
        self._words = words_of_fill(stack.book)

    def close(self) -> None:
        self._compiled.close()

    def asked(self, question: Question) -> Question:
        """Give a question as this stack is asked it."""
        return replace(question, code=self._book.code)

    def firing(self, facts: Facts, rules: Iterable[Rule]) -> list[Rule]:
        """Give those of some rules that fire."""
        fired = self._compiled.fired(facts, self._mask).fired
        return [rule for rule in rules if self._compiled.mask([rule]) & fired]

    def answer(self, joint: ShelfJoint, facts: Facts, without: Rule | None = None) -> tuple[Any, ...]:
        """Give what an answer comes to.

        Outcome, options in order, steps of the best one, cautions, what arises, reasons against joint and connectors,
        and what the check of its proposal finds.
        """
        question = self.asked(joint.question)
        mask = self._mask if without is None else self._mask & ~self._compiled.mask([without])
        derived = self._compiled.derive(facts, mask)
        match = Match.of(self._index, question, derived)
        options = match.options
        steps = MakeUp(match.joint, derived.steps).steps(options[0].connector) if options else []
        return (
            match.outcome,
            [(option.connector.id, option.fill.basis) for option in options],
            [(step["phase"], step["do"], repr(step.get("value"))) for step in steps],
            [finding.says for finding in derived.cautions],
            [finding.rule.id for finding in derived.arising],
            {finding.says for finding in (*derived.referrals, *derived.joint_bars)},
            set() if derived.blocked else _refused(match),
            joint.proposal and self._checked(question, joint.proposal, match),
        )

    def _checked(self, question: Question, proposal: Proposal, match: Match) -> set[tuple[str, str]]:
        """Give what the check of a proposal finds, whichever rule says it."""
        judged = judged_proposal(question, proposal, match, self._words)
        return {(point.standing, point.says) for point in judged.points if point.how is None} if judged else set()


def _refused(match: Match) -> set[tuple[str, int]]:
    """Give each sentence that refuses connectors, with those that it refuses as bits of the index."""
    index, carried = match.index, match.carried
    fitting, _ = index.judged(match.shape, carried)  # of the others nothing is told that depends on how they fit
    found = [(bar.says, index.of_methods(bar.rule.effect.methods) & carried) for bar in match.derived.method_bars]
    for demand in match.derived.demands:
        on_joint = [test for test in demand.tests if test.attribute in index.of_joint]
        failing = carried & ~index.passing_all(test for test in demand.tests if test not in on_joint)
        for test in on_joint:
            failing |= fitting & ~index.passing_here(match.shape, test, fitting)
        found.append((demand.says, failing))
    return {(says, refused) for says, refused in found if refused}
