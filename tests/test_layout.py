"""Tests are named for the modules that they test, and every part has some that are not slow."""

from __future__ import annotations

from pathlib import Path

import pytest

import splicewright

HERE, SERVICE = Path(__file__).parent, Path(splicewright.__file__).parent
PARTS = sorted(path.parent.relative_to(SERVICE).as_posix() for path in SERVICE.glob("*/__init__.py"))


@pytest.mark.parametrize("part", PARTS)
def test_tests_of_a_part_are_named_for_its_modules_or_for_what_stands_beside_them(part: str) -> None:
    modules = [path.stem for folder in (SERVICE / part, HERE / part) for path in folder.glob("*.py")]
    names = [path.stem.removeprefix("test_") for path in (HERE / part).glob("test_*.py")]
    assert names
    strays = [name for name in names if not any(f"{name}_".startswith(f"{module}_") for module in modules)]
    assert strays == []


@pytest.mark.parametrize("part", PARTS)
def test_part_has_tests_that_are_not_slow(part: str) -> None:
    texts = [path.read_text(encoding="utf-8") for path in (HERE / part).glob("test_*.py")]
    assert any("pytestmark" not in text and text.count("def test_") > text.count("mark.slow") for text in texts)
