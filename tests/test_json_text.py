"""The place of each part of a JSON text, held against the text itself."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splicewright.json_pointer import join
from splicewright.json_text import read_json, read_json_document
from splicewright.refusals import NotText

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-1000, 1000) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)


def test_parts_are_found_by_line_and_column() -> None:
    document = read_json_document(b'{\n  "id": "a",\n  "b": [1, {"c~/d": 2}],\n "e": [], "f": {}, "g": 3}')
    places = {pointer: (document.line(pointer), document.column(pointer)) for pointer in walk(document.value)}
    assert places == {
        "": (1, 1), "/id": (2, 3), "/b": (3, 3), "/b/0": (3, 9), "/b/1": (3, 12), "/b/1/c~0~1d": (3, 13), "/e": (4, 2),
        "/f": (4, 11), "/g": (4, 20),
    }  # fmt: skip


def walk(value: Any, pointer: str = "") -> list[str]:
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [pointer, *(one for key, inner in parts for one in walk(inner, join(pointer, key)))]


@given(JSON, st.sampled_from([None, 1, "\t"]), st.booleans())
def test_every_part_has_the_place_where_it_is_written(value: Any, indent: Any, ascii_only: bool) -> None:
    text = json.dumps(value, indent=indent, ensure_ascii=ascii_only)
    document = read_json_document(text.encode())
    assert document.value == value
    rows = text.split("\n")
    for pointer in walk(value):
        at = rows[document.line(pointer) - 1][document.column(pointer) - 1 :]
        key = pointer.rpartition("/")[2]
        if key and not key.isdecimal():
            written = key.replace("~1", "/").replace("~0", "~")
            assert at.startswith(json.dumps(written, ensure_ascii=ascii_only))


@pytest.mark.parametrize("data", [b"{", b'{"a": 1, "a": 2}', b"[1,]", b"\xff", b""])
def test_what_is_no_json_is_refused(data: bytes) -> None:
    with pytest.raises(NotText):
        read_json_document(data)


def place(text: str, offset: int) -> tuple[int, int]:
    """Reckon line and column otherwise than the reader does."""
    rows = text[:offset].split("\n")
    return len(rows), len(rows[-1]) + 1


def refusal(text: str) -> tuple[int | None, int | None]:
    with pytest.raises(NotText) as caught:
        read_json(text.encode("utf-8", "surrogateescape"))
    return caught.value.line, caught.value.column


LAYOUTS = st.sampled_from([None, 1, "\t"])
texts = st.tuples(JSON.filter(lambda value: isinstance(value, dict | list)), LAYOUTS, st.booleans()).map(
    lambda drawn: json.dumps(drawn[0], indent=drawn[1], ensure_ascii=drawn[2])
)
TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+')


@given(texts, st.data())
def test_a_sign_that_belongs_nowhere_is_told_where_it_stands(text: str, data: st.DataObject) -> None:
    starts = [match.start() for match in TOKEN.finditer(text)]
    at = data.draw(st.sampled_from([*starts, len(text)]))
    assert refusal(text[:at] + "@" + text[at:]) == place(text, at)


@given(texts, st.data())
def test_a_sign_that_may_not_stand_in_a_text_is_told_where_it_stands(text: str, data: st.DataObject) -> None:
    starts = [match.start() for match in TOKEN.finditer(text) if match[0].startswith('"')]
    assume(starts)
    at = data.draw(st.sampled_from(starts)) + 1
    for wrong in ("\x01", "\udcff"):  # a control character, and a byte that is no UTF-8
        assert refusal(text[:at] + wrong + text[at:]) == place(text, at)


@given(texts, st.data())
def test_a_text_that_is_cut_off_is_told_where_it_ends_or_where_its_last_sign_begins(
    text: str, data: st.DataObject
) -> None:
    at = data.draw(st.integers(1, len(text) - 1))
    cut = text[:at]
    last = [match.start() for match in re.finditer(r'"(?:[^"\\]|\\.)*(?:"|\\?\Z)|[{}\[\],:]|[^\s{}\[\],:"]+', cut)][-1]
    assert place(cut, last) <= refusal(cut) <= place(cut, len(cut))


@given(texts, st.data())
def test_a_key_that_stands_twice_is_told_where_it_stands_again(text: str, data: st.DataObject) -> None:
    keys = list(re.finditer(r'"(?:[^"\\]|\\.)*"(?=: )', text))
    assume(keys)
    match = data.draw(st.sampled_from(keys))
    twice = f"{text[: match.start()]}{match[0]}: 0,\n {text[match.start() :]}"
    assert refusal(twice) == place(twice, match.start() + len(match[0]) + 6)
