"""Answers kept are the answers given: the same bytes, whichever way they are found."""

from __future__ import annotations

from typing import Any

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.answering import Chooser
from splicewright.answering.chooser import AnswerCache, Body, Known, without_id
from splicewright.refusals import NotText, Refused

QUESTION: dict[str, Any] = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
UNCACHED = Chooser(cache_bytes=0)


@pytest.fixture
def chooser() -> Chooser:
    made = Chooser()
    made.use(UNCACHED.holding)  # the same compiled rules, an empty cache of its own
    return made


def asked(**parts: Any) -> bytes:
    return orjson.dumps({**parts, **QUESTION})


@pytest.mark.parametrize("explain", ["full", "brief"])
def test_answer_found_by_its_bytes_is_the_answer_first_given(chooser: Chooser, explain: str) -> None:
    first = chooser.answer_json(asked(id="a"), explain=explain)
    again = chooser.answer_json(asked(id="a"), explain=explain)
    assert again == first == UNCACHED.answer_json(asked(id="a"), explain=explain)
    assert (chooser.cache.misses, chooser.cache.hits_by_bytes) == (1, 1)


def test_another_id_is_spliced_into_the_answer_kept(chooser: Chooser) -> None:
    chooser.answer_json(asked(id="a"))
    assert chooser.answer_json(asked(id="b")) == UNCACHED.answer_json(asked(id="b"))
    assert chooser.cache.hits_by_bytes == 1


def test_answer_is_found_by_the_question_where_the_bytes_differ(chooser: Chooser) -> None:
    chooser.answer_json(asked())
    other = b' {"place": {"exposure": "dry"}, ' + asked()[1:]
    assert chooser.answer_json(other) == UNCACHED.answer_json(other)
    assert (chooser.cache.misses, chooser.cache.hits_by_question) == (1, 1)


def test_what_was_assumed_belongs_to_the_question_as_sent(chooser: Chooser) -> None:
    chooser.answer_json(asked())
    more = orjson.loads(chooser.answer_json(asked(place={"exposure": "dry"})))
    assert "/place/exposure" not in more["assumed"]


def test_answers_that_tell_more_or_less_are_kept_apart(chooser: Chooser) -> None:
    for raw, explain, include in (
        (asked(), "full", ()),
        (asked(), "brief", ()),
        (asked(), "brief", ("rules",)),
        (asked(), "brief", ("rules", "meets")),
        (asked(limit=1), "full", ()),
        (asked(explain="brief"), "full", ()),
        (asked(include=["rules"]), "full", ()),
        (asked(only={"methods": ["lever"]}), "full", ()),
    ):
        told = UNCACHED.answer_json(raw, explain=explain, include=include)
        for _ in range(2):
            assert chooser.answer_json(raw, explain=explain, include=include) == told
    assert chooser.cache.hits_by_bytes == 8


def test_body_is_found_however_it_was_said_how_much_to_tell(chooser: Chooser) -> None:
    chooser.answer_json(asked(include=["meets", "rules"]))
    for raw, explain, include in (
        (asked(), "brief", ("rules", "meets")),
        (asked(include=["rules", "meets"]), "full", ()),
        (asked(explain="brief", include=["rules", "meets"]), "full", ()),
    ):
        answer = chooser.answer_json(raw, explain=explain, include=include)
        assert answer == UNCACHED.answer_json(raw, explain=explain, include=include)
    assert (chooser.cache.misses, chooser.cache.hits_by_question) == (1, 3)


def test_python_answers_come_from_the_same_store(chooser: Chooser) -> None:
    chooser.answer_json(asked())
    assert chooser.choose(QUESTION) == orjson.loads(UNCACHED.answer_json(asked()))
    assert chooser.cache.hits_by_question == 1


IDS = [
    "plain", "", "x" * 100, "ünïcode", "tab\t", 'quote"', "back\\slash", "\u2028", "{", ',"id":"other"', "\x7f", "😀",
]  # fmt: skip


