"""Words of a line that may be one name with what they stand beside, or are negated or qualified, are never cut."""

from __future__ import annotations

import functools
from collections.abc import Iterator

import pytest

from splicewright.question import vocabulary as v
from splicewright.question.phrases import phrases
from splicewright.question.read_as import written
from splicewright.question.short_doubts import word_meant
from splicewright.question.short_text import read_short
from splicewright.question.short_words import LeafName, each_leaf, word_tables

#: Words of everyday English that the vocabulary has too.
EVERYDAY = (
    "room",
    "utility",
    "house",
    "building",
    "inside",
    "outside",
    "sealed",
    "new",
    "fan",
    "range",
    "service",
    "pump",
)
BEGIN = "2 of 12 AWG; "


@functools.cache
def told(text: str) -> tuple[str, ...]:
    return tuple(str(problem.says) for problem in read_short(BEGIN + text).problems)


@functools.cache
def meant(text: str) -> dict[str, object]:
    """What a line is understood as, in words of the vocabulary, but for its conductor."""
    found = read_short(BEGIN + text)
    assert not found.problems
    del found.question["joint"]["conductors"]
    return {f"{part}.{leaf}": of for part, leaves in found.question.items() for leaf, of in dict(leaves).items()}


def phrases_of(*, conductor: bool) -> dict[str, set[LeafName]]:
    """Every phrase that a line may have, with the leaves that it is of."""
    found: dict[str, set[LeafName]] = {}
    for table in word_tables():
        for said, meanings in table.items():
            leaves = {leaf for leaf, _ in meanings if leaf.part and (leaf.part == "conductor") is conductor}
            if leaves:
                found.setdefault(said.replace("-", " "), set()).update(leaves)
    return found


def whole(text: str) -> bool:
    return any(written(text) in table for table in word_tables())


def alike(*said: str) -> bool:
    """Whether some word of the vocabulary is what each of them says."""
    each = [
        {(leaf, word_meant(word, leaf)) for table in word_tables() for leaf, word in table.get(written(one), ())}
        for one in said
    ]
    return bool(set.intersection(*each))


def stands_beside(*said: str) -> bool:
    kinds = [written(one) in phrases().qualities for one in said]
    return any(kinds) and all(
        quality or written(one) in phrases().things for one, quality in zip(said, kinds, strict=True)
    )


@pytest.mark.parametrize("everyday", EVERYDAY)
def test_no_word_is_cut_from_an_everyday_one_beside_it(everyday: str) -> None:
    for word in (one for one in phrases_of(conductor=False) if one not in ("no", "none") and not one.startswith("in ")):
        for said in (f"{everyday} {word}", f"{word} {everyday}", f"{everyday} the {word}"):
            assert told(said) or whole(said.replace(" the ", " ")) or alike(everyday, word), said


SINGLE = sorted(word for word in phrases_of(conductor=False) if " " not in word and word not in ("no", "none"))


@pytest.mark.parametrize("first", SINGLE)
def test_two_words_side_by_side_are_one_phrase_or_may_stand_so_or_are_asked_about(first: str) -> None:
    for second in SINGLE[SINGLE.index(first) % 16 :: 16]:
        said = f"{first} {second}"
        assert told(said) or whole(said) or alike(first, second) or stands_beside(first, second), said


def how_often() -> Iterator[str]:
    yield from v.REOPENED
    yield from (said.replace("-", " ") for said, word in v.REOPENED.said.items() if word in v.REOPENED)


@pytest.mark.parametrize("often", sorted(set(how_often())))
def test_how_often_a_joint_is_opened_qualifies_no_other_word(often: str) -> None:
    for word in phrases_of(conductor=False):
        for said in (f"{often} {word}", f"{word} {often}", f"{often} in a {word}"):
            assert told(said) or whole(said) or alike(often, word), said
    for word in phrases_of(conductor=True):
        assert told(f"{often} {word}")
        assert read_short(f"2 of 12 AWG {word} {often}").problems


