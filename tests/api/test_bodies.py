"""How deep a body is nested, told without reading it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.api.bodies import depth

TEXTS = st.text('ab[]{}"\\\n\x01é/', max_size=6)
VALUES = st.recursive(
    TEXTS | st.integers(), lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3)
)


def deepest(value: Any) -> int:
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    return 0 if parts is None else 1 + max(map(deepest, parts), default=0)


@given(VALUES, st.booleans())
def test_depth_is_that_of_what_is_read(value: Any, ascii_only: bool) -> None:
    assert depth(json.dumps(value, ensure_ascii=ascii_only).encode()) == deepest(value)


@pytest.mark.parametrize(
    ("text", "most"), [(b"[" * 200_000, 200_000), (b'"' + b"[" * 9, 0), (b"]" * 9 + b"[", 0), (b'[{"\\', 2), (b"", 0)]
)
def test_depth_of_what_is_no_json_is_told_too(text: bytes, most: int) -> None:
    assert depth(text) == most
