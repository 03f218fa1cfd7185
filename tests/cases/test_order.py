"""Runs `order/forty.yaml`: ordinary joints, and that what a practitioner reaches for first stands first.

An entry of `first` is a connector or a method, a list (any of them), or a map: a method with the ports left empty.
`says` are words that some reason of the first option has.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import shipped_chooser
from splicewright.yaml_text import read_yaml

JOINTS: list[dict[str, Any]] = read_yaml((Path(__file__).parent / "order" / "forty.yaml").read_bytes()).value


def test_there_are_forty_joints_each_with_its_reason() -> None:
    assert len(JOINTS) == len({one["name"] for one in JOINTS}) == 40
    assert all(one["why"] and 1 <= len(one["first"]) <= 3 for one in JOINTS)


@pytest.mark.parametrize("joint", [pytest.param(one, id=one["name"]) for one in JOINTS])
def test_first_three_are_those_that_a_practitioner_expects(joint: dict[str, Any]) -> None:
    assert set(joint) - {"says"} == {"name", "why", "question", "first"}
    answer = shipped_chooser().choose({**joint["question"], "limit": 100})
    options = answer["options"]
    assert len(joint["first"]) == min(3, len(options))
    told = [(one["connector"], one["fill"]) for one in options[:3]]
    assert all(_is(option, entry) for option, entry in zip(options, joint["first"], strict=False)), told
    assert any(joint.get("says", "") in one["says"] for one in options[0]["preferred"])


def _is(option: dict[str, Any], entry: Any) -> bool:
    if isinstance(entry, list):
        return any(_is(option, one) for one in entry)
    if isinstance(entry, dict):
        return option["method"] == entry["method"] and option["fill"].get("spare_ports", 0) == entry["spare_ports"]
    return entry in (option["connector"], option["method"])