@pytest.mark.parametrize("negation", ["not", "no", "non", "without", "none", "yes"])
def test_only_what_is_yes_or_no_is_negated(negation: str) -> None:
    tables = word_tables()
    flags = {
        said.replace("-", " ") for table in tables for said, of in table.items() if any(one[1] is True for one in of)
    }
    for word in phrases_of(conductor=False).keys() - (flags if negation in ("not", "no") else set()):
        said = f"{negation} {word}"
        assert told(said) or whole(said), said
        assert not any("say never, rarely" in says for says in told(said))
    for text in (f"2 of 12 AWG {negation}", f"2 of 12 AWG; {negation}", f"2 of 12 AWG; wet {negation}"):
        assert read_short(text).problems


@pytest.mark.parametrize("word", sorted(phrases_of(conductor=True).keys() - phrases_of(conductor=False).keys()))
def test_a_word_of_a_conductor_is_none_of_anything_else(word: str) -> None:
    assert told(word)


def test_what_both_a_conductor_and_something_else_may_be_is_asked_about() -> None:
    for word in phrases_of(conductor=True).keys() & phrases_of(conductor=False).keys():
        own, said = word_tables()
        if all(leaf.part == "conductor" for leaf, _ in own.get(written(word), ())):
            assert told(word), word
    assert said


@pytest.mark.parametrize(
    "metal", sorted({*v.MATERIAL, *(one for one, word in v.MATERIAL.said.items() if word in v.MATERIAL)})
)
def test_the_name_of_a_metal_beside_a_size_is_the_conductor_s(metal: str) -> None:
    for said in (metal, metal.upper()):
        found = read_short(f"1 of 12 AWG {said}; 1 of 10 AWG")
        assert found.problems == []
        assert found.question["joint"]["conductors"][0]["material"] in (metal, said)
        assert set(found.question) == {"joint"}
    for other in v.MATERIAL:
        one = alike(metal, other) or whole(f"{metal} {other}")
        assert bool(read_short(f"2 of 12 AWG {metal} {other}").problems) is not one


@pytest.mark.parametrize("phrase", sorted(phrases().asked))
def test_what_is_asked_about_is_a_phrase_and_is_taken_where_its_leaf_is_named(phrase: str) -> None:
    meanings = [one for table in word_tables() for one in table.get(phrase, ())]
    assert meanings
    assert told(phrase.replace("-", " "))[0].endswith(phrases().asked[phrase])
    for leaf, _ in meanings:
        value = "yes" if written(leaf.name) == phrase else phrase
        before = "2 of 12 AWG" if leaf.part == "conductor" else "2 of 12 AWG;"
        assert not read_short(f"{before} {leaf.part} {leaf}={value}").problems


def test_what_may_stand_beside_others_and_the_leaves_of_places_are_those_there_are() -> None:
    known = {said for table in word_tables() for said in table}
    assert {*phrases().qualities, *phrases().things} <= known
    leaves = {leaf.name.replace("_", "-") for leaf, _ in each_leaf()}
    assert {
        *phrases().places,
        *phrases().after.values(),
        *phrases().qualities_of,
        *phrases().qualities_of.values(),
    } <= leaves


@pytest.mark.parametrize("name", sorted(v.METHODS))
def test_a_method_is_told_what_takes_it(name: str) -> None:
    known = any(name in table for table in word_tables())
    for said in (name, name.replace("-", " ")):
        assert known or "only.methods" in told(said)[0]


@pytest.mark.parametrize(
    "leaf", sorted({leaf.name for leaf, of in each_leaf() if of.kind in ("word", "number", "quantity")})
)
def test_a_leaf_without_its_value_is_told_so(leaf: str) -> None:
    name = leaf.replace("_", " ")
    says = told(name)
    assert whole(name) or "named without its value; write" in says[0] or "has several meanings" in says[0]


