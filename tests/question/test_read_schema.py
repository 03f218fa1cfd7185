"""Every leaf of a question takes what the contract says and refuses everything else, by its pointer."""

from __future__ import annotations

import copy
import functools
import math
import operator
from contextlib import suppress

import pytest
from hypothesis import given

from splicewright.json_pointer import join
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EXPLAIN, INCLUDE
from splicewright.question.read import read_question
from splicewright.question.schema import QuestionSchema
from splicewright.refusals import Refused
from tests.question.asking import anything, asked, question, questions, sent
from tests.question.leaves import another, every, pointer_of

FULL = {
    "id": "kitchen-3",
    "code": "nfpa70-2020",
    "amendments": [],
    "catalogue": "van",
    "explain": "brief",
    "limit": 3,
    "include": ["rules"],
    "only": {"connectors": ["lever-2-port"], "methods": ["lever"]},
    "joint": {
        "purpose": "tap",
        "conductors": [
            {
                "size": "12 AWG",
                "count": 2,
                "material": "aluminum",
                "construction": "stranded",
                "finish": "tinned",
                "end": "ferruled",
                "condition": "nicked",
                "circuit": "B",
                "cable": "UF",
                "insulation": ["THHN", "THWN"],
                "role": "grounded",
                "path": "through",
            }
        ],
    },
    "place": {
        "premises": "marina",
        "exposure": "wet",
        "site": "outdoors",
        "enclosure": "handhole",
        "box_material": "metal",
        "reach": "concealed",
        "movement": "flexing",
        "corrosion": ["chemical", "salt-air"],
        "ambient": {"value": 104, "unit": "degF"},
        "hazardous": True,
        "depth": {"value": 450, "unit": "mm"},
        "cover": "dwelling-driveway",
        "wiring": "rigid-conduit",
        "dwelling": True,
    },
    "circuit": {
        "kind": "feeder",
        "serves": "motor",
        "volts": 277,
        "current": "dc",
        "amps": 16.5,
        "overcurrent_amps": 20,
        "continuous": False,
        "multiwire": True,
        "gfci": True,
    },
    "work": {"reopened": "often", "temporary": True, "wiring_age": "other-existing"},
}
_C = ("joint", "conductors", 0)


def at(name):
    """The steps to a leaf, in the full question."""
    return tuple(int(step) if step == "0" else step for step in pointer_of(name).split("/")[1:])


def of_kind(kind):
    return {at(name): leaf.field for name, leaf in every().items() if leaf.field.kind == kind}


#: A leaf that is declared and not yet named in this file: its full question says it, and it is tested as its kind is.
for leaf_name in every():
    *steps, last = at(leaf_name)
    functools.reduce(operator.getitem, steps, FULL).setdefault(last, another(leaf_name))

WORDS = {
    **{path: field.words for path, field in of_kind("word").items()},
    ("code",): v.CODES,
    ("explain",): EXPLAIN,
    ("include", 0): INCLUDE,
    ("only", "methods", 0): v.METHODS,
    ("joint", "purpose"): v.PURPOSE,
    (*_C, "material"): v.MATERIAL,
    (*_C, "construction"): v.CONSTRUCTION,
    (*_C, "finish"): v.FINISH,
    (*_C, "end"): v.END,
    (*_C, "condition"): v.CONDITION,
    (*_C, "cable"): v.CABLE,
    (*_C, "role"): v.ROLE,
    (*_C, "path"): v.PATH,
    ("place", "premises"): v.PREMISES,
    ("place", "exposure"): v.EXPOSURE,
    ("place", "site"): v.SITE,
    ("place", "enclosure"): v.ENCLOSURE,
    ("place", "box_material"): v.BOX_MATERIAL,
    ("place", "reach"): v.REACH,
    ("place", "movement"): v.MOVEMENT,
    ("place", "cover"): v.COVER,
    ("place", "wiring"): v.WIRING,
    ("place", "ambient", "unit"): v.TEMPERATURE_UNITS,
    ("place", "depth", "unit"): v.LENGTH_UNITS,
    ("circuit", "kind"): v.KIND,
    ("circuit", "serves"): v.SERVES,
    ("circuit", "current"): v.CURRENT,
    ("work", "reopened"): v.REOPENED,
    ("work", "wiring_age"): v.WIRING_AGE,
}
#: what the contract allows: least, most and decimals
NUMBERS = {
    **{path: tuple(field.bounds.values()) for path, field in of_kind("number").items()},
    ("limit",): (1, 100, 0),
    (*_C, "count"): (1, 24, 0),
    ("place", "ambient", "value"): (-76, 392, 1),
    ("place", "depth", "value"): (0, 30_000, 1),
    ("circuit", "volts"): (0.1, 100_000, 1),
    ("circuit", "amps"): (0.1, 10_000, 1),
    ("circuit", "overcurrent_amps"): (0.1, 10_000, 1),
}
FLAGS = sorted(
    {
        ("place", "hazardous"),
        ("place", "dwelling"),
        ("circuit", "continuous"),
        ("circuit", "multiwire"),
        ("circuit", "gfci"),
        ("work", "temporary"),
    }
    | of_kind("flag").keys()
)
TEXTS = {
    **{path: field.longest for path, field in of_kind("text").items()},
    ("id",): 100,
    ("catalogue",): 100,
    (*_C, "circuit"): 40,
    ("only", "connectors", 0): 100,
}
LISTS = [
    ("include",),
    ("only", "connectors"),
    ("only", "methods"),
    ("joint", "conductors"),
    (*_C, "insulation"),
    ("place", "corrosion"),
]
MAPS = [("joint",), ("only",), _C, ("place",), ("place", "ambient"), ("place", "depth"), ("circuit",), ("work",)]
WRONG = {
    "null": None,
    "true": True,
    "number": 7_777_777,
    "text": "?" * 200,
    "list": [[]],
    "map": {"?": 1},
    "nan": math.nan,
    "infinity": math.inf,
    "huge number": 10**5_000,
    "surrogate": "\ud800" * 200,
    "huge text": "x" * 1_000_000,
}


