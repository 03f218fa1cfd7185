"""The two programs that stock plans are found with.

In the first every joint takes the best of its options that is carried; so only the types are to be found. In the
second joints are shared out among types as it is cheapest, one by one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from splicewright.job.model import SPARE_STEPS
from splicewright.job.solver import Found, Program, Work
from splicewright.job.stock import Wanted, bought


class TypesProgram(Program):
    """A flag for each type, 1 where it is carried."""

    def __init__(self, wanted: Wanted, work: Work) -> None:
        super().__init__(work)
        self.wanted = wanted
        types = range(len(wanted.types))
        self.flags = [self.column(1, whole=True, lower=float(one in wanted.carried)) for one in types]
        self._packs: dict[int, int] = {}

    @property
    def added(self) -> dict[int, float]:
        """The number of types that are not carried already, as an aim."""
        return {self.flags[one]: 1.0 for one in self.wanted.addable}

    @property
    def in_order(self) -> list[int]:
        """The flags of the types that are not carried already, in the order of ids."""
        return [self.flags[one] for one in self.wanted.addable]

    @property
    def cost(self) -> dict[int, float]:
        """What all packs cost in units, as an aim."""
        return {column: self.wanted.prices[one].amount / self.wanted.unit for one, column in self._packs.items()}

    def types(self, found: Found) -> tuple[int, ...]:
        """Give the types of a solution."""
        return tuple(one for one, column in enumerate(self.flags) if found.flag(column))

    def is_only(self, types: Iterable[int], aim: Mapping[int, float], most: int, share: float) -> bool:
        """Say whether it is proven that no solution with an aim of at most a whole value lacks one of these types.

        None that adds more types than these is looked at. At most a share of all work is spent. Ends a program.
        """
        added = [self.flags[one] for one in types if one not in self.wanted.carried]
        self.row([(flag, 1) for flag in added], most=len(added) - 1)
        self.row(self.added.items(), most=len(added))
        with self._work.spending(share):
            return not added or self.has_none(aim, most)

    def cover(self, sets: Iterable[Sequence[int]]) -> None:
        """Ask for a type of each set."""
        for one in sets:
            self.row([(self.flags[at], 1) for at in one], least=1)

    def buy(self, one: int, terms: Sequence[tuple[int, float]], most: int) -> None:
        """Ask for whole packs of a type for the count that the terms add up to, `most` at most, spares among them."""
        price = self.wanted.prices[one]
        self._packs[one] = packs = self.column(bought(most, self.wanted.spare, price).packs or 0, whole=True)
        per_joint = SPARE_STEPS + self.wanted.spare
        self.row([(packs, SPARE_STEPS * price.of), *((at, -per_joint * n) for at, n in terms)], least=0)


class RankedProgram(TypesProgram):
    """Every joint takes the best of its options that is carried."""

    def __init__(self, wanted: Wanted, work: Work, *, priced: bool, left: bool = False) -> None:
        """Without `priced` nothing is bought, and only an aim at ranks makes joints take the best.

        With `left` all joints of a kind may be left out.
        """
        super().__init__(wanted, work)
        self._priced, self._may_leave = priced, left
        self.nearly_whole = not priced
        self.left: dict[int, float] = {}
        self.ranks: dict[int, float] = {}
        self._counts: dict[int, list[tuple[int, float]]] = {}
        for kind in wanted.kinds:
            self._take_one(kind.options, kind.count)
        if priced:
            for one in sorted(self._counts.keys() & wanted.prices.keys()):
                self.buy(one, self._counts[one], round(sum(n for _, n in self._counts[one])))

    @property
    def unpriced(self) -> dict[int, float]:
        """How many joints are made with types of unknown price, as an aim."""
        return {column: n for one in self.wanted.unpriced for column, n in self._counts.get(one, ())}

    def _take_one(self, options: Sequence[int], count: int) -> None:
        takes = [self.column(1) for _ in options]
        out = [self.column(1, whole=True)] if self._may_leave else []
        self.left |= dict.fromkeys(out, float(count))
        self.row([(column, 1) for column in (*takes, *out)], least=1, most=1)
        before: list[tuple[int, float]] = []
        for rank, (option, column) in enumerate(zip(options, takes, strict=True)):
            self.row([(column, 1), (self.flags[option], -1)], most=0)
            if self._priced and rank + 1 < len(options):
                # How much is taken up to this rank: all, where this type is carried. In sums, for rows that name each
                # better rank grow with the square of their number.
                so_far = self.column(1)
                self.row([(so_far, 1), (column, -1), *before], least=0, most=0)
                self.row([(so_far, 1), (self.flags[option], -1)], least=0)
                before = [(so_far, -1.0)]
            self._counts.setdefault(option, []).append((column, float(count)))
            if rank:
                self.ranks[column] = float(rank * count)


class SharingProgram(TypesProgram):
    """Joints are shared out among the types, one by one. `kinds`: options and how many joints."""

    def __init__(
        self, wanted: Wanted, work: Work, kinds: Sequence[tuple[tuple[int, ...], int]], *, left: bool = False
    ) -> None:
        """With `left` joints may be left out."""
        super().__init__(wanted, work)
        self.kinds = kinds
        self.takes = [{option: self.column(count) for option in options} for options, count in kinds]
        self.left: dict[int, float] = {}
        for share, (_, count) in zip(self.takes, kinds, strict=True):
            out = [self.column(count)] if left else []
            self.left |= dict.fromkeys(out, 1.0)
            self.row([(column, 1) for column in (*share.values(), *out)], least=count, most=count)
        self.counts: dict[int, int] = {}
        terms: dict[int, list[tuple[int, float]]] = {}
        most: Counter[int] = Counter()
        for share, (_, count) in zip(self.takes, kinds, strict=True):
            for one, column in share.items():
                terms.setdefault(one, []).append((column, -1.0))
                most[one] += count
        for one in sorted(terms):
            # Whole, so that with them all shares are whole at a corner, however spares and packs divide.
            self.counts[one] = self.column(most[one], whole=True)
            self.row([(self.counts[one], 1), *terms[one]], least=0, most=0)
            if one in wanted.prices:
                self.buy(one, [(self.counts[one], 1)], most[one])

    def use_carried_only(self) -> None:
        """Let joints be made with carried types only: from here on the flags count."""
        for share, (_, count) in zip(self.takes, self.kinds, strict=True):
            for one, column in share.items():
                if one not in self.wanted.carried:
                    self.row([(column, 1), (self.flags[one], -count)], most=0)

    def counted(self, found: Found) -> dict[int, int]:
        """Give how many joints each type makes."""
        return {one: found.number(column) for one, column in self.counts.items()}

    def flagged(self, found: Found) -> list[float]:
        """Give a solution again with the flag of each type that makes joints, and of no other but what is carried."""
        values = list(found.values)
        for one, column in enumerate(self.flags):
            used = one in self.counts and found.number(self.counts[one]) > 0
            values[column] = float(used or one in self.wanted.carried)
        return values

    def shares(self, found: Found) -> list[dict[int, int]]:
        """Give how many joints of each kind are made with which type."""
        given = []
        for share, (_, count) in zip(self.takes, self.kinds, strict=True):
            whole = {one: n for one, column in share.items() if (n := found.number(column)) > 0}
            if whole and (short := count - sum(whole.values())) and not self.left:
                whole[max(whole, key=lambda one: whole[one])] += short
            given.append(whole)
        return given
