from __future__ import annotations

import json
import math
from contextlib import suppress
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.document import Document
from splicewright.json_pointer import join
from splicewright.json_text import read_json
from splicewright.refusals import NotText, Problem, Refused, not_allowed, shown
from splicewright.yaml_text import cut_texts, read_data_file, read_yaml

words = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")))
leaves = (
    st.none() | st.booleans() | st.integers(-(10**18) + 1, 10**18 - 1) | st.integers().map(lambda n: n % 10**9 / 10)
)
trees = st.recursive(
    leaves | words,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
    max_leaves=20,
)


def brief(value):
    return repr(value)[:40]


# --- JSON ------------------------------------------------------------------------------


@given(trees)
def test_every_json_value_is_read_as_it_is(value):
    assert read_json(json.dumps(value).encode()) == value


@given(st.binary() | st.text(alphabet='[]{}",:0123456789eE.+-truefalsn \\ud8').map(str.encode))
def test_any_bytes_are_json_or_not_text_and_nothing_else(data):
    with suppress(NotText):
        read_json(data)


@pytest.mark.parametrize(
    ("data", "says", "line"),
    [
        (b"", "not JSON: ", 1),
        (b"  ", "not JSON: ", 1),
        (b"{\n\n x}", "not JSON: ", 3),
        (b"{} {}", "not JSON: ", 1),
        (b"[1,]", "not JSON: ", 1),
        (b"// note\n1", "not JSON: ", 1),
        (b"'single'", "not JSON: ", 1),
        (b"01", "not JSON: ", 1),
        (b"NaN", "not JSON: ", 1),
        (b"-Infinity", "not JSON: ", 1),
        (b"\xff\xfe", "not JSON: ", 1),
        (b"\xef\xbb\xbf{}", "not JSON: ", 1),
        (b'"\\ud800"', "not JSON: ", 1),
        (b'{"\\udfff": 1}', "not JSON: ", 1),
        (b'"\xed\xa0\x80"', "not JSON: ", 1),
        (b'"a\x00b"', "not JSON: ", 1),
        (b"[" * 100_000, "not JSON: ", 1),
        (b'{"a":' * 100_000, "not JSON: ", 1),
        (b"1e400", "not JSON: ", 1),
        (b"-1e400", "not JSON: ", 1),
        (b"9" * 5_000, "not JSON: ", 1),
    ],
    ids=brief,
)
def test_what_is_not_json_is_refused_with_its_line(data, says, line):
    with pytest.raises(NotText) as caught:
        read_json(data)
    assert caught.value.problems[0].says.startswith(says)
    assert ": line" not in caught.value.problems[0].says
    assert caught.value.problems[0].pointer == ""
    assert caught.value.line == line


@pytest.mark.parametrize("data", [b'{"a": 1, "a": 1}', b'[{"b": {"a": 1, "c": 2, "a": 3}}]', b'{"\\u0061": 1, "a": 2}'])
def test_a_key_that_stands_twice_in_a_json_object_is_refused(data):
    with pytest.raises(NotText) as caught:
        read_json(data)
    assert caught.value.problems == (Problem("", 'the key "a" stands twice in one object'),)


def test_a_number_out_of_range_is_refused_by_the_second_reader_too(monkeypatch):
    monkeypatch.setattr("splicewright.json_text.orjson.loads", lambda _: None)
    with pytest.raises(NotText) as caught:
        read_json(b"[1e400]")
    assert caught.value.problems[0].says == "the number 1e400 is out of range"


def test_json_nested_beyond_the_interpreter_is_refused(monkeypatch):
    monkeypatch.setattr("splicewright.json_text.orjson.loads", lambda _: None)
    with pytest.raises(NotText) as caught:
        read_json(b"[" * 100_000 + b"]" * 100_000)
    assert caught.value.problems[0].says == "nested too deeply"


texts = st.text(alphabet='ab"\\\u00e9\u2028\x1f {}[]:,0', max_size=4).map(json.dumps) | st.sampled_from(
    ['"a"', '"a "', '"\\u0061"', '"\\ud800"', '"\\/"', '"\u00e9"', '"\\u00e9"', '"', '"\x00"', '"\ud800"', "a"]
)
numbers = st.one_of(
    st.integers().map(str),
    st.integers(2**62, 2**65).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.from_regex(r"-?(0|[1-9][0-9]{0,20})(\.[0-9]{1,4})?([eE][-+]?[0-9]{1,3})?", fullmatch=True),
    st.sampled_from(["NaN", "-Infinity", "1e400", "01", "-0", "-0.0", "1.0", "+1", "1.", ".5", "1E2", "9" * 5_000]),
)
blanks = st.sampled_from(["", " ", "\n", "\t", "\r\n  ", "\x0b"])


