"""A whole run writes what it measured into the page, and nothing else of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.version import VERSION
from tests.bench import __main__ as command
from tests.bench import page
from tests.bench.pairs import Spread, Taken
from tests.bench.table import Row

pytestmark = pytest.mark.slow

TEXT = page.PAGE.read_text(encoding="utf-8")
ROWS = [
    Row("answers, all alike", [3, 4, 5], "/s"),
    Spread("answers, cold", [Taken([1_000_000] * 299 + [9_000_000])]),
    "Of the questions half are told options.",
    Row("start", [1], "s"),
]


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a copy of the page for the bench to write, which measures two rows at once."""
    copy = tmp_path / "README.md"
    copy.write_text(TEXT, encoding="utf-8")
    monkeypatch.setattr(page, "PAGE", copy)
    monkeypatch.setattr(command, "PARTS", {"two": lambda _sizes: iter(ROWS)})
    return copy


def test_whole_run_writes_machine_note_and_rows(kept: Path) -> None:
    assert command.main(["--note", "Nothing ran beside it."]) == 0
    text = kept.read_text(encoding="utf-8")
    assert page.row(text, "answers, all alike") == ["answers, all alike", "4.00", "3.00 to 5.00", "/s", "", ""]
    assert "\n\nNothing ran beside it.\n\n| what " in text
    assert " cores of " in page.machine(text)
    assert page.version(text) == f"splicewright {VERSION}"
    spread = ["answers, cold", "300", "1,000", "1,000", "926", "974", "974 to 974", "1,000", "1,000", "9,000"]
    assert page.row(text, "answers, cold") == spread
    assert text.index("| start ") < text.index("| answers, cold ") < text.index("\n\nOf the questions half are told")


def test_words_around_what_was_measured_stay(kept: Path) -> None:
    command.main([])
    text = kept.read_text(encoding="utf-8")
    for mark in ("<!-- measured", "<!-- end of what was measured -->"):
        assert text.count(mark) == 1
    assert text.split("<!-- measured")[0] == TEXT.split("<!-- measured")[0]
    assert text.split("<!-- end")[1] == TEXT.split("<!-- end")[1]


@pytest.mark.parametrize("part", [["--quick"], ["--only", "two"]])
def test_part_of_a_run_writes_nothing(part: list[str], kept: Path) -> None:
    assert command.main(part) == 0
    assert kept.read_text(encoding="utf-8") == TEXT


def test_page_without_its_place_is_refused() -> None:
    with pytest.raises(ValueError, match="0 places"):
        page.written("# Nothing\n", "a machine", ROWS)


def test_row_that_was_not_measured_is_not_made_up() -> None:
    with pytest.raises(KeyError):
        page.row(TEXT, "miles per hour")
