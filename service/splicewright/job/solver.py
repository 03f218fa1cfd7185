"""Mixed-integer programs over whole numbers, solved one aim after another, each proven before the next is asked.

What a plan may take is counted, never timed, so that the same job has the same plan however busy the machine is. With
one thread, a fixed seed and no limit of time HiGHS does the same steps each time; a callback counts them and ends the
solve where the work is used up.

HiGHS reckons in floating point. So every value that a plan tells is reckoned again in whole numbers from the solution,
and only the bound is taken from the solver: aims are whole numbers, and a bound less than one below a value proves it.
"""

from __future__ import annotations

import functools
import importlib.metadata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from splicewright.work import WORK_OF_A_PIECE, Watch, unwatched

_LESS_THAN_ONE = 0.999
_NOISE = 1e-6  # what the values of a solution may come to beside what the solver says, relative
_HALF = 0.5  # more than an exact whole number, less than the next: what floating point loses is far smaller
_SEED = 0
_BEGIN, _ROUND, _NODE = 8, 24, 1  # what a solve's beginning and its stops cost, by entry of the matrix
_MOST_ENTRIES = 100_000  # of a program that is solved at all
_MOST_WITH_PARTS = 5_000  # entries: above, what it solves of a part of the program between two stops is no small work
_PARTS = ("mip_heuristic_run_rins", "mip_heuristic_run_rens", "mip_heuristic_run_root_reduced_cost")
_STAGE = 12  # flags that one solve puts in order: their weights stay far from what floating point loses


