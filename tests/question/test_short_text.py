"""Questions in one line: what they are understood as, and that nothing in them is guessed or lost."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.nearest_word import Spoken
from splicewright.question.read import read_question
from splicewright.question.short_text import LONGEST, is_short, read_short
from splicewright.strict_fields import InputField
from tests.question.leaves import every

_LIKE_A_LINE = r"([0-9]{1,2} of )?[0-9/. ]{1,5}( AWG| mm2| V| A)?[a-z ;,=]{0,30}"
TWO: dict[str, Any] = {"size": "12 AWG", "count": 2}


def asked(text: str) -> dict[str, Any]:
    found = read_short(text)
    assert found.problems == []
    return found.question


def told(text: str) -> list[tuple[str, str]]:
    return [(problem.pointer, str(problem.says)) for problem in read_short(text).problems]


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("12 AWG", {"joint": {"conductors": [{"size": "12 AWG"}]}}),
        ("2 of 12 AWG", {"joint": {"conductors": [TWO]}}),
        ("2 x 12 AWG; wet", {"joint": {"conductors": [TWO]}, "place": {"exposure": "wet"}}),
        (
            "2 of 12 AWG solid, 1 of 18 AWG fine stranded ferruled; damp outdoors salt air; 120 V",
            {
                "joint": {
                    "conductors": [
                        {**TWO, "construction": "solid"},
                        {"size": "18 AWG", "count": 1, "construction": "fine-stranded", "end": "ferruled"},
                    ]
                },
                "place": {"exposure": "damp", "site": "outdoors", "corrosion": ["salt-air"]},
                "circuit": {"volts": 120},
            },
        ),
        (
            "3 of #12 THHN THWN-2 grounded; overcurrent amps 20 A; amps=12 A; not continuous; gfci",
            {
                "joint": {
                    "conductors": [{"size": "12 AWG", "count": 3, "insulation": ["THHN", "THWN-2"], "role": "grounded"}]
                },
                "circuit": {"overcurrent_amps": 20, "amps": 12, "continuous": False, "gfci": True},
            },
        ),
        (
            "2 of 2.5 mm2; depth 24 in; 40 degC; nfpa70-2020; tags=kitchen phase-2; cap",
            {
                "joint": {
                    "conductors": [{"size": "2.5 mm2", "count": 2}],
                    "tags": ["kitchen", "phase-2"],
                    "purpose": "cap",
                },
                "place": {"depth": "24 in", "ambient": "40 degC"},
                "code": "nfpa70-2020",
            },
        ),
    ],
)
def test_a_line_is_the_question_that_it_says(text: str, question: dict[str, Any]) -> None:
    assert asked(text) == question


@pytest.mark.parametrize(
    ("text", "pointer", "says"),
    [
        ("2 of 12", "/column/1", '"12" is no size with its unit; write 12 AWG or 12 mm2'),
        ("2 12 AWG", "/column/1", "write 2 of 12 AWG"),
        ("2-12 AWG", "/column/1", "may be a count; write 2 of 12 AWG"),
        ("2-12 AWG solid", "/column/1", "may be a count; write 2 of 12 AWG"),
        ("2 of 12 AWG THHN/dry", "/column/13", "is not known"),
        ("3 neutrals #12", "/column/1", "may be a count; write 3 of 12 AWG"),
        ("2 #12 hot 1-#12 neutral", "/column/1", "begins another conductor; put a comma before it"),
        ("3c #12", "/column/1", '"#12" is a size; write 12 AWG before what else is said'),
        ("2 #12, 20 A fuse", "/column/8", '"fuse" has several meanings'),
        ("2 #12, 20 A dry", "/column/8", "may be amps, overcurrent amps"),
        ("2 #12 bare 1 #12 green", "/column/1", '"1 #12" begins another conductor; put a comma before it'),
        ("two #12 one #14", "/column/1", '"one #14" begins another conductor'),
        ("2 #12 wht", "/column/1", '"wht" has several meanings'),
        ("2 #12; attic", "/column/8", "say dry, and how hot it gets there at ambient"),
        ("3 #12, a 4 in box", "/column/8", '"4 in" does not say of what; write depth 4 in'),
        ("2 #12 THHN 90 C", "/column/1", '"90 C" does not say of what; write ambient 90 C'),
        ("2 #12 buried 18 in", "/column/1", "write depth 18 in"),
        ("2 #12 x3", "/column/7", '"x3" is not known'),
        ("2 #12 x 3", "/column/7", '"x" is not known'),
        ("2 of 12 AWG; 120", "/column/14", '"120" is a number without its unit'),
        ("2 of 12 AWG; 20 A", "/column/14", "write amps 20 A or overcurrent amps 20 A"),
        ("2 of 12 AWG; amps 20", "/column/14", '"20" has no unit; write amps 20 A'),
        ("2 of 12 AWG plain", "/column/1", "write finish=plain or end=plain"),
        ("2 of 12 AWG; wett", "/column/14", "did you mean 'wet'?"),
        ("2 of 12 AWG; solid", "/column/14", '"solid" is said of a conductor; write it beside its size'),
        ("2 of 12 AWG; wet; dry", "/column/19", 'exposure is said twice: "wet" and "dry"'),
        ("2 of 12 AWG solid stranded", "/column/1", "construction is said twice"),
        ("12/2 NM; wet", "/column/1", "is a cable; write each of its conductors"),
        ("2 of 12 AWG; porch", "/column/14", "has several meanings; say damp where a roof"),
        ("2 of 12 AWG; ground", "/column/14", "has several meanings"),
        ("wet", "/column/1", "names no conductor; begin with its size"),
        ("2 of 12 AWG; depth=x", "/place/depth", "must be an object"),
        ("30 of 12 AWG", "/joint/conductors/0/count", "30 is out of range"),
        ("2 of 12 AWG; 5 lbf-in", "/column/14", "no leaf is in lbf-in"),
    ],
)
def test_what_can_not_be_placed_is_told(text: str, pointer: str, says: str) -> None:
    (problem,) = told(text)
    assert problem[0] == pointer
    assert says in problem[1]


def test_every_problem_is_told_at_once() -> None:
    assert len(told("2 of 12 AWG plain; wett; 120")) == 3


def test_a_line_that_is_too_long_is_refused() -> None:
    assert "at most 2,000 are allowed" in told("2 of 12 AWG; " + "x" * LONGEST)[0][1]


def words() -> list[tuple[str, InputField[Any], str]]:
    return [
        (name, leaf.field, word)
        for name, leaf in every().items()
        if leaf.field.kind == "word"
        for word in leaf.field.words
    ]


@pytest.mark.parametrize("name", sorted({name for name, _, _ in words()}))
def test_each_word_of_the_vocabulary_may_be_said_by_the_name_of_its_leaf(name: str) -> None:
    part, _, leaf = name.partition(".")
    for word in every()[name].field.words:
        said = f"{leaf}={word}"
        text = f"2 of 12 AWG {said}" if part == "conductor" else f"2 of 12 AWG; {part} {said}"
        found = read_short(text)
        put = found.question["joint"]["conductors"][0] if part == "conductor" else found.question[part]
        assert put[leaf] == word


def words_of_conductors() -> list[tuple[str, str]]:
    kinds = ("word", "words")
    of = {name: leaf.field for name, leaf in every().items() if name.startswith("conductor.")}
    return [(name.partition(".")[2], word) for name in of if of[name].kind in kinds for word in of[name].words]


@pytest.mark.parametrize(("leaf", "word"), words_of_conductors())
@pytest.mark.parametrize("between", ["=", " ", " = "])
def test_a_leaf_of_a_conductor_that_is_named_is_that_leaf_alone(leaf: str, word: str, between: str) -> None:
    begins = {"size": "12 AWG", "count": 2} | ({} if leaf == "construction" else {"construction": "solid"})
    text = f"2 of 12 AWG {begins.get('construction', '')} {leaf}{between}{word}"
    found = read_short(text)
    put = [word] if leaf == "insulation" else word
    assert found.question == {"joint": {"conductors": [{**begins, leaf: put}]}}


@pytest.mark.parametrize(
    ("text", "conductor"),
    [
        ("solid end ferruled", {"construction": "solid", "end": "ferruled"}),
        ("end=ferruled solid", {"construction": "solid", "end": "ferruled"}),
        ("end solder dipped tinned", {"end": "solder-dipped", "finish": "tinned"}),
        ("solid conductor end=plain finish plain", {"construction": "solid", "end": "plain", "finish": "plain"}),
        ("solid through end plain", {"construction": "solid", "path": "through", "end": "plain"}),
        ("circuit=B solid", {"circuit": "B", "construction": "solid"}),
    ],
)
def test_a_leaf_may_be_named_among_the_words_of_a_conductor(text: str, conductor: dict[str, Any]) -> None:
    assert asked(f"2 of 12 AWG {text}") == {"joint": {"conductors": [{**TWO, **conductor}]}}


def test_a_name_that_no_value_of_it_follows_is_the_word_that_it_is() -> None:
    assert asked("2 of 12 AWG end solid")["joint"]["conductors"] == [{**TWO, "path": "end", "construction": "solid"}]
    assert asked("2 of 12 AWG; construction site")["place"] == {"premises": "construction-site"}


SEVERAL = [
    (name.partition(".")[2], word)
    for name, leaf in every().items()
    if name.startswith("conductor.") and isinstance(words := getattr(leaf.field, "words", None), Spoken)
    for word in words.said
]


@pytest.mark.parametrize("between", ["=", " "])
def test_what_people_say_of_a_leaf_that_is_named_is_that_leaf_or_a_problem_of_it(between: str) -> None:
    for leaf, word in SEVERAL:
        found = read_short(f"2 of 12 AWG {leaf}{between}{word}")
        ((_, put),) = (one for one in found.question["joint"]["conductors"][0].items() if one[0] not in TWO)
        assert found.question == {"joint": {"conductors": [{**TWO, leaf: put}]}}
        assert {problem.pointer.split("/")[4] for problem in found.problems} <= {leaf}


@pytest.mark.parametrize("text", ["end tinned", "construction single", "solid end=welded"])
def test_what_has_several_meanings_for_the_leaf_named_is_a_problem_of_it(text: str) -> None:
    ((pointer, says),) = told(f"2 of 12 AWG {text}")
    assert pointer.startswith("/joint/conductors/0/")
    assert "; " in says


def test_a_leaf_that_is_named_among_others_is_told_of_by_its_name() -> None:
    assert told("2 of 12 AWG solid end=feruled") == [
        ("/joint/conductors/0/end", "\"feruled\" is not known; did you mean 'ferruled'?")
    ]


@settings(max_examples=300)
@given(st.text(st.characters(codec="utf-8"), max_size=60) | st.from_regex(_LIKE_A_LINE, fullmatch=True))
def test_any_text_is_a_question_or_has_problems(text: str) -> None:
    found = read_short(text)
    if found.problems:
        assert all(problem.says for problem in found.problems)
    else:
        read_question(found.question)


def test_a_name_of_a_file_is_no_question() -> None:
    assert not is_short("question.yaml")
    assert not is_short("my question.yaml")
    assert is_short("2 of 12 AWG")


THREE_HOT = {"size": "12 AWG", "count": 3, "role": "hot"}


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("3 #12 hots", {"joint": {"conductors": [THREE_HOT]}}),
        ("3-#12 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("3 no. 12 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("#12 x 3 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("12 AWG hot x3", {"joint": {"conductors": [{"size": "12 AWG", "role": "hot", "count": 3}]}}),
        ("12 AWG x3 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("(3) #12 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("(3)#12 hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("3 each #12 hot", {"joint": {"conductors": [THREE_HOT]}}),
        (
            "2 of 12 AWG thhn/THWN-2 hot",
            {"joint": {"conductors": [{**TWO, "insulation": ["THHN", "THWN-2"], "role": "hot"}]}},
        ),
        ("2 of 12 AWG bare end", {"joint": {"conductors": [{**TWO, "end": "bare-end"}]}}),
        ("12awg 3ea hot", {"joint": {"conductors": [THREE_HOT]}}),
        ("three 12 AWG hot in a handhole", {"joint": {"conductors": [THREE_HOT]}, "place": {"enclosure": "handhole"}}),
        (
            "2 #14 solid + 1 #18 stranded and three #16 to one #10",
            {
                "joint": {
                    "conductors": [
                        {"size": "14 AWG", "count": 2, "construction": "solid"},
                        {"size": "18 AWG", "count": 1, "construction": "stranded"},
                        {"size": "16 AWG", "count": 3},
                        {"size": "10 AWG", "count": 1},
                    ]
                }
            },
        ),
        ("2 of 12 AWG; knob and tube", {"joint": {"conductors": [TWO]}, "work": {"wiring_age": "knob-and-tube"}}),
        (
            "2 of 12 AWG, 20 A breaker",
            {
                "joint": {"conductors": [TWO]},
                "circuit": {"overcurrent_amps": 20, "overcurrent_device": "breaker"},
            },
        ),
        (
            "breaker 20A; 2 of 12 AWG",
            {
                "joint": {"conductors": [TWO]},
                "circuit": {"overcurrent_amps": 20, "overcurrent_device": "breaker"},
            },
        ),
    ],
)
def test_a_line_is_read_as_electricians_write_it(text: str, question: dict[str, Any]) -> None:
    assert asked(text) == question
