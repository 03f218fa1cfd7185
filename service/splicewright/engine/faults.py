"""What the engine refuses to compile, and how much of everything it takes.

The library trusts whatever it is given and overruns its own tables, so that every limit is checked before
anything reaches it. The figures leave a margin to the sizes of those tables.
"""

from __future__ import annotations

MOST_RULES = 4000
MOST_PATTERNS = 16  # of one rule, all tests on single facts counting as one
MOST_COMPARISONS = 30  # in one pattern
MOST_CONDUCTOR_PATTERNS = 3  # of one rule: in four patterns 24 conductors would fire 255,024 times
MOST_ALIKE = 250  # patterns with the very same tests
MOST_CONDITIONS = 1000
MOST_PROPERTIES = 250  # of one fact
MOST_BRANCHES = 500  # comparisons that may follow one comparison
MOST_PENDING = 60  # comparisons waiting at once while one fact is matched
LARGEST_NUMBER = 2**53


class UnfitRulebook(ValueError):  # noqa: N818 - named for what is wrong
    """A rulebook that cannot be decided as written. Carries the rule's id and what to write instead."""

    def __init__(self, rule: str, says: str) -> None:
        self.rule = rule
        self.says = says
        super().__init__(f"{rule}: {says}")


class RulebookTooLarge(UnfitRulebook):
    """A rulebook that has more of something than the engine takes."""