class Work:
    """Work that all solves together may do. Where it is used up, the best found so far is kept with its gap.

    It is counted in entries of the matrix: so many for each solve that begins, and for each stop that the solver makes,
    in rounds of cuts before it searches, and in its search. What they cost was measured (`tests/job/work.py`).
    """

    def __init__(self, allowed: int, watch: Watch = unwatched) -> None:
        """Begin with so much. `watch` is told of it, in pieces of a call's work, and ends all by what it raises."""
        self._allowed = self._left = allowed
        self._kept = 0
        self._watch = watch
        self._ended: Exception | None = None

    @property
    def left(self) -> int:
        """What may still be done now, none below nothing."""
        return max(0, self._left - self._kept)

    def pay(self, work: int) -> bool:
        """Count work that was done; says whether some is left."""
        self._left -= work
        try:
            self._watch(work // WORK_OF_A_PIECE)
        except Exception as error:  # noqa: BLE001 - it may not go through the solver, whose callback this may be
            self._ended = error
        return self.left > 0 and self._ended is None

    def go_on(self) -> None:
        """Raise what ended it, if anything did. Called outside of the solver."""
        if self._ended is not None:
            raise self._ended

    @contextmanager
    def keeping(self, share: float) -> Iterator[None]:
        """Keep a share of all that was allowed for what comes after the block, beside what is kept already."""
        with self._holding(self._kept + round(share * self._allowed)):
            yield

    @contextmanager
    def spending(self, share: float) -> Iterator[None]:
        """Let the block spend at most a share of all that was allowed."""
        with self._holding(max(self._kept, self._left - round(share * self._allowed))):
            yield

    @contextmanager
    def _holding(self, kept: int) -> Iterator[None]:
        before, self._kept = self._kept, kept
        try:
            yield
        finally:
            self._kept = before


@dataclass(frozen=True, slots=True)
class Found:
    """A solution, and the bound that no other can pass."""

    values: tuple[float, ...]
    bound: float

    def flag(self, column: int) -> bool:
        """Say whether a column of 0 or 1 is 1."""
        return self.values[column] > 0.5

    def number(self, column: int) -> int:
        """Give the whole number in a column."""
        return round(self.values[column])


@dataclass(frozen=True, slots=True)
class Aim:
    """What a stage came to, in whole numbers: its value, the bound, and whether nothing better can be."""

    value: int
    bound: float

    @property
    def proven(self) -> bool:
        """Whether no whole number between bound and value is left."""
        return abs(self.value - self.bound) < _LESS_THAN_ONE

    @property
    def gap(self) -> float:
        """The share of the value by which a better one might differ."""
        return 0.0 if self.proven else abs(self.value - self.bound) / max(1, abs(self.value))


@dataclass(frozen=True, slots=True)
class _Run:
    """What the solver gave. `agrees`: the values come to what it says they do."""

    values: tuple[float, ...]
    bound: float
    agrees: bool


class Program:
    """Columns and rows, to which rows are added between solves."""

    #: Whether what holds of all numbers mostly holds of whole ones: then a proof is first sought without branching.
    nearly_whole = False

    def __init__(self, work: Work) -> None:
        self._work = work
        self._lower: list[float] = []
        self._upper: list[float] = []
        self._whole: list[bool] = []
        self._rows: list[tuple[list[tuple[int, float]], float, float]] = []
        self._entries = 0
        self._highs: Any = None
        self._last: tuple[float, ...] | None = None

    def column(self, upper: float, *, whole: bool = False, lower: float = 0) -> int:
        """Add a column from `lower` to `upper`; gives its number."""
        self._lower.append(lower)
        self._upper.append(upper)
        self._whole.append(whole)
        return len(self._upper) - 1

    def row(self, terms: Iterable[tuple[int, float]], *, least: float | None = None, most: float | None = None) -> None:
        """Add a row: the sum of the terms (column, factor) is from `least` to `most`."""
        terms = list(terms)
        if not terms:
            return
        bounds = (-float("inf") if least is None else least, float("inf") if most is None else most)
        self._rows.append((terms, *bounds))
        self._entries += len(terms)
        if self._highs is not None:
            self._add(self._rows[-1])

    def at_most(self, aim: Mapping[int, float], value: int) -> None:
        """Hold an aim at a whole value or below."""
        self.row(aim.items(), most=value + _HALF)

    def start(self, values: Iterable[float]) -> None:
        """Give a solution to start from."""
        self._last = tuple(values)

    def solve(self, aim: Mapping[int, float], *, most: bool = False) -> Found | None:
        """Give the solution with the least (or most) of the aim. None where none is found in what work is left."""
        if not self._begin(aim, most=most):
            return None
        found = self._run(aim)
        if found is not None and self._last is not None and not found.agrees:
            # Given a start, the solver may reach a better value and yet hand the start back (HiGHS 1.16 does).
            self._highs.clearSolver()
            self._last = None
            found = self._run(aim) or found
        if found is None:
            return None
        self._last = found.values
        return Found(found.values, found.bound)

    def has_none(self, aim: Mapping[int, float], most: int) -> bool:
        """Say whether it is proven that no solution has an aim of at most a whole value. Ends a program."""
        self.at_most(aim, most)
        if not self._begin(aim, most=False):
            return False
        # The row is what is asked; the bound, which lies above it, lets the solver drop what is too dear much sooner.
        self._highs.setOptionValue("objective_bound", float(most + 2))
        return (self.nearly_whole and self._has_none(relaxed=True)) or self._has_none(relaxed=False)

    def _has_none(self, *, relaxed: bool) -> bool:
        if relaxed and not self._work.pay(_ROUND * self._entries):
            return False
        self._highs.setOptionValue("solve_relaxation", relaxed)
        self._highs.run()
        self._work.go_on()
        return bool(self._highs.getModelStatus() == _library().HighsModelStatus.kInfeasible)

    def _begin(self, aim: Mapping[int, float], *, most: bool) -> bool:
        """Make the solver ready for an aim; says whether there is work left for it."""
        has_work = self._entries <= _MOST_ENTRIES and self._work.left and self._work.pay(_BEGIN * self._entries)
        self._work.go_on()
        if not has_work:
            return False
        import numpy as np  # noqa: PLC0415 - a tenth of a second that no job without a stock need pay

        if self._highs is None:
            self._build(np)
        costs = np.zeros(len(self._upper))
        for column, weight in aim.items():
            costs[column] = weight
        self._highs.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)
        sense = _library().ObjSense
        self._highs.changeObjectiveSense(sense.kMaximize if most else sense.kMinimize)
        return True

    def _stop(self, event: Any) -> None:
        """Count one stop of the solver, and let it end where the work is used up."""
        cost = _NODE if event.data_out.mip_node_count > 0 else _ROUND
        if not self._work.pay(cost * self._entries):
            event.interrupt()

    def _run(self, aim: Mapping[int, float]) -> _Run | None:
        highs = self._highs
        if self._last is not None:
            known = _library().HighsSolution()
            known.col_value = list(self._last)
            highs.setSolution(known)
        highs.run()
        self._work.go_on()
        info = highs.getInfo()
        if info.primal_solution_status != _library().SolutionStatus.kSolutionStatusFeasible:
            return None
        values = tuple(highs.getSolution().col_value)
        told = info.objective_function_value
        reached = sum(weight * values[column] for column, weight in aim.items())
        agrees = abs(reached - told) < max(_NOISE * abs(told), 1 - _LESS_THAN_ONE)
        return _Run(values, info.mip_dual_bound if any(self._whole) else told, agrees)

    def _build(self, np: Any) -> None:
        highspy = _library()
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self._upper), 0
        lp.col_cost_ = np.zeros(len(self._upper))
        lp.col_lower_, lp.col_upper_ = np.array(self._lower, float), np.array(self._upper, float)
        kinds = highspy.HighsVarType
        lp.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in self._whole]
        highs = self._highs = _quiet_class()()
        options = {
            "output_flag": False,
            "threads": 1,
            "random_seed": _SEED,
            "mip_rel_gap": 0.0,
            "mip_abs_gap": _LESS_THAN_ONE * 0.99,
        }
        if self._entries > _MOST_WITH_PARTS:
            options |= dict.fromkeys(_PARTS, False)
        for name, value in options.items():
            highs.setOptionValue(name, value)
        highs.cbMipInterrupt += self._stop
        highs.passModel(lp)
        if not self._rows:
            return
        starts, columns, factors = [0], [], []
        for terms, _, _ in self._rows:
            columns += [column for column, _ in terms]
            factors += [factor for _, factor in terms]
            starts.append(len(columns))
        highs.addRows(
            len(self._rows),
            np.array([least for _, least, _ in self._rows], float),
            np.array([most for _, _, most in self._rows], float),
            len(columns),
            np.array(starts[:-1], np.int32),
            np.array(columns, np.int32),
            np.array(factors, float),
        )

    def _add(self, row: tuple[list[tuple[int, float]], float, float]) -> None:
        import numpy as np  # noqa: PLC0415

        terms, least, most = row
        columns, factors = zip(*terms, strict=True)
        self._highs.addRow(least, most, len(terms), np.array(columns, np.int32), np.array(factors, float))


