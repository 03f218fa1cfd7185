"""What the engine refuses to compile, and how much of everything it takes.

The library trusts whatever it is given and overruns its own tables, so that every limit is checked before
anything reaches it. The figures leave a margin to the sizes of those tables.
"""

from __future__ import annotations

from splicewright.reading import Problem, Refused

MOST_RULES = 4000
MOST_PATTERNS = 16  # of one rule
MOST_COMPARISONS = 30  # of one rule
MOST_CONDUCTOR_PATTERNS = 2  # of one rule: a fact is written for each pair, up to 552 of 24 conductors
MOST_CASES = 1000  # choices of conditions that fill the patterns of rules of one shape
MOST_ALIKE = 250  # rules with the very same tests
MOST_CONDITIONS = 1000
MOST_FACTS = 10_000  # of one question, at some 12 kB each while it is answered
MOST_PROPERTIES = 250  # of one fact
MOST_BRANCHES = 500  # comparisons that may follow one comparison
MOST_PENDING = 60  # comparisons waiting at once while one fact is matched
LARGEST_NUMBER = 2**53


class UnfitRulebook(ValueError):
    """A rulebook that cannot be decided as written. Carries the rule's id and what to write instead."""

    def __init__(self, rule: str, says: str) -> None:
        self.rule = rule
        self.says = says
        super().__init__(f"{rule}: {says}")


class QuestionTooLarge(Refused):
    """A question with more facts than the engine takes: too many different conductors for what the rules compare."""

    def __init__(self) -> None:
        super().__init__(
            [Problem("/joint/conductors", "are too many different ones for what the rules compare; ask for fewer")]
        )


class RulebookTooLarge(UnfitRulebook):
    """A rulebook that has more of something than the engine takes."""
