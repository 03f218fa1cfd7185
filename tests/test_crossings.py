"""A question goes a short way: few modules stand between what is asked and the answer."""

from __future__ import annotations

import subprocess
import sys

import pytest

from splicewright.memo import Memo
from splicewright.units import counted
from tests.crossings import ANSWERED, REFUSED, crossed
from tests.scratch import ROOT

MOST = 25
MOST_WITH_REMEDIES = 38


@pytest.fixture(scope="module")
def modules() -> dict[str, int]:
    """Give how many modules each question crosses, in a process that was asked nothing else."""
    made = subprocess.run(
        [sys.executable, "-m", "tests.crossings"], cwd=ROOT, check=True, capture_output=True, text=True
    )
    lines = [line.split(maxsplit=4) for line in made.stdout.splitlines()]
    return {name: int(count) for count, _, _, _, name in lines}


@pytest.mark.slow
@pytest.mark.parametrize("name", ANSWERED)
def test_a_cold_question_crosses_few_modules(modules: dict[str, int], name: str) -> None:
    assert modules[name] <= MOST


@pytest.mark.slow
@pytest.mark.parametrize("name", REFUSED)
def test_what_would_do_instead_adds_its_own(modules: dict[str, int], name: str) -> None:
    assert modules[name] <= MOST_WITH_REMEDIES


def test_each_change_of_module_is_counted() -> None:
    found = crossed(lambda: (counted(2, "box"), Memo[int, int](1).keep(1, 1), counted(1, "box")))
    assert found == ["units.py", "memo.py", "units.py"]


def test_a_module_is_counted_again_only_where_another_one_was_between() -> None:
    assert crossed(lambda: [counted(number, "box") for number in range(3)]) == ["units.py"]
