from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from enum import Enum
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError, fields, post_load, validate, validates_schema

from splicewright import shipped
from splicewright.catalogue.schema import CatalogueSchema
from splicewright.refusals import Problem, Refused
from splicewright.rulebook.amendment_files import AmendmentSchema
from splicewright.rulebook.schema import RulesetSchema
from splicewright.strict_fields import Flag, Items, Number, Text, Word, Words
from splicewright.strict_schema import Remembered, Strict, load, problems
from splicewright.yaml_text import read_yaml

SHAPES = ["round", "square", "oval"]


class Lamp(Strict):
    name = Text(5)
    shape = Word(SHAPES)
    modes = Words(["blink", "steady", "off"])
    tags = Words({"a": "", "b": "", "c": ""}, single=True, least=1, most=2)
    lit = Flag()
    volts = Number(0.1, 100)
    count = Number(1, 3, decimals=0)
    warmth = Number(-5, 5, allowed="a little")


class Rig(Strict):
    lamp = fields.Nested(Lamp, required=True)
    lamps = Items(fields.Nested(Lamp), 0, 2)


def refusal(value, schema=Lamp):
    with pytest.raises(Refused) as caught:
        load(schema(), value)
    return [(problem.pointer, problem.says) for problem in caught.value.problems]


# --- maps ------------------------------------------------------------------------------


def test_a_map_of_known_keys_is_read_as_it_is():
    given = {"name": "one", "shape": "round", "lit": True, "volts": 12.5, "count": 2}
    assert load(Lamp(), given) == given


def test_keys_that_are_not_given_are_not_filled_in():
    assert load(Lamp(), {}) == {}


def test_an_unknown_key_is_told_the_nearest_one():
    assert refusal({"shapes": "round"}) == [("/shapes", "unknown key; did you mean 'shape'?")]


def test_an_unknown_key_near_to_none_is_told_all():
    assert refusal({"lamp": {}, "zzz": 1}, Rig) == [("/zzz", "unknown key; known here: lamp, lamps")]


def test_unknown_keys_are_told_beside_other_faults():
    assert refusal({"lamp": {"lit": 1, "lits": 1}}, Rig) == [
        ("/lamp/lit", "1 is neither true nor false"),
        ("/lamp/lits", "unknown key; did you mean 'lit'?"),
    ]


@pytest.mark.parametrize(
    ("key", "pointer"),
    [
        ("a/b", "/a~1b"),
        ("~", "/~0"),
        ("", "/"),
        (7, "/7"),
        (None, "/None"),
        ("_schema", "/_schema"),
        ("\ud800", "/\\ud800"),
    ],
)
def test_an_odd_key_has_a_pointer_that_can_be_printed(key, pointer):
    found = refusal({"lamp": {}, key: 1}, Rig)
    assert found == [(pointer, "unknown key; known here: lamp, lamps")]
    assert found[0][0].encode()


def test_of_very_many_unknown_keys_the_first_twenty_are_told_one_by_one():
    found = refusal({f"x{n}": 1 for n in range(100_000)})
    assert len(found) == 21
    assert ("", "has 99980 further unknown keys") in found


@pytest.mark.parametrize("value", [None, [], "x", 1, True])
def test_what_is_not_a_map_is_refused(value):
    assert refusal({"lamp": value}, Rig) == [("/lamp", "may not be null" if value is None else "must be an object")]


def test_a_missing_part_is_told_by_its_pointer():
    assert refusal({}, Rig) == [("/lamp", "is required")]


def test_problems_come_in_the_order_of_their_pointers():
    assert [pointer for pointer, _ in refusal({"volts": 0, "name": 1, "lit": 1, "count": 9})] == [
        "/count",
        "/lit",
        "/name",
        "/volts",
    ]


def test_messages_of_any_shape_become_problems():
    messages = {"a": {0: ["is odd", "is old"], "_schema": ["is sad"]}, "b": "is plain"}
    assert list(problems(messages, "/x")) == [
        Problem("/x/a/0", "is odd"),
        Problem("/x/a/0", "is old"),
        Problem("/x/a", "is sad"),
        Problem("/x/b", "is plain"),
    ]


