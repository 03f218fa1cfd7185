"""What may be asked by a word, and what is told where it is none."""

from __future__ import annotations

import pytest

from splicewright import shipped
from splicewright.question.vocabulary import KIND, METHODS, ROLE
from splicewright.refusals import Refused
from splicewright.rulebook import RuleFiles
from splicewright.rulebook.word_asked import AskedWord, read_asked


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("control", [("circuit.kind", "control"), ("conductor.role", "control")]),
        ("push-in", [("proposal.method", "push-in")]),
        ("enclosure=luminaire", [("place.enclosure", "luminaire")]),
        ("place.enclosure=luminaire", [("place.enclosure", "luminaire")]),
        ("box-material=metal", [("place.box_material", "metal")]),
        ("place.dwelling=true", [("place.dwelling", True)]),
        ("dwelling=false", [("place.dwelling", False)]),
        ("mixed", [(f"joint.only_{one}", "mixed") for one in ("role", "material", "construction", "cable")]),
        ("circuit.kind", [("circuit.kind", None)]),
        ("volts", [("circuit.volts", None)]),
        ("tugged", [("proposal", "tugged")]),
        ("joint.roles=grounded", [("joint.roles", "grounded")]),
    ],
)
def test_each_leaf_that_has_the_word_is_found(text: str, found: list[tuple[str, str | bool | None]]) -> None:
    assert [(one.leaf, one.word) for one in read_asked(text)] == found


def test_words_of_anyones_own_are_known_where_rules_test_them() -> None:
    rules = RuleFiles(shipped.folder("rulesets")).rulebook("nfpa70-2023", ("house-rules",)).rules
    tested = {
        str(word)
        for rule in rules
        for pattern in rule.when
        for test in pattern.tests
        if test.name == "joint.tags"
        for word in test.values
    }
    assert tested >= {"kitchen", "later"}
    for word in tested:
        for text in (word, f"tags={word}", f"joint.tags={word}"):
            assert [(one.leaf, one.word) for one in read_asked(text, rules)] == [("joint.tags", word)]
    for text in ("kitchn", "tags=kitchn"):
        with pytest.raises(Refused, match="did you mean 'kitchen'"):
            read_asked(text, rules)
    with pytest.raises(Refused, match="no rule here tests any"):
        read_asked("tags=kitchen")


def test_a_word_has_its_meaning_in_each_leaf() -> None:
    assert [one.means for one in read_asked("control")] == [KIND["control"], ROLE["control"]]
    assert [one.means for one in read_asked("lever")] == [METHODS["lever"]]
    assert [one.means for one in read_asked("salt-air")] == ["sea air"]


def test_leaf_flag_and_measure_tell_what_they_are() -> None:
    for text in ("circuit.volts", "place.dwelling=true", "joint.only_role=mixed", "role"):
        assert all(one.means for one in read_asked(text))


@pytest.mark.parametrize(
    ("asked", "text"),
    [
        (AskedWord("place.dwelling", word=True), "place.dwelling=true"),
        (AskedWord("circuit.kind", "control"), "circuit.kind=control"),
        (AskedWord("circuit.kind"), "circuit.kind"),
    ],
)
def test_what_was_asked_is_written_as_it_is_asked(asked: AskedWord, text: str) -> None:
    assert str(asked) == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("controll", "\"controll\" is not known; did you mean 'control'?"),
        ("exposur", "\"exposur\" is not known; did you mean 'exposure'?"),
        ("zzz", '"zzz" is not known'),
        ("", '"" is not known'),
        ("enclosur=box", "\"enclosur\" is not known; did you mean 'enclosure'?"),
        ("enclosure=boxx", "place.enclosure: \"boxx\" is not known; did you mean 'box'?"),
        ("role=neutral", "conductor.role: \"neutral\" is not known; say 'grounded': "),
        ("dwelling=yes", 'place.dwelling: "yes" is neither true nor false'),
        ("circuit.volts=12", "circuit.volts is a figure and has no words; ask for circuit.volts alone"),
    ],
)
def test_what_is_not_known_is_told_with_the_nearest(text: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_asked(text)
    (problem,) = refused.value.problems
    assert problem.says.startswith(says)