def listed(inner):
    return st.tuples(st.lists(inner, max_size=4), blanks).map(lambda one: "[" + f",{one[1]}".join(one[0]) + "]")


def mapped(inner):
    pairs = st.lists(st.tuples(texts, inner, blanks), max_size=4)  # whose keys may stand twice
    return pairs.map(lambda many: "{" + ",".join(f"{gap}{key}:{gap}{one}" for key, one, gap in many) + "}")


nearly_json = st.recursive(
    texts | numbers | st.sampled_from(["true", "false", "null", "True", ""]),
    lambda inner: listed(inner) | mapped(inner),
    max_leaves=12,
)


def read_or_refusal(data):
    try:
        return repr(read_json(data))
    except NotText as error:
        return error.line, error.problems


@pytest.mark.slow
@settings(max_examples=1_000)
@given(nearly_json.map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_what_is_read_fast_is_read_and_refused_like_what_is_read_slowly(data):
    with patch("splicewright.json_text._written", return_value=b"-"):
        slowly = read_or_refusal(data)
    assert read_or_refusal(data) == slowly


@given(trees, st.sampled_from([(",", ":"), (", ", ": "), (",\n\t", " :\r\n")]))
def test_a_value_in_any_layout_is_read_fast(value, separators):
    data = json.dumps(value, ensure_ascii=False, separators=separators).encode()
    with patch("splicewright.json_text.json.loads", side_effect=AssertionError("read slowly")):
        assert read_json(data) == value


def test_what_is_nested_more_deeply_than_is_written_back_is_read_all_the_same():
    assert repr(read_json(b"[" * 500 + b"]" * 500)) == "[" * 500 + "]" * 500


def test_whole_numbers_stay_whole_and_decimals_stay_decimals():
    found = read_json(b"[3, 3.0, 1e2, -0]")
    assert [type(one) for one in found] == [int, float, float, int]


# --- YAML ------------------------------------------------------------------------------


@given(trees)
def test_a_value_written_as_json_is_read_from_yaml_alike(value):
    assert read_yaml(json.dumps(value, ensure_ascii=False)).value == value


@given(st.binary() | st.text() | st.text(alphabet="-:[]{}?&*!|>'\"%@`#, \n\tabc1.~<"))
def test_any_text_is_yaml_or_not_text_and_nothing_else(text):
    with suppress(NotText):
        assert isinstance(read_yaml(text), Document)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("a:", {"a": None}),
        ("0", 0),
        ("-12", -12),
        ("+5", 5),
        ("1.5", 1.5),
        ("-0.25", -0.25),
        ("1e3", 1000.0),
        ("1.5E-2", 0.015),
        ("'12'", "12"),
        ('"true"', "true"),
        ("|\n  12\n", "12\n"),
        ("[1, [2, {}], []]", [1, [2, {}], []]),
        ("%YAML 1.1\n---\na: b\n...\n", {"a": "b"}),
        ("'<<': 1", {"<<": 1}),
        ("{a: 1, b}", {"a": 1, "b": None}),
        ("1: a\ntrue: b", {"1": "a", "true": "b"}),
    ],
)
def test_plain_yaml_is_read_as_written(text, value):
    found = read_yaml(text).value
    assert (found, type(found)) == (value, type(value))


@pytest.mark.parametrize(
    "text",
    ["yes", "no", "on", "off", "True", "FALSE", "y", "Null", ".5", "5.", "010", "-007", "0x1f", "0o17",
     "1_000", "12:30:00", "2024-01-01", ".nan", ".inf", "-.inf", "1e", "12 AWG", "1/0", "1" * 19],
)  # fmt: skip
def test_what_only_resembles_a_boolean_or_a_number_is_text(text):
    assert read_yaml(text).value == text