# --- text and words --------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", "12345", "é\u20ac\U0001f600", "\x00"])
def test_text_up_to_its_limit_is_kept(text):
    assert load(Lamp(), {"name": text}) == {"name": text}


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("123456", "is 6 characters long; at most 5 are allowed"),
        ("x" * 1_000_000, "is 1000000 characters long; at most 5 are allowed"),
        ("a\ud800", "holds half a character (a lone surrogate)"),
        ("\udfff", "holds half a character (a lone surrogate)"),
        (1, "1 is not text"),
        (True, "true is not text"),
        (["a"], '["a"] is not text'),
        ({}, "{} is not text"),
        (b"a", "\"b'a'\" is not text"),
        (None, "may not be null"),
    ],
    ids=lambda value: repr(value)[:40],
)
def test_what_is_not_short_text_is_refused(value, says):
    assert refusal({"name": value}) == [("/name", says)]


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("Round", "\"Round\" is not known; did you mean 'round'?"),
        ("ovall", "\"ovall\" is not known; did you mean 'oval'?"),
        ("zigzag", '"zigzag" is not known; use one of: round, square, oval'),
        (1, "1 is not a word; use one of: round, square, oval"),
        (True, "true is not a word; use one of: round, square, oval"),
        ([], "[] is not a word; use one of: round, square, oval"),
        (["round"], '["round"] is not a word; use one of: round, square, oval'),
        ({"round": 1}, '{"round": 1} is not a word; use one of: round, square, oval'),
        (None, "may not be null"),
    ],
)
def test_what_is_not_a_word_of_the_list_is_told_the_right_ones(value, says):
    assert refusal({"shape": value}) == [("/shape", says)]


def test_words_are_sorted_so_that_their_order_does_not_matter():
    assert load(Lamp(), {"modes": ["steady", "blink"]}) == load(Lamp(), {"modes": ["blink", "steady"]})


def test_a_single_word_stands_for_a_list_of_one_only_where_that_is_meant():
    assert load(Lamp(), {"tags": "a"}) == {"tags": ["a"]}
    assert refusal({"modes": "off"}) == [("/modes", "must be a list of words")]


@pytest.mark.parametrize(
    ("field", "value", "pointer", "says"),
    [
        ("tags", "z", "/tags", '"z" is not known; use one of: a, b, c'),
        ("tags", ["a", "z"], "/tags/1", '"z" is not known; use one of: a, b, c'),
        ("tags", [], "/tags", "has 0 entries; 1 to 2 are allowed"),
        ("tags", ["a", "b", "c"], "/tags", "has 3 entries; 1 to 2 are allowed"),
        ("tags", 1, "/tags", "must be a list of words"),
        ("tags", {"a": 1}, "/tags", "must be a list of words"),
        ("tags", {"a"}, "/tags", "must be a list of words"),
        ("tags", ["a", "a"], "/tags", "names a word twice"),
        ("tags", [["a"]], "/tags/0", '["a"] is not a word; use one of: a, b, c'),
        ("tags", [None], "/tags/0", "may not be null"),
        ("tags", None, "/tags", "may not be null"),
        ("modes", ["off"] * 1_000_000, "/modes", "has 1,000,000 entries; 0 to 3 are allowed"),
    ],
    ids=lambda value: repr(value)[:40],
)
def test_what_is_not_a_list_of_words_is_refused(field, value, pointer, says):
    assert refusal({field: value}) == [(pointer, says)]


def test_an_empty_list_of_words_is_allowed_unless_it_is_not():
    assert load(Lamp(), {"modes": []}) == {"modes": []}


# --- lists -----------------------------------------------------------------------------


def test_a_list_is_read_item_by_item():
    assert load(Rig(), {"lamp": {}, "lamps": [{"lit": True}, {}]})["lamps"] == [{"lit": True}, {}]


