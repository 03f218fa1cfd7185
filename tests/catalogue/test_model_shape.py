from __future__ import annotations

import pytest

from splicewright.catalogue.model import kind_bit, kinds_in, kinds_mask, kinds_text
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL


def test_every_kind_has_a_bit_of_its_own():
    bits = {kind_bit(m, c, e) for m in MATERIAL for c in CONSTRUCTION for e in END}
    assert len(bits) == len(MATERIAL) * len(CONSTRUCTION) * len(END)
    assert sum(bits) == kinds_mask(MATERIAL, CONSTRUCTION, END)


def test_set_gives_back_its_kinds():
    assert list(kinds_in(kinds_mask(["copper"], ["stranded", "solid"], ["plain"]))) == [
        ("copper", "solid", "plain"),
        ("copper", "stranded", "plain"),
    ]


def test_word_given_twice_counts_once():
    assert kinds_mask(["copper", "copper"], ["solid"], ["plain"]) == kind_bit("copper", "solid", "plain")


@pytest.mark.parametrize(
    ("sets", "text"),
    [
        ([(["copper"], ["solid"], ["plain"])], "solid copper"),
        ([(["copper"], ["solid", "stranded"], ["plain"])], "solid or stranded copper"),
        ([(["copper", "aluminum"], ["solid"], ["plain"])], "solid copper or aluminum"),
        ([(["copper"], ["fine-stranded"], ["ferruled"])], "fine-stranded copper with ferruled ends"),
        (
            [(["copper"], ["solid"], ["plain"]), (["copper"], ["fine-stranded"], ["ferruled", "bonded"])],
            "solid copper; fine-stranded copper with ferruled or bonded ends",
        ),
        (
            [(["copper"], ["stranded"], ["plain", "ferruled"]), (["aluminum"], ["stranded"], ["plain"])],
            "stranded copper with plain or ferruled ends; stranded aluminum",
        ),
        ([(["copper"], list(CONSTRUCTION), ["plain"])], "solid, stranded or fine-stranded copper"),
    ],
)
def test_kinds_in_words(sets, text):
    mask = 0
    for one in sets:
        mask |= kinds_mask(*one)
    assert kinds_text(mask) == text
