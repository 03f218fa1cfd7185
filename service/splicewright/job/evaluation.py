"""What each distinct question of a job comes to. Each is put to the rules once."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from splicewright.answering import Chooser
from splicewright.answering.answer_json import address, judge
from splicewright.answering.finding_json import FindingTexts, caution_kind
from splicewright.catalogue.model import shape_of
from splicewright.choice.matching import Match
from splicewright.job.model import Decision, JobOption, Plain, Tail
from splicewright.question.model import Question
from splicewright.question.read import ParsedQuestion
from splicewright.remedies.remedy_rendering import REMEDIED, find_remedies, remedies
from splicewright.remedies.splitting import Split
from splicewright.work import JOINT, KIND, Budget


class Decider:
    """Decides questions by one chooser; with `splitting`, joints that no connector takes as what they split into."""

    def __init__(self, chooser: Chooser, budget: Budget, *, splitting: bool) -> None:
        self.chooser, self.budget = chooser, budget
        self._splitting = splitting
        self._known: dict[bytes, Decision] = {}
        self._searched: dict[bytes, Decision] = {}

    def decide(self, asked: ParsedQuestion, canonical: bytes) -> Decision:
        """Decide a question, but for what would do instead of it. `canonical` is its canonical form.

        Raises `Refused` for a name not known here. Whether the work is used up is for the caller to ask.
        """
        found = self._known.get(canonical)
        if found is None:
            self.budget.lasts(_work(asked.question))
            found = self._known[canonical] = self._decide(asked, canonical)
        return found

    def with_remedies(self, asked: ParsedQuestion, canonical: bytes) -> Decision:
        """Give what was decided with what would do instead, as long as the budget lasts."""
        known = self._known[canonical]
        if known.outcome in REMEDIED and canonical not in self._searched:
            self._searched[canonical] = self._remedied(asked, known)
        return self._searched.get(canonical, known)

    def _decide(self, asked: ParsedQuestion, canonical: bytes) -> Decision:
        holding = self.chooser.holding
        match, rules = holding.match(asked.question), holding.rules_of(asked.question)
        decision = Decision(
            answer=address(asked, canonical, rules.rulebook, match.index.catalogue),
            outcome=match.outcome,
            options=tuple(
                JobOption(option.connector.id, option.connector.name, option.connector.method, option.fill.basis or "")
                for option in match.options
            ),
            cautions=tuple(
                (caution.rule.id, caution_kind(caution), caution.says) for caution in match.derived.cautions
            ),
            judged=judge(asked.question, match.derived, rules.rulebook),
            amended=tuple(one.to_dict() for one in rules.engine.amended(match.derived.facts)),
            takes=shape_of(asked.question.joint).text,
        )
        if decision.outcome == "options":
            return decision
        found = replace(decision, because=self._because(asked, match))
        if match.outcome == "refer":
            return replace(found, remedies=())
        return found

    def _remedied(self, asked: ParsedQuestion, found: Decision) -> Decision:
        if not self.budget.allows(asked.question):
            return found
        match = self.chooser.holding.match(asked.question)
        looked = find_remedies(asked.question, match, self.chooser.holding, self.budget.watch)
        self.budget.pay(asked.question, looked.work)
        found = replace(found, remedies=remedies(looked, asked.question, match, {*asked.include, "conductors"}))
        return self._split(asked, found, looked.split) if self._splitting and looked.split else found

    def _because(self, asked: ParsedQuestion, match: Match) -> tuple[Plain, ...]:
        derived = match.derived
        if match.outcome in ("refer", "barred"):
            told = derived.referrals if match.outcome == "refer" else derived.joint_bars
            texts = FindingTexts(derived, proofs=False)
            found = [({"rule": one.rule.id, "says": one.says}, texts.at(one)) for one in told]
            return tuple({**said, "at": at} if at else said for said, at in found)
        words = self.chooser.holding.rules_of(asked.question).fill_words
        # A reason counts once for a connector, however often it says it of its parts.
        refusing = Counter(
            reason
            for refusal in match.refusals(words)
            for reason in {(reason.rule, reason.says) for reason in refusal.because}
        )
        ordered = sorted(refusing.items(), key=lambda item: (-item[1], item[0]))
        return tuple({"rule": rule, "says": says, "connector_count": count} for (rule, says), count in ordered)

    def _split(self, asked: ParsedQuestion, decision: Decision, found: Split) -> Decision:
        parts = [self.decide(replace(asked, question=joint), joint.canonical()) for joint in found.joints]
        jumpers = tuple(
            Tail("jumper", str(jumper.conductor.size), jumper.conductor.material, jumper.conductor.role, 1)
            for jumper in found.jumpers
        )
        return replace(decision, parts=tuple(parts), jumpers=jumpers)


def _work(question: Question) -> int:
    return JOINT + KIND * len(question.joint.conductors)