@pytest.mark.parametrize("name", IDS)
@pytest.mark.parametrize("last", [False, True])
def test_any_valid_id_is_echoed_as_it_was(chooser: Chooser, name: str, last: bool) -> None:
    raw = orjson.dumps({**QUESTION, "id": name} if last else {"id": name, **QUESTION})
    for _ in range(2):
        assert orjson.loads(chooser.answer_json(raw))["id"] == name


@pytest.mark.parametrize(
    "raw",
    [
        orjson.dumps({"id": "x" * 101, **QUESTION}),
        orjson.dumps({"id": 1, **QUESTION}),
        b'{"id":"a",' + asked(id="b")[1:],
        b'{"id":"a",' + asked()[1:-1] + b',"id":"b"}',
        asked()[:-1] + b',"id":"a","id":"b"}',
        b'{"id":"\xff",' + asked()[1:],
        b'{"id":"a\n",' + asked()[1:],
        b'{"id":"a",}',
        b'{"id":"a"}',
        b'{"id":"a",' + asked(),
    ],
)
def test_bad_id_is_refused_even_where_the_rest_is_known(chooser: Chooser, raw: bytes) -> None:
    chooser.answer_json(asked())
    chooser.answer_json(asked(id="a"))
    with pytest.raises((Refused, NotText)):
        chooser.answer_json(raw)


@pytest.mark.parametrize("sign", [b"\v", b"\f", b"\x1c", b"\x85", b"\xa0", b"\xc2\xa0"])
@pytest.mark.parametrize("at", range(12))
def test_what_json_takes_for_no_blank_is_refused_even_where_the_rest_is_known(
    chooser: Chooser, sign: bytes, at: int
) -> None:
    question = asked()
    first = [b"", b"{", b'"id"', b":", b'"a"', b",", question[1:]]
    last = [question[:-1], b",", b'"id"', b":", b'"a"', b"}", b""]
    parts = first if at < 6 else last
    chooser.answer_json(b"".join(parts))
    with pytest.raises(NotText):
        chooser.answer_json(sign.join([b"".join(parts[: at % 6 + 1]), b"".join(parts[at % 6 + 1 :])]))


@given(st.binary(max_size=60))
def test_bytes_that_hold_no_plain_id_are_left_as_they_are(raw: bytes) -> None:
    rest, found = without_id(raw)
    assert (rest == raw) is (found is None)


@given(st.text(alphabet=st.characters(codec="utf-8", exclude_characters='"\\', min_codepoint=32), max_size=100))
def test_id_taken_out_leaves_the_same_object_without_it(name: str) -> None:
    for whole in ({"id": name, "a": [1], "b": {"id": "inner"}}, {"a": {"id": "inner"}, "id": name}):
        rest, found = without_id(orjson.dumps(whole))
        assert found is not None
        assert orjson.loads(found) == name
        assert orjson.loads(rest) == {key: value for key, value in whole.items() if key != "id"}


def test_cache_stays_within_its_bytes_and_forgets_the_oldest() -> None:
    cache = AnswerCache(10_000)
    for number in range(100):
        cache.keep(b"%d" % number, Body("options", b"h" * 100, b"t" * 500))
        assert cache.bytes_kept <= 10_000
    assert cache.by_question(b"0") is None
    assert cache.by_question(b"99") is not None


def test_body_larger_than_the_cache_is_not_kept() -> None:
    cache = AnswerCache(1_000)
    cache.keep(b"k", Body("options", b"", b"t" * 2_000))
    cache.remember(("full",), b"rest", Known("options", b"a" * 2_000, 4))
    assert cache.by_question(b"k") is None
    assert cache.by_bytes(("full",), b"rest") is None


def test_new_rules_begin_with_an_empty_cache(chooser: Chooser) -> None:
    chooser.answer_json(asked())
    chooser.use(chooser.holding)
    assert chooser.cache.bytes_kept == 0
