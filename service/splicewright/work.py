"""How much one call may do, in work that is counted and never timed: its answer is the same on any machine.

A piece of work takes some two microseconds of a processor; what each thing comes to was measured
(`python -m tests.api.worst`). What a call asks for beyond its budget is refused or told as not looked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable

from splicewright.memo import Memo
from splicewright.refusals import Problem, Refused, Says

#: Pieces that remedies of the refused joints of one call may take.
MOST_REMEDIES = 1_200_000
#: Pieces of a joint that is put to the rules, and of each kind of conductor in it.
JOINT, KIND = 450, 40
#: Pieces of the check of what is proposed for a joint, beside those of the joint.
PROPOSAL = 900
#: Bytes that are read or written as JSON, read as a joint, and as a box, for each piece.
BYTES_OF_JSON, BYTES_OF_A_JOINT, BYTES_OF_A_BOX = 30, 4, 1
#: Pieces of a joint or box of a job that says what one before it says: to be counted and written.
ENTRY = 13
#: Work of the solver (`job/solver.py`) that is a piece.
WORK_OF_A_PIECE = 6
#: Pieces of a line of a batch, beside what would do instead of the joint in it.
LINE = 350
_MOST_PAID = 5_000  # questions remembered as paid for

Watch = Callable[[int], None]


def unwatched(_: int) -> None:
    """Let work go on: nobody waits for it."""


class Budget:
    """The work left for one call: for remedies, and in all. A joint is searched whole or not at all, if any is left.

    `watch` is told of all work as it is done, and raises where it is not to go on; so do the methods that count.
    """

    def __init__(
        self,
        remedies: float | None = None,
        *,
        whole: float = math.inf,
        answer_bytes: float = math.inf,
        watch: Watch = unwatched,
    ) -> None:
        """Begin with so much: pieces for remedies, by default as many as one call may take, and in all; bytes."""
        self._remedies = MOST_REMEDIES if remedies is None else remedies
        self._whole, self._answer_bytes = whole, answer_bytes
        self._left, self._bytes_left = whole, answer_bytes
        self._paid: Memo[Hashable, None] = Memo(_MOST_PAID)
        self.unsearched: set[Hashable] = set()
        self.watch = watch

    @property
    def left(self) -> float:
        """Pieces that are left in all."""
        return max(0, self._left)

    @property
    def spent(self) -> bool:
        """Whether more was asked for than there is."""
        return self._left < 0

    def lasts(self, pieces: float) -> bool:
        """Count work that is about to be done; say whether it may be."""
        self._left -= pieces
        self.watch(int(pieces))
        return self._left >= 0

    def count(self, pieces: float, pointer: str) -> None:
        """Count work of what stands at `pointer`. Raises `Refused` where it is more than the whole."""
        if not self.lasts(pieces):
            says = (
                f"a call may take {self._whole:,.0f} pieces of work, which are used up here; send what begins here in "
                "a call of its own"
            )
            raise Refused([Problem(pointer, Says(says, "too-long"))])

    def wrote(self, text: bytes, pointer: str) -> bytes:
        """Count what was written of what stands at `pointer`, and give it. Raises `Refused` for too much."""
        self._bytes_left -= len(text)
        self.watch(len(text) // BYTES_OF_JSON)
        if self._bytes_left < 0:
            says = (
                f"the answer would have more than {self._answer_bytes:,.0f} bytes; leave `include` out, or send what "
                "begins here in a call of its own"
            )
            raise Refused([Problem(pointer, Says(says, "too-long"))])
        return text

    def allows(self, question: Hashable) -> bool:
        """Say whether remedies of a refused joint are looked for; one that was searched before costs nothing."""
        if (self._remedies > 0 and self._left >= 0) or question in self._paid:
            return True
        self.unsearched.add(question)
        return False

    def pay(self, question: Hashable, work: int) -> None:
        """Take the work of one question off, once."""
        if question not in self._paid:
            self._paid.keep(question, None)
            self._remedies -= work
            self._left -= work
