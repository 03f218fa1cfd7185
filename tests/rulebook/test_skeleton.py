"""Files that `rules new` writes: valid once their marked words are replaced, and refused before."""

from __future__ import annotations

import re

import pytest

from splicewright.faults import Faults
from splicewright.rulebook.amendment_files import read_amendment_text
from splicewright.rulebook.effects import EFFECTS
from splicewright.rulebook.skeleton import skeleton

_MARK = re.compile(r"<([^<>\n]+)>")


def filled(does: str, name: str = "our-firm", amends: tuple[str, ...] = ("nfpa70-2023",)) -> str:
    """Replace the marked words by those that they are examples of."""
    head, _, rest = skeleton(name, amends, does).partition("\n")
    return head + "\n" + _MARK.sub(r"\1", rest)


@pytest.mark.parametrize("does", EFFECTS)
def test_it_is_read_once_its_marked_words_are_replaced(does: str) -> None:
    rules = read_amendment_text(filled(does).encode(), "our-firm.yaml").rules
    assert rules[0].effect.kind == does
    assert rules[0].fires
    assert bool(rules[0].silent) is (does != "refuse")


@pytest.mark.parametrize("does", EFFECTS)
def test_each_mark_that_is_left_is_told_with_its_line(does: str) -> None:
    text = skeleton("our-firm", ("every-code",), does)
    with pytest.raises(Faults) as raised:
        read_amendment_text(text.encode(), "our-firm.yaml")
    lines = {at for at, line in enumerate(text.splitlines(), 1) if _MARK.search(line) and not line.startswith("#")}
    assert {fault.line for fault in raised.value.faults} == lines
    assert all("is to be replaced by your own words" in fault.says for fault in raised.value.faults)


def test_it_has_a_comment_at_each_line_but_those_of_words() -> None:
    bare = [line for line in skeleton("our-firm", ("every-code",), "bar").splitlines()[1:] if "#" not in line]
    assert [line.strip().partition(":")[0] for line in bare] == ["about", "rules", "says"]


def test_it_amends_what_is_asked() -> None:
    assert "amends: [nfpa70-2020, nfpa70-2023]" in skeleton("our-firm", ("nfpa70-2020", "nfpa70-2023"), "bar")