@pytest.mark.parametrize("leaf", [leaf for leaf, of in each_leaf() if of.kind == "flag"])
def test_a_yes_or_no_is_taken_with_its_leaf(leaf: LeafName) -> None:
    for said, value in {f"{leaf} yes": True, f"{leaf}=no": False, f"{leaf} no": False, f"not {leaf}": False}.items():
        assert meant(said) == {f"{leaf.part}.{leaf.name}": value}


@pytest.mark.parametrize("code", v.CODES)
@pytest.mark.parametrize("said", ["code={}", "code {}", "{}", "code: {}"])
def test_a_code_may_be_named_or_not(code: str, said: str) -> None:
    assert read_short(BEGIN + said.format(code)).question["code"] == code


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("20 A circuit breaker", {"circuit.overcurrent_amps": 20, "circuit.overcurrent_device": "circuit-breaker"}),
        ("20A CB", {"circuit.overcurrent_amps": 20, "circuit.overcurrent_device": "cb"}),
        (
            "20 A GFCI breaker",
            {"circuit.overcurrent_amps": 20, "circuit.gfci": True, "circuit.overcurrent_device": "breaker"},
        ),
        ("in a plastic box", {"place.box_material": "plastic", "place.enclosure": "box"}),
        (
            "metal junction box outdoors",
            {"place.box_material": "metal", "place.enclosure": "junction-box", "place.site": "outdoors"},
        ),
        ("breaker box", {"place.enclosure": "breaker-box"}),
        ("sump pump", {"circuit.serves": "sump-pump"}),
        ("baseboard heater", {"circuit.serves": "baseboard-heater"}),
        ("no box", {"place.enclosure": "no-box"}),
        ("never reopened", {"work.reopened": "never-reopened"}),
        ("120 VAC", {"circuit.volts": 120, "circuit.current": "ac"}),
        ("48VDC", {"circuit.volts": 48, "circuit.current": "dc"}),
        ("120 V ac", {"circuit.volts": 120, "circuit.current": "ac"}),
        ("return air plenum", {"place.air_space": "return-air"}),
        ("16A load continuous", {"circuit.amps": 16, "circuit.continuous": True}),
        ("shared neutral", {"circuit.multiwire": True}),
        (
            "20A GFI breaker",
            {"circuit.overcurrent_amps": 20, "circuit.gfci": True, "circuit.overcurrent_device": "breaker"},
        ),
        ("hazardous location", {"place.hazardous": True}),
        ("motor in a handhole", {"circuit.serves": "motor", "place.enclosure": "handhole"}),
    ],
)
def test_what_is_said_side_by_side_is_taken(text: str, question: dict[str, object]) -> None:
    assert meant(text) == question


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("in EMT", "say raceway for the inside of the conduit"),
        ("in rigid conduit", "say raceway for the inside of the conduit"),
        ("in a service", "does not say what the joint is in"),
        ("not wet", "of exposure write what it is: dry, damp"),
        ("heat pump", "air-conditioner for one that warms"),
        ("75 C", "write ambient 75 C"),
        ("194 F", "write ambient 194 F"),
        ("5 kW", "amps 12 A"),
        ("1/2 hp sump pump", "amps 12 A"),
        ("3 phase", "each conductor that enters"),
        ("2 pole", "a breaker by its amperes"),
        ("ac", "serves=air-conditioner"),
        ("plenum, duct", "air space is said twice"),
    ],
)
def test_what_is_asked_about_is_told_what_to_write(text: str, says: str) -> None:
    assert says in told(text)[0]


@pytest.mark.parametrize("text", ["2 12/2 NM", "12/2 NM", "2 of 12/2 NM", "two 12-2 NM", "10/3 in a box"])
def test_a_cable_is_told_what_to_write(text: str) -> None:
    (problem,) = read_short(text).problems
    assert "write each of its conductors that enters" in problem.says
    assert "AWG cable=NM" in problem.says
