"""What the solver says is checked by the solution that it gives."""

from __future__ import annotations

import pytest

from splicewright import plan_job, shipped
from splicewright.job.planning import WORK
from splicewright.job.solver import Aim, Program, Work, first_by_order
from splicewright.yaml_text import read_yaml

EXAMPLE = read_yaml((shipped.folder("openapi") / "examples" / "boathouse-job.yaml").read_bytes()).value


def knapsack(work: int = WORK) -> tuple[Program, list[int]]:
    """Give a program of three flags of which two at least are 1."""
    program = Program(Work(work))
    flags = [program.column(1, whole=True) for _ in range(3)]
    program.row([(flag, 1) for flag in flags], least=2)
    return program, flags


def test_least_and_most_are_found():
    program, flags = knapsack()
    aim = {flag: float(weight) for flag, weight in zip(flags, (5, 1, 2), strict=True)}
    least, most = program.solve(aim), program.solve(aim, most=True)
    assert least is not None
    assert most is not None
    assert [least.flag(flag) for flag in flags] == [False, True, True]
    assert (round(least.bound), round(most.bound)) == (3, 8)


def test_rows_added_between_solves_hold():
    program, flags = knapsack()
    assert program.solve({flags[0]: 1.0}) is not None
    program.row([(flags[1], 1)], most=0)
    found = program.solve({flags[0]: 1.0})
    assert found is not None
    assert [found.number(flag) for flag in flags] == [1, 0, 1]


def test_what_can_not_be_is_not_found():
    program, flags = knapsack()
    program.row([(flag, 1) for flag in flags], most=1)
    assert program.solve({flags[0]: 1.0}) is None


def test_without_work_nothing_is_found():
    program, flags = knapsack(0)
    assert program.solve({flags[0]: 1.0}) is None


def test_ties_go_to_the_flags_that_come_first():
    program, flags = knapsack()
    program.row([(flag, 1) for flag in flags], most=2)
    found = first_by_order(program, flags)
    assert found is not None
    assert [found.flag(flag) for flag in flags] == [True, True, False]


def test_order_holds_over_more_flags_than_one_solve_settles():
    program = Program(Work(WORK))
    flags = [program.column(1, whole=True) for _ in range(40)]
    program.row([(flag, 1) for flag in flags], least=20, most=20)
    program.row([(flags[0], 1), (flags[15], 1)], most=0)
    found = first_by_order(program, flags)
    assert found is not None
    assert [at for at, flag in enumerate(flags) if found.flag(flag)] == [*range(1, 15), *range(16, 22)]


@pytest.mark.parametrize(
    ("value", "bound", "proven"), [(7, 7.0, True), (7, 6.0, False), (7, 6.01, True), (7, 5.0, False), (0, 0.0, True)]
)
def test_a_whole_number_is_proven_where_no_other_lies_between_it_and_the_bound(value, bound, proven):
    aim = Aim(value, bound)
    assert aim.proven is proven
    assert (aim.gap == 0) is proven


def test_a_start_that_the_solver_hands_back_is_not_taken_for_its_best():
    """With HiGHS 1.16 the cost of this job was told right while the plan given was the one that it began with."""
    plan = plan_job(EXAMPLE)["stock_plan"]
    assert plan["ties_settled"]


def test_solving_prints_nothing(capfd):
    plan_job({"joints": [{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}], "stock": {}})
    assert capfd.readouterr() == ("", "")