@pytest.mark.parametrize(
    ("value", "pointer", "says"),
    [
        ([{}, {}, {}], "/lamps", "has 3 entries; 0 to 2 are allowed"),
        ([{}, 1], "/lamps/1", "must be an object"),
        ([{}, {"lit": "no"}], "/lamps/1/lit", '"no" is neither true nor false'),
        ([None], "/lamps/0", "may not be null"),
        ({}, "/lamps", "must be a list"),
        ("ab", "/lamps", "must be a list"),
        (None, "/lamps", "may not be null"),
    ],
)
def test_what_is_not_a_list_of_the_right_length_is_refused(value, pointer, says):
    assert refusal({"lamp": {}, "lamps": value}, Rig) == [(pointer, says)]


def test_one_entry_is_counted_in_the_singular():
    class Pair(Strict):
        both = Items(Text(), 2, 2)

    assert refusal({"both": ["x"]}, Pair) == [("/both", "has 1 entry; 2 to 2 are allowed")]


def test_a_list_that_is_too_long_is_refused_unread():
    class Never(fields.Field[str]):
        def _deserialize(self, *_, **__):
            raise AssertionError("read")

    class Long(Strict):
        many = Items(Never(), 0, 10)

    assert refusal({"many": [1] * 1_000_000}, Long) == [("/many", "has 1,000,000 entries; 0 to 10 are allowed")]


def test_a_list_not_ours_is_refused_in_our_words():
    class Plain(Strict):
        some = fields.List(Text(), required=True)

    assert refusal({"some": 1}, Plain) == [("/some", "must be a list")]
    assert refusal({"some": None}, Plain) == [("/some", "may not be null")]
    assert refusal({}, Plain) == [("/some", "is required")]


# --- flags and numbers -----------------------------------------------------------------


@pytest.mark.parametrize("value", [0, 1, "true", "false", "yes", [], {}, 1.0])
def test_only_true_and_false_are_flags(value):
    (found,) = refusal({"lit": value})
    assert found[0] == "/lit"
    assert found[1].endswith(" is neither true nor false")


@pytest.mark.parametrize(
    ("field", "value", "kept"),
    [
        ("count", 3.0, 3),
        ("count", 1, 1),
        ("volts", 0.1, 0.1),
        ("volts", 100.0, 100),
        ("volts", 12.5, 12.5),
        ("warmth", -0.0, 0),
    ],
)
def test_a_number_is_kept_and_a_whole_one_is_an_integer(field, value, kept):
    found = load(Lamp(), {field: value})[field]
    assert (found, type(found)) == (kept, type(kept))


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("count", "3", '"3" is not a number'),
        ("count", True, "true is not a number"),
        ("count", 3.7, "3.7 is out of range; 1 to 3 is allowed"),
        ("count", 2.5, "2.5 is not a whole number"),
        ("count", 0, "0 is out of range; 1 to 3 is allowed"),
        ("count", 4, "4 is out of range; 1 to 3 is allowed"),
        ("count", [2], "[2] is not a number"),
        ("count", {}, "{} is not a number"),
        ("count", Decimal(2), '"2" is not a number'),
        ("count", None, "may not be null"),
        ("volts", 12.25, "12.25 is finer than one decimal"),
        ("volts", 0.1 + 0.2, "0.30000000000000004 is finer than one decimal"),
        ("volts", 0.09, "0.09 is out of range; 0.1 to 100 is allowed"),
        ("volts", 100.1, "100.1 is out of range; 0.1 to 100 is allowed"),
        ("volts", math.nan, "NaN is out of range; 0.1 to 100 is allowed"),
        ("volts", math.inf, "Infinity is out of range; 0.1 to 100 is allowed"),
        ("volts", -math.inf, "-Infinity is out of range; 0.1 to 100 is allowed"),
        ("warmth", 6, "6 is out of range; a little is allowed"),
    ],
)
def test_what_is_not_a_number_in_range_is_refused(field, value, says):
    assert refusal({field: value}) == [(f"/{field}", says)]


@pytest.mark.parametrize("digits", [400, 5_000])
def test_a_number_of_very_many_digits_is_refused_shortly(digits):
    ((pointer, says),) = refusal({"count": 10**digits})
    assert pointer == "/count"
    assert says.endswith(" is out of range; 1 to 3 is allowed")
    assert len(says) < 120


@given(st.integers(1, 1000))
def test_every_number_of_one_decimal_is_taken(tenths):
    assert load(Lamp(), {"volts": tenths / 10}) == {"volts": tenths / 10}


