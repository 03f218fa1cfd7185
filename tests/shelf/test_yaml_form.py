"""YAML is written in one form that the strict reader reads as the same."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.shelf.yaml_form import yaml_of
from splicewright.yaml_text import read_yaml

_texts = st.text(st.characters(codec="utf-8"), max_size=40) | st.sampled_from(
    [
        "1e5",
        "yes",
        "no",
        "on",
        "null",
        "~",
        "",
        "12",
        "-1.5",
        "1e999",
        "0x10",
        "1_000",
        "a: b",
        "# a",
        "2026-11-30",
        "=1",
    ]
)
_values = st.recursive(
    _texts | st.booleans() | st.integers(-(10**6), 10**6) | st.sampled_from([0.5, 14.9]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_texts, inner, max_size=3),
    max_leaves=5,
)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.dictionaries(_texts, _values, min_size=1, max_size=4), min_size=1, max_size=3), _texts)
def test_what_is_written_is_read_as_the_same(connectors: list[dict[str, object]], note: str) -> None:
    plain = {"catalogue": "drawn", "note": note, "connectors": connectors}
    assert read_yaml(yaml_of(plain)).value == plain


def test_parts_that_go_together_stand_on_one_line() -> None:
    takes = [{"materials": ["copper"], "combinations": [{"14 AWG": "2 to 4", "18 AWG": 1}]}]
    text = yaml_of({"catalogue": "a", "note": "b", "connectors": [{"id": "one", "takes": takes}, {"id": "two"}]})
    assert "      - {14 AWG: 2 to 4, 18 AWG: 1}\n" in text
    assert "\n\n  - id: two\n" in text
