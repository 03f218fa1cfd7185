"""Three hundred ordinary joints, each sound: none is barred and none is handed over."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import shipped_chooser
from splicewright.reading import read_yaml

JOINTS = read_yaml((Path(__file__).parent / "ordinary.yaml").read_bytes()).value


@pytest.mark.parametrize("joint", JOINTS, ids=lambda joint: joint["name"])
def test_ordinary_joint_may_be_made(joint: dict[str, Any]) -> None:
    answer = shipped_chooser().choose(joint["question"])
    assert answer["outcome"] in ("options", "no-connector"), [
        bar["says"] for bar in answer["bars"] if not bar["methods"]
    ]


def test_there_are_three_hundred_with_a_sentence_each() -> None:
    assert len({joint["name"] for joint in JOINTS}) == len(JOINTS) == 300


def test_nearly_all_of_them_have_a_connector() -> None:
    outcomes = [shipped_chooser().choose(joint["question"])["outcome"] for joint in JOINTS]
    assert outcomes.count("no-connector") < len(JOINTS) // 20
