"""How much may be looked for in the refused joints of one request: counted, so that it is the same on any machine."""

from __future__ import annotations

from splicewright.question.model import Question

#: Pieces of work: one is a part of a split looked at, which takes some two microseconds.
MOST_WORK = 1_200_000


class Budget:
    """The work left for one request. A joint is searched whole or not at all, as long as any is left."""

    def __init__(self, most: float | None = None) -> None:
        """Begin with so much work, by default as much as one request may make."""
        self._left = MOST_WORK if most is None else most
        self._paid: set[Question] = set()
        self.unsearched: set[Question] = set()

    def allows(self, question: Question) -> bool:
        """Say whether remedies of a refused joint are looked for; one that was searched before costs nothing."""
        if self._left > 0 or question in self._paid:
            return True
        self.unsearched.add(question)
        return False

    def pay(self, question: Question, work: int) -> None:
        """Take the work of one question off, once."""
        if question not in self._paid:
            self._paid.add(question)
            self._left -= work
