"""What the engine refuses to compile, and how much of everything it takes.

The library trusts whatever it is given and overruns its own tables, so that every limit is checked before
anything reaches it. The figures leave a margin to the sizes of those tables.
"""

from __future__ import annotations

from collections.abc import Iterable

from splicewright.faults import Fault
from splicewright.refusals import Problem, Refused
from splicewright.rulebook.model import Rule

MOST_RULES = 4000  # of all editions together
MOST_PATTERNS = 16  # of one rule
MOST_COMPARISONS = 30  # of one rule
MOST_CONDUCTOR_PATTERNS = 2  # of one rule: every ordered pair of conductors is tried, up to 552 of 24
MOST_CHOICES = 1000  # of conditions that fill the patterns of one rule
MOST_CHAINED = 10_000  # choices of conditions, of all rules that conclude
MOST_CONDITIONS = 1000
MOST_COMPARED = 1000  # comparisons with one fact
MOST_PAIRS = 10_000  # of conductors, of one question
MOST_PROPERTIES = 250  # of one fact
LARGEST_NUMBER = 2**53


class UnfitRulebook(ValueError):
    """A rulebook that cannot be decided as written. Carries the rule's id and what to write instead."""

    def __init__(self, rule: str, says: str) -> None:
        self.rule = rule
        self.says = says
        super().__init__(f"{rule}: {says}")

    def fault(self, rules: Iterable[Rule]) -> Fault:
        """Give it with file and line of the rule, which is one of `rules`."""
        rule = next(rule for rule in rules if rule.id == self.rule)
        return Fault(rule.file, rule.line, rule.id, self.says)


class QuestionTooLarge(Refused):
    """A question with more pairs of conductors than the engine tries, for rules that compare two."""

    def __init__(self) -> None:
        super().__init__(
            [Problem("/joint/conductors", "are too many different ones for what the rules compare; ask for fewer")]
        )


class RulebookTooLarge(UnfitRulebook):
    """A rulebook that has more of something than the engine takes."""