@functools.cache
def solver_version() -> str:
    """Give the solver's version: another may give another plan where none is proven."""
    return importlib.metadata.version("highspy")


def _library() -> Any:
    import highspy  # noqa: PLC0415 - a tenth of a second that no job without a stock need pay

    return highspy


@functools.cache
def _quiet_class() -> Any:
    class Quiet(_library().Highs):  # type: ignore[misc]
        """Says nothing on standard output, not even its name, which it would print as soon as it is made."""

        def enableCallbacks(self) -> None:  # noqa: N802 - the library's name; called as soon as it is made
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    return Quiet


def first_by_order(program: Program, flags: list[int]) -> Found | None:
    """Among the solutions of a program, give one whose flags are 1 as early in order as can be.

    Fixes them on the way: a further row for each stage. None where the work is used up before all are in order.
    """
    found = None if flags else program.solve({})
    for begin in range(0, len(flags), _STAGE):
        some = flags[begin : begin + _STAGE]
        weights = {column: float(1 << (len(some) - 1 - at)) for at, column in enumerate(some)}
        found = program.solve(weights, most=True)
        if found is None:
            return None
        value = sum(int(weight) for column, weight in weights.items() if found.flag(column))
        if not Aim(value, found.bound).proven:
            return None
        for column in some:
            fixed = int(found.flag(column))
            program.row([(column, 1)], least=fixed, most=fixed)
    return found