@pytest.mark.parametrize(
    ("text", "says", "line"),
    [
        ("", "the document is empty", 1),
        ("# nothing\n", "the document is empty", 1),
        ("a: 1\nb:\n  c: 2\n  c: 3\n", 'the key "c" stands twice in one map', 4),
        ("a: 1\n'a': 2", 'the key "a" stands twice in one map', 2),
        ("a: &x 1\nb: 2", "anchors and aliases are not allowed; write the value out", 1),
        ("a: 1\nb: *a", "anchors and aliases are not allowed; write the value out", 2),
        ("&k a: 1", "a key must be plain text", 1),
        ("\n? [a]\n: 1", "a key must be plain text", 2),
        ("? {a: b}\n: 1", "a key must be plain text", 1),
        ("!!str a: 1", "a key must be plain text", 1),
        ("a: !!str 1", "the tag 'tag:yaml.org,2002:str' is not allowed", 1),
        (
            "x: 1\na: !!python/object/apply:os.system [ls]",
            "the tag 'tag:yaml.org,2002:python/object/apply:os.system'",
            2,
        ),
        ("a:\n  <<: {b: 1}", "merge keys are not allowed; write the values out", 2),
        ("a: 1\n---\nb: 2", "a second document begins here; write one a file", 2),
        ("a: 1e400", "the number 1e400 is out of range", 1),
        ("- 1\n- -1e999", "the number -1e999 is out of range", 2),
        ("a:\n  b:\n - c", "not YAML: did not find expected key", 3),
        ("a: 'b", "not YAML: found unexpected end of stream", 1),
        ("[" * 40 + "[[]]" + "]" * 40, "nested too deeply", 1),
        ("- " * 45 + "1", "nested too deeply", 1),
        ('"\\ud800"', "not YAML: found invalid Unicode character escape code", 1),
        ("\ud800", "not UTF-8 text", None),
        (b"\xff", "not YAML: ", None),
        (b"a: \xc3\x28", "not YAML: ", None),
        (b"\x00", "not YAML: ", None),
    ],
    ids=brief,
)
def test_what_is_not_strict_yaml_is_refused_with_its_line(text, says, line):
    with pytest.raises(NotText) as caught:
        read_yaml(text)
    assert caught.value.problems[0].says.startswith(says)
    assert caught.value.line == line


DEEP = {"nested too deeply", "not YAML: exceeded maximum nesting depth", "a key must be plain text"}


@pytest.mark.parametrize("text", ["[" * 100_000, "{a: " * 100_000, "- " * 100_000, "? " * 100_000], ids=brief)
def test_a_hundred_thousand_brackets_are_refused_for_their_depth(text):
    with pytest.raises(NotText) as caught:
        read_yaml(text)
    assert {problem.says for problem in caught.value.problems} <= DEEP


def test_nesting_is_allowed_to_forty_levels():
    assert read_yaml("[" * 40 + "1" + "]" * 40).value


def test_a_document_knows_the_line_of_each_of_its_parts():
    document = read_yaml("# head\nrules:\n  - id: one\n    when:\n      - place: wet\n  - id: two\n")
    assert document.line("/rules") == 2
    assert document.line("/rules/0/id") == 3
    assert document.line("/rules/0/when/0/place") == 5
    assert document.line("/rules/1") == 6


def test_a_part_that_is_missing_is_told_at_the_line_of_the_part_around_it():
    document = read_yaml("a:\n  b: 1\nc: 2\n")
    assert document.line("/c/d/e") == 3
    assert document.line("/a/b/x") == 2
    assert document.line("/z") == 1


def test_a_document_knows_the_column_of_each_of_its_parts():
    document = read_yaml("a: 1\nb:  {c: [2,  3]}\n")
    assert [document.column(at) for at in ("/a", "/b", "/b/c", "/b/c/0", "/b/c/1")] == [1, 1, 6, 10, 14]


def test_a_part_is_found_by_an_odd_key_and_by_one_that_looks_like_a_number():
    document = read_yaml("a/b: 1\nm~n:\n  0: 1\n  1: [1,\n  2]\n")
    assert [document.line(at) for at in ("/a~1b", "/m~0n", "/m~0n/0", "/m~0n/1", "/m~0n/1/1")] == [1, 2, 3, 4, 5]


def test_a_document_without_lines_begins_at_line_one():
    assert Document({"a": 1}).line("/a") == 1


