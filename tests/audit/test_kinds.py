"""What an entry is, is told by its keys alone."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.audit.kinds import kind_of, misspelled, unrecognized, written_in


@pytest.mark.parametrize(
    ("value", "kind"),
    [
        ({"joint": {}, "proposal": {}}, "check"),
        ({"joint": {}}, "question"),
        ({"wires": []}, "box"),
        ({"box": {}, "wires": [], "joints": []}, "box"),
        ({"joints": []}, "job"),
        ({"boxes": []}, "job"),
        ({"jobs": {}}, None),
        ({"joint": {}, "rulesets": {"digest": "x"}}, None),
        ({"joint": "a", "rule": "r", "level": "error", "says": "s", "fingerprint": "f"}, None),
        ({"joint": {}, "rule": "r", "level": "error", "says": "s"}, "question"),
        ([], None),
        ("joint", None),
        (None, None),
    ],
)
def test_kind_is_told_by_its_keys(value: Any, kind: str | None) -> None:
    assert kind_of(value) == kind


@pytest.mark.parametrize(
    ("key", "right"),
    [("jiont", "joint"), ("wire", "wires"), ("boxs", "boxes"), ("propsal", "proposal"), ("joins", "joints")],
)
def test_key_that_is_nearly_ours_is_told_apart_from_others(key: str, right: str) -> None:
    assert misspelled({key: {}}) == (key, right)


@pytest.mark.parametrize("key", ["jobs", "fires", "bot", "point", "name", ""])
def test_other_keys_are_not_taken_for_ours(key: str) -> None:
    assert misspelled({key: {}}) is None


@pytest.mark.parametrize(
    "text", [b"id: a\njoint: {", b"- joint: x", b'{"id": 1, "joint": {', b"  wires:\n", b'[{"box":']
)
def test_broken_text_with_one_of_our_keys_was_meant_for_us(text: bytes) -> None:
    assert written_in(text)


@pytest.mark.parametrize("text", [b"on: push\njobs: {", b"the joint: loose", b"{{ x }}", b"# about a joint\n"])
def test_other_broken_text_was_not(text: bytes) -> None:
    assert not written_in(text)


def test_refusal_tells_the_nearest_key_or_all_of_them() -> None:
    assert unrecognized({"jiont": 1}) == "unknown key \"jiont\"; did you mean 'joint'?"
    assert unrecognized({"a": 1}).endswith("box, boxes, joint, joints, proposal, wires")
    assert unrecognized(3) == "3 is no question, check, box or job"