@given(st.integers(2, 998).filter(lambda n: n % 10), st.integers(0, 99))
def test_every_number_finer_than_one_decimal_is_refused(thousandths, whole):
    with pytest.raises(Refused):
        load(Lamp(), {"volts": float(f"{whole}.{thousandths:03}")})


def test_a_fault_of_the_schema_itself_is_not_taken_for_a_refusal():
    class Broken(Strict):
        name = Text()

        def load(self, *_, **__):
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        load(Broken(), {})


def test_a_validation_error_is_told_as_a_refusal():
    class Cross(Strict):
        def load(self, *_, **__):
            raise ValidationError("is crossed")

    assert refusal({}, Cross) == [("", "is crossed")]


def test_a_wrong_value_for_a_map_whose_keys_are_all_required_is_told_the_keys():
    class Depth(Strict):
        value = Number(0, 9, required=True)
        unit = Word(["in"], required=True)

    with pytest.raises(Refused) as caught:
        load(Depth(), 3)
    assert [problem.says for problem in caught.value.problems] == ["must be an object with value, unit"]


def test_what_is_remembered_lets_nothing_in_that_only_looks_like_it():
    class Label(Enum):
        LIKE = "wet"

    class Place(Strict):
        exposure = Word(["wet"])
        name = Text(40)

    class Whole(Strict):
        place = Remembered(Place)

    schema, day = Whole(), dt.date(2026, 11, 25)
    for good in ({"exposure": "wet"}, {"name": "2026-11-25"}):
        assert load(schema, {"place": good}) == load(schema, {"place": good}) == {"place": good}
    for bad in ({"exposure": Label.LIKE}, {"name": day}, {"exposure": float("nan")}):
        with pytest.raises(Refused):
            load(schema, {"place": bad})


# --- reading what is right without what refusing takes ----------------------------------------


@pytest.mark.parametrize(
    "given",
    [
        {"lamp": {}, "lamps": [{"name": "a"}, {"lit": False}]},
        {"lamp": {"modes": ["steady", "blink"], "tags": "a", "count": 3.0, "warmth": -0.5}},
        {"lamps": [], "lamp": {"tags": ["b", "a"]}},
    ],
)
def test_a_map_that_is_right_is_read_as_it_is_loaded(given):
    read, loaded = Rig().read(given), Rig().load(given)
    assert read == loaded
    assert list(read) == list(loaded)


@pytest.mark.parametrize(
    "given",
    [
        [],
        None,
        {},
        {"lamp": None},
        {"lamp": []},
        {"lamp": {}, "colour": 1},
        {"lamp": {"name": None}},
        {"lamp": {"name": "too long"}},
        {"lamp": {}, "lamps": {}},
        {"lamp": {}, "lamps": [{"shape": "rond"}]},
    ],
)
def test_a_map_with_anything_wrong_is_not_read(given):
    with pytest.raises(ValidationError):
        Rig().read(given)


def test_what_a_schema_checks_besides_its_fields_is_checked():
    class Pair(Strict):
        least = Number(0, 10)
        most = Number(0, 10)

        @validates_schema
        def _in_order(self, data, **_):
            if data["least"] > data["most"]:
                raise ValidationError("is less than the least", "most")

    class Outer(Strict):
        pair = fields.Nested(Pair)

    assert Outer().read({"pair": {"least": 1, "most": 2}}) == {"pair": {"least": 1, "most": 2}}
    with pytest.raises(ValidationError):
        Outer().read({"pair": {"least": 2, "most": 1}})
    assert load(Outer(), {"pair": {"least": 1, "most": 2}}) == {"pair": {"least": 1, "most": 2}}
    assert refusal({"pair": {"least": 2, "most": 1}}, Outer) == [("/pair/most", "is less than the least")]


class Shelf(Strict):
    lamps = fields.List(fields.Nested(Lamp), validate=validate.Length(1), required=True)
    names = Items(Text(5, validate=validate.Length(2)), 1, 3)
    height = Number(0, 10, load_default=3)
    marks = Words(["a", "b"], load_default=list)
    note = Text(5, allow_none=True)


