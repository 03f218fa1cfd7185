"""Which word was meant: the nearest, what people say instead, and never the opposite."""

from __future__ import annotations

import pytest

from splicewright.nearest_word import Spoken, Synonyms, meant, nearest
from splicewright.refusals import not_allowed

WIRES = Spoken(
    lambda: Synonyms(
        {
            "hot": "ungrounded",
            "unpainted": "clean",
            "ground": "grounding for the green one; grounded is the neutral",
        },
        {"hot": frozenset({"here"})},
    ),
    {"ungrounded": "a hot one", "grounded": "the neutral", "grounding": "the green one", "clean": "no paint"},
)


@pytest.mark.parametrize(
    ("word", "guess"),
    [
        ("Copper", "copper"),
        ("coper", "copper"),
        ("aluminium", "aluminum"),
        ("thwn2", "THWN-2"),
        ("gold", None),
        ("", None),
    ],
)
def test_the_nearest_word_is_found_whatever_its_case(word: str, guess: str | None) -> None:
    assert nearest(word, ["copper", "aluminum", "THWN-2"]) == guess


def test_a_huge_word_is_compared_by_its_beginning_only() -> None:
    assert nearest("copper" * 1_000_000, ["copper"]) is None


@pytest.mark.parametrize(
    ("word", "words"),
    [
        ("inaccessible", ["accessible", "concealed"]),
        ("inacessible", ["accessible", "concealed"]),  # a slip in what is negated
        ("imaccessible", ["accessible", "concealed"]),  # a slip in the prefix
        ("in-accessible", ["accessible", "concealed"]),
        ("not accessible", ["accessible", "concealed"]),
        ("metallic", ["nonmetallic"]),  # the prefix is that of the allowed word
        ("metalic", ["nonmetallic"]),
        ("unsound", ["sound", "nicked"]),
        ("untaped", ["taped", "tied"]),
        ("ugrounded", ["grounded", "ungrounded"]),  # one slip from each of them
        ("ugronded", ["grounded", "ungrounded"]),  # two
    ],
)
def test_a_word_is_never_answered_with_its_opposite(word: str, words: list[str]) -> None:
    assert nearest(word, words) is None


@pytest.mark.parametrize(
    ("word", "words", "guess"),
    [
        ("acessible", ["accessible", "concealed"], "accessible"),
        ("indors", ["indoors", "outdoors"], "indoors"),
        ("idoors", ["indoors", "outdoors"], "indoors"),
        ("xndoors", ["indoors", "outdoors"], "indoors"),
        ("nonmetalic", ["metal", "nonmetallic"], "nonmetallic"),
        ("non-metallic", ["metal", "nonmetallic"], "nonmetallic"),
        ("ungronded", ["grounded", "ungrounded"], "ungrounded"),
        ("gronded", ["grounded", "ungrounded"], "grounded"),
        ("joint-stands-in-a-box", ["access/joint-stands-in-a-box"], "access/joint-stands-in-a-box"),
    ],
)
def test_a_slip_in_a_word_that_looks_negated_still_finds_it(word: str, words: list[str], guess: str) -> None:
    assert nearest(word, words) == guess


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("hot", "hot"),
        ("HOT ", "hot"),
        ("gruond", "ground"),
        ("unpaintd", "unpainted"),
        ("cleam", "clean"),
        ("grouding", "grounding"),
        ("Green", None),
    ],
)
def test_what_people_say_is_found_like_the_words_themselves(word: str, found: str | None) -> None:
    assert meant(word, WIRES) == found


def test_what_is_said_under_some_codes_only_holds_for_no_other() -> None:
    assert WIRES.holds_for("hot", "here")
    assert not WIRES.holds_for("hot", "elsewhere")
    assert WIRES.holds_for("ground", "elsewhere")


def test_words_with_nothing_said_instead_are_only_the_nearest() -> None:
    assert meant("hot", ["shot"]) == "shot"


def test_refusal_tells_the_word_to_say_with_its_meaning() -> None:
    assert not_allowed("hot", WIRES) == "\"hot\" is not known; say 'ungrounded': a hot one"


def test_refusal_tells_the_words_between_which_to_choose() -> None:
    says = '"Ground" is not known; say grounding for the green one; grounded is the neutral'
    assert not_allowed("Ground", WIRES) == says


def test_refusal_of_a_slip_asks_whether_the_word_was_meant() -> None:
    assert not_allowed("groundd", WIRES) == "\"groundd\" is not known; did you mean 'grounded'?"


def test_refusal_of_an_opposite_lists_the_words() -> None:
    assert not_allowed("unclean", WIRES) == (
        '"unclean" is not known; use one of: ungrounded, grounded, grounding, clean'
    )
