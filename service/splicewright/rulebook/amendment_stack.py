"""Amendments laid over the rulebook of a code edition, in the order that a question names them.

What rests on a document is set aside only by some authority, which the amendment names; so is what an amendment says by
such a right itself, or in place of a rule of the code. What could make a splice pass that would not have passed before
is added by an authority alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

import orjson

from splicewright.faults import Fault, Faults
from splicewright.refusals import Says, not_allowed
from splicewright.rulebook.amendment_files import WRITE_BY, Amendment
from splicewright.rulebook.lint import condition_names, lint
from splicewright.rulebook.model import Amended, Authority, Rule, Rulebook


def lay(base: Rulebook, amendments: Sequence[Amendment]) -> Rulebook:
    """Lay amendments over the rulebook of a code edition, from left to right: withdrawals first, then rules.

    Raises `Faults` with what does not go together, each at the line of the amendment that brings it.
    """
    if not amendments:
        return base
    stack = _Stack(base)
    for amendment in amendments:
        stack.lay(amendment)
    faults = stack.faults or [*stack.unfounded(), *stack.wordless()]
    if faults:
        raise Faults(faults)
    digests = orjson.dumps([base.digest, *(amendment.digest for amendment in amendments)])
    found = replace(
        base,
        rules=tuple(stack.rules[rule_id] for rule_id in sorted(stack.rules)),
        digest="sha256:" + hashlib.sha256(digests).hexdigest(),
        about={**base.about, **{amendment.name: amendment.about for amendment in amendments}},
        amendments=tuple(amendment.name for amendment in amendments),
        amended=tuple(stack.amended[rule_id] for rule_id in sorted(stack.amended)),
    )
    files = {amendment.file for amendment in amendments}
    if own := [fault for fault in lint(found) if fault.file in files]:
        raise Faults(own)
    return found


class _Stack:
    """A rulebook while amendments are laid over it."""

    def __init__(self, base: Rulebook) -> None:
        self._base = base
        self.rules = {rule.id: rule for rule in base.rules}
        self.amended: dict[str, Amended] = {}
        self.faults: list[Fault] = []
        self._laid: dict[str, Amendment] = {}

    def lay(self, amendment: Amendment) -> None:
        """Lay one more amendment over it."""
        name, code = amendment.name, self._base.code
        if not amendment.holds_for(code):
            self._fault(amendment, 1, "", f"amends {', '.join(amendment.amends)}, and {code} is asked")
            return
        if name in self._laid or name in self._base.about:
            what = "is named twice" if name in self._laid else "has the name of a ruleset of the code; give it another"
            self._fault(amendment, 1, "", what)
            return
        self._laid[name] = amendment
        for one in amendment.withdraws:
            if rule := self._touched(amendment, one.rule, one.by, one.line, "withdraws"):
                self._take(rule, "withdrawn", amendment, one.says, one.by, one.line)
        for rule in amendment.rules:
            self._add(amendment, rule)

    def _add(self, amendment: Amendment, rule: Rule) -> None:
        if rule.id in self.rules:
            first = self.rules[rule.id]
            self._fault(amendment, rule.line, rule.id, f"this id stands at {first.file}:{first.line} too")
            return
        if rule.replaces is not None:
            replaced = self._touched(amendment, rule.replaces, rule.by, rule.line, "replaces", rule.id)
            if replaced:
                self._take(replaced, "replaced", amendment, rule.says, rule.by, rule.line)
        if rule.by is None and (loosens := self._loosens(rule)):
            self._fault(amendment, rule.line, rule.id, f"{loosens}: {WRITE_BY}")
        self.rules[rule.id] = rule

    def _take(
        self,
        rule: Rule,
        did: Literal["withdrawn", "replaced"],
        amendment: Amendment,
        says: str,
        by: Authority | None,
        line: int,
    ) -> None:
        del self.rules[rule.id]
        self.amended[rule.id] = Amended(rule, did, amendment.name, says, by, amendment.file, line)

    def _touched(
        self, amendment: Amendment, rule_id: str, by: Authority | None, line: int, key: str, part: str = ""
    ) -> Rule | None:
        """Give a rule that an amendment takes out; None, with a fault, where it may not."""
        rule = self.rules.get(rule_id)
        if rule is None:
            self._fault(amendment, line, part, self._not_there(rule_id).within(f"{key}: "))
            return None
        if by is None and (rests_on := self._right(rule)):
            says = f"{key}: {rule_id} rests on {rests_on}, which only an authority sets aside: {WRITE_BY}"
            self._fault(amendment, line, part, says)
            return None
        return rule

    def _not_there(self, rule_id: str) -> Says:
        gone = self.amended.get(rule_id)
        if gone is None:
            short = [known for known in self.rules if known.partition("/")[2] == rule_id]
            says = f"{self._base.code} has no such rule: "
            if short:
                return Says(f"{says}write the whole id, {short[0]}", "unknown-word", short[0])
            return not_allowed(rule_id, self.rules).within(says)
        says = f"{rule_id} was {gone.did} by {gone.amendment} ({gone.file}:{gone.line})"
        instead = [rule.id for rule in self.rules.values() if rule.replaces == rule_id]
        if instead:
            return Says(f"{says}; write {instead[0]}", "unknown-word", instead[0])
        return Says(f"{says}; leave it out", "unknown-word")

    def _right(self, rule: Rule) -> str:
        """Give what a rule rests on that a house rule does not set aside, or what some rule that it leads to does.

        Empty where there is nothing of that kind.
        """
        for one in (rule, *self._led_to(rule)):
            if found := self._own_right(one):
                return found if one is rule else f"{found} (by way of {one.id})"
        return ""

    def _own_right(self, rule: Rule) -> str:
        """Give the document of a rule, the authority of its amendment, or the rule of the code in whose place it is."""
        if rule.source.document is not None:
            return str(rule.source)
        if rule.by is not None:
            return f"{rule.by.document} {rule.by.section} of {rule.by.authority}"
        gone = self.amended.get(rule.replaces or "")
        if gone is not None and gone.rule.code is not None:
            return f"{gone.rule.id} of {self._base.code}, in whose place it stands"
        return ""

    def _led_to(self, rule: Rule) -> Iterator[Rule]:
        """Give the rules that wait for what a rule concludes, and for what these conclude."""
        seen, todo = {rule.id}, [rule]
        while todo:
            concludes = todo.pop().effect.concludes
            for one in self.rules.values() if concludes else ():
                if one.id not in seen and concludes in condition_names(one):
                    seen.add(one.id)
                    todo.append(one)
                    yield one

    def _loosens(self, rule: Rule) -> str:
        """Tell how a rule, or one that it leads to, may let a splice pass that would not have passed; empty if not."""
        for one in (rule, *self._led_to(rule)):
            way = "" if one is rule else f" by way of {one.id}"
            if one.effect.kind == "tolerance":
                return f"allows a figure to be off{way}, which only an authority does"
            if one.effect.kind == "step" and one.effect.proves and isinstance(one.effect.value, dict):
                return f"proves a step by a listed figure{way}, which only an authority says"
        return ""

    def unfounded(self) -> Iterator[Fault]:
        """Tell which conditions nothing concludes any longer, that some rule or concern waits for."""
        concluded = {rule.effect.concludes for rule in self.rules.values()}
        derived = (*self.rules.values(), *(rule for concern in self._base.concerns for rule in concern.rules))
        for gone in self.amended.values():
            condition = gone.rule.effect.concludes
            waiting = [rule.id for rule in derived if condition in condition_names(rule)]
            if condition and condition not in concluded and waiting:
                named = ", ".join(waiting[:3]) + (f" and {len(waiting) - 3} more" if len(waiting) > 3 else "")
                says = f"with {gone.rule.id} {gone.did} no rule concludes {{{': '.join(condition)}}}, for which {named}"
                says += " wait; replace it by a rule that concludes it"
                yield Fault(gone.file, gone.line, "", says)

    def wordless(self) -> Iterator[Fault]:
        """Tell which verdicts of fill have no words any longer, or two."""
        worded: dict[str, Rule] = {}
        for rule in self.rules.values():
            verdict = rule.effect.verdict
            if verdict and (first := worded.setdefault(verdict, rule)) is not rule:
                own = rule if rule.amendment else first
                says = f"the words for {verdict} stand in {first.id if own is rule else rule.id} too; replace that"
                yield Fault(own.file, own.line, own.id, says)
        for gone in self.amended.values():
            verdict = gone.rule.effect.verdict
            if verdict and verdict not in worded:
                says = f"with {gone.rule.id} {gone.did} nothing has words for {verdict}; replace it by one that has"
                yield Fault(gone.file, gone.line, "", says)

    def _fault(self, amendment: Amendment, line: int, part: str, says: str) -> None:
        self.faults.append(Fault(amendment.file, line, part, says))