@pytest.mark.parametrize("quote", ["'", '"'])
@pytest.mark.parametrize("before", ["says: ", "rules:\n  - says: ", "- ", "{a: ", "[", "{a: [b, ", "a: 1\nb: "])
@pytest.mark.parametrize("after", [" are loaded", "s are", " are {x}", " (b)"])
def test_a_quotation_mark_that_ends_before_the_text_does_is_told(quote: str, before: str, after: str) -> None:
    for head in ("", "\ufeff"):
        for text in (
            f"{head}{before}{quote}Kitchens{quote}{after}\n",
            f"{head}{before}{quote}Kitchens{quote}{after}".encode(),
        ):
            with pytest.raises(NotText) as raised:
                read_yaml(text)
            assert "put the whole text into quotes, '…'" in raised.value.problems[0].says


@pytest.mark.parametrize("line", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_what_a_comment_cuts_short_is_known_by_its_pointer(line: str, mark: str) -> None:
    text = """# head
a: bin #3  # and more
b: [c, d #3
  ]
"e": 'whole #3' # a comment
f: long
  text #3
g: |
  whole #3
h: a#b
# between
i: {j: 1 # a number
  , k: "x"} # none
l: - #
""".replace("l: - #", "l:\n  - m\t#n")
    assert [*cut_texts(mark + text.replace("\n", line))] == ["/a", "/b/1", "/f", "/i/j", "/l/0"]
    assert [*cut_texts((mark + text.replace("\n", line)).encode())] == ["/a", "/b/1", "/f", "/i/j", "/l/0"]
    assert [*read_data_file(text, "a.yaml").cut()] == ["/a", "/b/1", "/f", "/i/j", "/l/0"]


# --- errors ----------------------------------------------------------------------------


def test_a_refusal_tells_every_problem():
    error = Refused(iter([Problem("", "is odd"), Problem("/a", "is even")]))
    assert str(error) == "(whole): is odd; /a: is even"
    assert error.problems == (Problem("", "is odd"), Problem("/a", "is even"))


def test_text_that_cannot_be_read_is_a_refusal_of_the_whole():
    error = NotText("not JSON", 7)
    assert isinstance(error, Refused)
    assert (error.line, error.problems) == (7, (Problem("", "not JSON"),))


@pytest.mark.parametrize(
    ("parts", "pointer"),
    [
        ((), "/a"),
        (("b", 0), "/a/b/0"),
        (("b/c",), "/a/b~1c"),
        (("~",), "/a/~0"),
        (("~1",), "/a/~01"),
        (("",), "/a/"),
    ],
)
def test_a_pointer_is_extended_as_rfc_6901_says(parts, pointer):
    assert join("/a", *parts) == pointer


def test_a_word_that_is_not_allowed_is_answered_with_the_nearest():
    assert not_allowed("wett", ["dry", "wet"]) == "\"wett\" is not known; did you mean 'wet'?"


def test_a_word_near_to_none_is_answered_with_all_of_a_short_list():
    assert not_allowed("moist", (w for w in ("dry", "wet"))) == '"moist" is not known; use one of: dry, wet'


def test_a_word_near_to_none_of_a_long_list_is_only_refused():
    assert not_allowed("zzz", [f"word-{n}" for n in range(31)]) == '"zzz" is not known'
    assert "word-29" in not_allowed("zzz", [f"word-{n}" for n in range(30)])


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (True, "true"),
        (None, "null"),
        (1.5, "1.5"),
        ("a", '"a"'),
        ("\ud800\n", '"\\ud800\\n"'),
        ({"a": [1]}, '{"a": [1]}'),
        (math.nan, "NaN"),
        ({(1, 2): 3}, "this value"),
        ("x" * 58, '"' + "x" * 58 + '"'),
        ("x" * 59, '"' + "x" * 56 + "…"),
    ],
)
def test_a_value_is_written_back_shortly(value, text):
    assert shown(value) == text


def test_a_number_too_long_to_print_is_written_back_too():
    assert shown(10**5_000) == "this value"


def test_a_value_that_holds_itself_is_written_back_too():
    loop = []
    loop.append(loop)
    assert shown(loop) == "this value"


def test_a_value_nested_a_hundred_thousand_deep_is_written_back_too():
    deep = []
    for _ in range(100_000):
        deep = [deep]
    assert shown(deep) == "this value"