def leaves(value=FULL, path=()):
    """Every path into the full question, parts and leaves alike, but not the whole."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in pairs:
        yield (*path, key)
        yield from leaves(inner, (*path, key))


def changed(path, value):
    whole = copy.deepcopy(FULL)
    at = whole
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return whole


def refusal(value):
    with pytest.raises(Refused) as caught:
        read_question(value)
    return {problem.pointer: problem.says for problem in caught.value.problems}


def named(path):
    return join("", *path)


def test_the_full_question_of_these_tests_holds_every_key_of_the_contract():
    def keys(schema, path=()):
        for key, field in schema.fields.items():
            inner = getattr(field, "inner", field)
            nested = getattr(inner, "schema", None)
            at = (*path, key, 0) if nested and inner is not field else (*path, key)
            yield at
            if nested:
                yield from keys(nested, at)

    assert set(keys(QuestionSchema())) - set(leaves()) == set()


def test_the_full_question_is_read_with_nothing_assumed():
    assert read_question(FULL).assumed == {}


@pytest.mark.parametrize("path", WORDS, ids=named)
def test_every_word_of_a_closed_list_is_taken_at_its_place(path):
    for word in WORDS[path]:
        value = {"value": 30, "unit": word} if path[-1] == "unit" else word
        assert read_question(changed(path[:-1] if path[-1] == "unit" else path, value))


@pytest.mark.parametrize("path", WORDS, ids=named)
def test_a_word_near_to_one_of_the_list_is_refused_and_told_that_one(path):
    word = max(WORDS[path], key=len)
    assert refusal(changed(path, word + "x")) == {named(path): f"\"{word}x\" is not known; did you mean '{word}'?"}


@pytest.mark.parametrize("path", WORDS, ids=named)
def test_a_word_near_to_none_is_refused_and_told_the_whole_list(path):
    expected = '"0" is not known; use one of: ' + ", ".join(WORDS[path])
    assert refusal(changed(path, "0")) == {named(path): expected}


@pytest.mark.parametrize("path", NUMBERS, ids=named)
def test_a_number_is_taken_at_both_ends_of_its_range(path):
    least, most, _ = NUMBERS[path]
    for end in (least, most, float(least)):
        assert read_question(changed(path, end))


@pytest.mark.parametrize("path", NUMBERS, ids=named)
def test_a_number_one_step_off_either_end_is_refused(path):
    least, most, decimals = NUMBERS[path]
    step = 0.1 if decimals else 1
    for off in (round(least - step, 1), round(most + step, 1)):
        (pointer, says), *_ = refusal(changed(path, off)).items()
        assert pointer == named(path)
        assert says.startswith(f"{off} is out of range; ")


@pytest.mark.parametrize("path", NUMBERS, ids=named)
@pytest.mark.parametrize("value", ["3", "", True, False, [], [3], {}, {"value": 3}])
def test_what_resembles_a_number_is_refused(path, value):
    assert refusal(changed(path, value))[named(path)].endswith(" is not a number")


#: The side to which a finer number is rounded; the others are refused.
SAFE = {
    ("place", "ambient", "value"): "up",
    ("place", "depth", "value"): "down",
    ("circuit", "volts"): "up",
    ("circuit", "amps"): "up",
}


@pytest.mark.parametrize("path", NUMBERS.keys() - SAFE.keys(), ids=named)
def test_a_number_finer_than_it_is_read_to_is_refused_where_no_side_is_safe(path):
    _, most, decimals = NUMBERS[path]
    value = most - 0.75
    says = "finer than one decimal" if decimals else "not a whole number"
    assert refusal(changed(path, value)) == {named(path): f"{value} is {says}"}


@pytest.mark.parametrize("path", SAFE, ids=named)
def test_a_number_finer_than_it_is_read_to_is_rounded_to_its_safe_side_and_told(path):
    for value, down, up in (
        (18.75, 18.7, 18.8),
        (18.01, 18, 18.1),
        (18.7000000000000028, 18.7, 18.7),
        (99.99, 99.9, 100),
    ):
        found = read_question(changed(path, value))
        taken = {"down": down, "up": up}[SAFE[path]]
        assert [one.to_dict() for one in found.read_as] == [{"pointer": named(path), "sent": value, "taken": taken}]
        assert found.question == read_question(changed(path, taken)).question


def test_a_finer_number_with_its_unit_in_a_text_is_rounded_too():
    found = asked(circuit={"amps": "18.75 A"}, place={"depth": "5/8 in"})
    assert {one.pointer: one.taken for one in found.read_as} == {
        "/circuit/amps": 18.8,
        "/place/depth": {"value": 0.6, "unit": "in"},
    }
    assert found.question == question(circuit={"amps": 18.8}, place={"depth": {"value": 0.6, "unit": "in"}})


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("county", {"/amendments": "must be a list"}),
        ({}, {"/amendments": "must be a list"}),
        ([None], {"/amendments/0": "may not be null"}),
        (["a", []], {"/amendments/1": "[] is not text"}),
        (["a"] * 21, {"/amendments": "has 21 entries; 0 to 20 are allowed"}),
    ],
)
def test_amendments_are_a_list_of_names(value, told):
    assert refusal({**sent(), "amendments": value}) == told
    assert question({"size": "12 AWG"}, amendments=["b", "a"]).amendments == ("b", "a")


NO_TAG = "is no tag: small letters, digits, and hyphens between them"


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("kitchen", {"/joint/tags": "must be a list"}),
        (["kitchen", "kitchen"], {"/joint/tags": "names a tag twice"}),
        (["Kitchen"], {"/joint/tags/0": f'"Kitchen" {NO_TAG}; write kitchen'}),
        (["a b"], {"/joint/tags/0": f'"a b" {NO_TAG}; write a-b'}),
        (["..."], {"/joint/tags/0": f'"..." {NO_TAG}'}),
        (["x" * 41], {"/joint/tags/0": "is 41 characters long; at most 40 are allowed"}),
        ([f"t{n}" for n in range(21)], {"/joint/tags": "has 21 entries; 0 to 20 are allowed"}),
    ],
)
def test_tags_are_plain_words(value, told):
    assert refusal({"joint": {"conductors": [{"size": "12 AWG"}], "tags": value}}) == told


def test_tags_say_the_same_in_any_order():
    joint = {"conductors": [{"size": "12 AWG"}]}
    first, second = (read_question({"joint": {**joint, "tags": tags}}).question for tags in (["b", "a"], ["a", "b"]))
    assert first == second
    assert first.joint.tags == ("a", "b")


@pytest.mark.parametrize("path", FLAGS, ids=named)
@pytest.mark.parametrize("value", [0, 1, "true", "false", "maybe", [], {}, 1.0])
def test_only_true_and_false_are_flags(path, value):
    assert refusal(changed(path, value))[named(path)].endswith(" is neither true nor false")


@pytest.mark.parametrize("path", TEXTS, ids=named)
def test_text_is_taken_up_to_its_length_and_refused_beyond(path):
    longest = TEXTS[path]
    assert read_question(changed(path, "é" * longest))
    assert refusal(changed(path, "é" * (longest + 1))) == {
        named(path): f"is {longest + 1} characters long; at most {longest} are allowed"
    }


@pytest.mark.parametrize("path", TEXTS, ids=named)
def test_half_a_character_is_no_text(path):
    assert refusal(changed(path, "a\udc00b")) == {named(path): "holds half a character (a lone surrogate)"}


@pytest.mark.parametrize("path", list(leaves()), ids=named)
def test_a_wrong_kind_of_value_is_refused_at_its_pointer_or_at_the_part_that_holds_it(path):
    for kind, value in WRONG.items():
        if kind == "null" and isinstance(path[-1], str):
            continue  # the same as left out
        if kind == "true" and path in FLAGS:
            assert read_question(changed(path, value))
            continue
        problems = refusal(changed(path, value))
        assert problems, kind
        for pointer, says in problems.items():
            assert pointer.startswith(named(path)), kind
            # what follows is the list of words, not what was sent
            assert len(says.partition("use one of: ")[0]) < 260, kind
            assert says.encode()


def outcome(value):
    try:
        return read_question(value)
    except Refused as error:
        return error.problems


@pytest.mark.parametrize("path", [path for path in leaves() if isinstance(path[-1], str)], ids=named)
def test_what_is_null_is_as_if_it_were_left_out(path):
    without = changed(path, None)
    at = without
    for key in path[:-1]:
        at = at[key]
    del at[path[-1]]
    assert outcome(changed(path, None)) == outcome(without)


@pytest.mark.parametrize("path", MAPS, ids=named)
def test_an_unknown_key_is_refused_wherever_it_stands(path):
    part = FULL
    for key in path:
        part = part[key]
    known = next(iter(part))
    whole = changed((*path, f"{known}s"), 1)
    assert refusal(whole) == {named((*path, f"{known}s")): f"unknown key; did you mean '{known}'?"}


@pytest.mark.slow
@pytest.mark.parametrize("path", LISTS, ids=named)
def test_a_list_a_million_long_is_refused_for_its_length_alone(path):
    problems = refusal(changed(path, [1] * 1_000_000))
    assert list(problems) == [named(path)]
    assert problems[named(path)].startswith("has 1,000,000 entries; ")


@pytest.mark.parametrize("value", [None, True, 1, 1.5, "x", [], [sent()]])
def test_a_question_is_an_object(value):
    assert refusal(value) == {"": "a question is an object with a joint"}


@pytest.mark.parametrize(
    ("value", "problems"),
    [
        ({}, {"/joint": "is required"}),
        ({"joint": {}}, {"/joint/conductors": "is required"}),
        ({"joint": {"conductors": []}}, {"/joint/conductors": "has 0 entries; 1 to 24 are allowed"}),
        ({"joint": {"conductors": [{}]}}, {"/joint/conductors/0/size": "is required"}),
        (sent(place={"depth": {"value": 3}}), {"/place/depth/unit": "is required"}),
        (sent(place={"ambient": {"unit": "degC"}}), {"/place/ambient/value": "is required"}),
    ],
)
def test_what_is_required_is_told_by_its_pointer(value, problems):
    assert refusal(value) == problems


@pytest.mark.parametrize(
    ("size", "says"),
    [
        (12, "'12' has no unit; write '12 AWG' or '12 mm2'"),
        (2.5, "'2.5' has no unit; write '2.5 mm2'"),
        ("12", "'12' has no unit; write '12 AWG' or '12 mm2'"),
        (
            "12/2 NM",
            "'12/2 NM' is a cable; write each of its conductors that enters, with size '12 AWG', cable and role",
        ),
        ("41 awg", "'41 awg' is not a size; write it like '12 AWG', '250 kcmil' or '2.5 mm2'"),
        (True, "true is not a size; write it like '12 AWG' or '2.5 mm2'"),
        (["12 AWG"], "[\"12 AWG\"] is not a size; write it like '12 AWG' or '2.5 mm2'"),
    ],
)
def test_a_size_without_its_unit_is_told_what_to_write(size, says):
    assert refusal(sent({"size": size})) == {"/joint/conductors/0/size": says}


def test_24_conductors_are_a_joint_and_25_are_not():
    assert sum(c.count for c in question({"size": "12 AWG", "count": 24}).joint.conductors) == 24
    assert refusal(sent({"size": "12 AWG", "count": 25})) == {
        "/joint/conductors/0/count": "25 is out of range; 1 to 24 is allowed"
    }


def test_25_conductors_in_several_entries_are_too_many_in_all():
    assert question({"size": "12 AWG", "count": 12}, {"size": "14 AWG", "count": 12})
    assert refusal(sent({"size": "12 AWG", "count": 12}, {"size": "14 AWG", "count": 12}, {"size": "10 AWG"})) == {
        "/joint/conductors": "is 25 conductors in all; at most 24 are allowed"
    }


def test_25_entries_are_too_many():
    assert question(*[{"size": "12 AWG"}] * 24)
    assert refusal(sent(*[{"size": "12 AWG"}] * 25)) == {"/joint/conductors": "has 25 entries; 1 to 24 are allowed"}


def test_a_count_written_3_0_is_3():
    assert question({"size": "12 AWG", "count": 3.0}) == question({"size": "12 AWG", "count": 3})


@pytest.mark.parametrize(
    ("value", "unit"),
    [(-60, "degC"), (200, "degC"), (199.9, "degC"), (-76, "degF"), (392, "degF"), (-75.9, "degF")],
)
def test_an_ambient_within_minus_60_and_200_degrees_celsius_is_taken_in_both_units(value, unit):
    assert question(place={"ambient": {"value": value, "unit": unit}})


@pytest.mark.parametrize(
    ("value", "unit"),
    [
        (-60.1, "degC"),
        (200.1, "degC"),
        (392, "degC"),
        (393, "degC"),
        (-76.1, "degF"),
        (392.1, "degF"),
        (-500, "degF"),
    ],
)
def test_an_ambient_beyond_those_is_refused_and_told_both_ranges(value, unit):
    problems = refusal(sent(place={"ambient": {"value": value, "unit": unit}}))
    assert list(problems) == ["/place/ambient/value"]
    assert problems["/place/ambient/value"].endswith(" is out of range; -60 to 200 degC (-76 to 392 degF) is allowed")


def test_the_range_of_the_ambient_is_not_judged_before_its_unit_is_known():
    assert refusal(sent(place={"ambient": {"value": 300, "unit": "K"}})) == {
        "/place/ambient/unit": '"K" is not known; use one of: degC, degF'
    }


def test_old_aluminum_branch_wiring_asks_for_every_conductors_material():
    work = {"wiring_age": "aluminum-branch"}
    given = [{"size": "12 AWG", "material": "aluminum"}, {"size": "12 AWG"}, {"size": "14 AWG"}]
    says = "is required where /work/wiring_age is aluminum-branch"
    assert refusal(sent(*given, work=work)) == {
        "/joint/conductors/1/material": says,
        "/joint/conductors/2/material": says,
    }
    assert question({"size": "12 AWG", "material": "copper"}, given[0], work=work)


def test_bare_stands_alone_among_insulation_types():
    assert refusal(sent({"size": "12 AWG", "insulation": ["THHN", "bare"]})) == {
        "/joint/conductors/0/insulation": "bare stands alone: a bare conductor has no insulation type"
    }
    assert question({"size": "12 AWG", "insulation": ["bare"]}) == question({"size": "12 AWG", "insulation": "bare"})


def test_all_problems_are_told_at_once():
    whole = sent(
        {"size": 12, "count": "3"},
        {"size": "12 AWG", "matrial": "copper"},
        place={"exposure": "porch"},
        circut={},
    )
    assert list(refusal(whole)) == [
        "/circut",
        "/joint/conductors/0/count",
        "/joint/conductors/0/size",
        "/joint/conductors/1/matrial",
        "/place/exposure",
    ]


@given(anything)
def test_any_json_at_all_is_a_question_or_refused_and_nothing_else(value):
    with suppress(Refused):
        assert read_question(value).question.canonical()


@pytest.mark.slow
@pytest.mark.parametrize("path", [("joint",), ("joint", "conductors"), _C, (*_C, "insulation"), ("place",)], ids=named)
@given(value=anything)
def test_any_json_in_the_place_of_a_part_is_read_or_refused_and_nothing_else(path, value):
    with suppress(Refused):
        assert read_question(changed(path, value)).question.canonical()


@given(questions)
def test_every_generated_question_is_taken(value):
    assert read_question(value).question


def test_a_json_value_nested_very_deep_is_refused():
    deep = []
    for _ in range(100_000):
        deep = [deep]
    assert refusal({"joint": deep}) == {"/joint": "must be an object"}
    assert refusal({**sent(), "id": deep}) == {"/id": "this value is not text"}


def test_words_of_the_contract_have_a_meaning_each():
    for words in WORDS.values():
        if isinstance(words, dict):
            assert all(meaning.strip() for meaning in words.values())


def test_the_id_is_echoed_and_no_part_of_the_question():
    assert asked(id="a").id == "a"
    assert asked(id="a").question == asked(id="b").question


@given(questions)
def test_what_is_read_straight_is_what_is_loaded(value):
    schema = QuestionSchema()
    assert schema.read(value) == schema.load(value)
