"""The table of what is bounded by what says what the code says, and each of its proofs is there."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

import splicewright
from splicewright.api.settings import defaults

ROOT, SERVICE = Path(__file__).parents[1], Path(splicewright.__file__).parent
TABLE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("| input | bound | where | proof |")[2]
ROWS = [line.strip("| ").split(" | ") for line in TABLE.partition("\n\n")[0].splitlines()[2:]]


def test_table_is_found() -> None:
    assert len(ROWS) > 20
    assert {len(row) for row in ROWS} == {4}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_bound_is_that_of_the_code(row: list[str]) -> None:
    _, bound, where, proof = row
    for part in where.split("; "):
        module, _, names = part.partition(": ")
        for file in re.findall(r"`([\w/]+\.py)`", module):
            assert (SERVICE / file).exists(), file
        named = re.findall(r"`(\w+)`", names)
        code = importlib.import_module(f"splicewright.{module[1:-4].replace('/', '.')}") if named else None
        for name in named:
            value = defaults()[name] if "settings" in module else getattr(code, name)
            assert f"{value:,.0f}" in bound, (name, value)
    for file in re.findall(r"`(tests/[\w/]+\.py)`", proof):
        assert (ROOT / file).exists(), file
    assert "tests" in proof
