"""Text from outside is printed as it is, whatever it holds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.reports.page import clean, page

ACTED_ON = ["\x1b[31mred", "a\nb", "\r", "\x00", "\u202eabc", "\u2066x\u2069", "\u200b", "\ufeff", "\x9b31m", "\u2028"]


@given(st.text())
def test_nothing_that_a_terminal_acts_on_is_left(text: str) -> None:
    told = clean(text)
    assert told.isprintable()
    assert clean(told) == told


@pytest.mark.parametrize("text", ACTED_ON)
@pytest.mark.parametrize("way", ["headline", "title", "line", "item", "labeled", "table"])
def test_every_way_of_printing_cleans(text: str, way: str, capsys: pytest.CaptureFixture[str]) -> None:
    with page() as out:
        if way == "labeled":
            out.labeled("Label", [text])
        elif way == "table":
            out.table([(text, False)], [[text]])
        else:
            getattr(out, way)(text)
    printed = capsys.readouterr().out
    assert clean(text) in printed
    assert not any(character in printed for character in "\x1b\r\x00\x9b\u202e\u2066\u200b\ufeff\u2028")


def test_markup_is_no_markup(capsys: pytest.CaptureFixture[str]) -> None:
    with page() as out:
        out.headline("[red]x[/red]")
        out.item("[bold]y", "[link=z]")
    printed = capsys.readouterr().out
    assert "[red]x[/red]" in printed
    assert "[bold]y [[link=z]]" in printed