@pytest.mark.parametrize(
    "given",
    [
        {"lamps": [{}]},
        {"lamps": [{"name": "a"}], "height": 1, "marks": ["b", "a"]},
        {"lamps": [{}], "note": None, "names": ["ab", "abc"]},
    ],
)
def test_defaults_checks_and_allowed_nulls_are_read_as_they_are_loaded(given):
    assert Shelf().read(given) == Shelf().load(given)


def test_what_a_default_makes_is_made_anew_each_time():
    schema = Shelf()
    first, second = (schema.read({"lamps": [{}]})["marks"] for _ in range(2))
    assert first == second == []
    assert first is not second


@pytest.mark.parametrize(
    "given",
    [
        {"lamps": []},
        {"lamps": ({},)},
        {"lamps": [None]},
        {"lamps": [{}], "names": []},
        {"lamps": [{}], "names": ["a"]},
        {"lamps": [{}], "names": ["ab", None]},
        {"lamps": [{}], "height": None},
        {"lamps": [{}], "note": "too long"},
    ],
)
def test_what_a_check_refuses_is_not_read(given):
    with pytest.raises(ValidationError):
        Shelf().read(given)


def test_a_further_check_sees_defaults_and_what_was_given():
    seen = []

    class Tray(Strict):
        count = Number(0, 10, load_default=4)

        @validates_schema(pass_original=True)
        def _look(self, data, original, **_):
            seen.append((data, original))

    given = {}
    assert Tray().read(given) == Tray().load(given) == {"count": 4}
    assert seen == [({"count": 4}, {})] * 2


def test_what_is_changed_after_it_was_read_is_left_to_marshmallow():
    class Squared(Strict):
        count = Number(0, 10)

        @post_load
        def _square(self, data, **_):
            return {"count": data["count"] ** 2}

    assert Squared().read({"count": 3}) == load(Squared(), {"count": 3}) == {"count": 9}


def test_what_marshmallow_alone_knows_of_a_field_is_left_to_it():
    class Renamed(Strict):
        name = Text(attribute="label")
        size = Number(0, 10, validate=validate.Equal(3))

    assert load(Renamed(), {"name": "x", "size": 3}) == {"label": "x", "size": 3}
    assert refusal({"size": 4}, Renamed) == [("/size", "Must be equal to 3.")]


def test_what_is_made_of_a_remembered_part_stays_with_it():
    class Room(Strict):
        lamp = Remembered(Lamp)

    schema = Room()
    first = load(schema, {"lamp": {"name": "a"}})["lamp"]
    assert (first, first.made) == ({"name": "a"}, None)
    first.made = "something"
    assert load(schema, {"lamp": {"name": "a"}})["lamp"].made == "something"
    assert load(schema, {"lamp": {"name": "b"}})["lamp"].made is None


def test_a_part_that_is_no_json_is_read_without_being_remembered():
    class Room(Strict):
        lamp = Remembered(Lamp)

    given = {"lamp": MappingProxyType({"name": "a"})}
    assert [load(Room(), given)["lamp"] for _ in range(2)] == [{"name": "a"}] * 2


RULESETS = shipped.folder("rulesets")


@pytest.mark.parametrize(
    "path", sorted(RULESETS.glob("[!actw]*/*.yaml")), ids=lambda path: f"{path.parent.name}-{path.stem}"
)
def test_every_shipped_rule_file_is_read_as_it_is_loaded(path):
    value = read_yaml(path.read_bytes()).value
    assert RulesetSchema().read(value) == RulesetSchema().load(value)


@pytest.mark.parametrize("path", sorted(RULESETS.glob("amendments/*.yaml")), ids=lambda path: path.stem)
def test_every_shipped_amendment_is_read_as_it_is_loaded(path):
    value = read_yaml(path.read_bytes()).value
    assert AmendmentSchema().read(value) == AmendmentSchema().load(value)


def test_the_shipped_catalogue_is_read_as_it_is_loaded():
    value = read_yaml((RULESETS / "catalogues" / "shop.yaml").read_bytes()).value
    assert CatalogueSchema().read(value) == CatalogueSchema().load(value)
