"""Runs the questions of `silence/`: no word of a question switches a rule off unheard.

What an answer may be expected to hold: `outcome`; `section` (stands in the source of a bar, referral, demand, caution
or finding, or in the article of something told as not judged); `judged` (concern by concern `true`, `not-stated`,
`no-rule`, or `absent` where it does not arise); `no_remedy` (changes that are not offered); `first_remedy` (the change
that is offered first).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import shipped_chooser
from splicewright.yaml_text import read_yaml
from tests.remedies.changes import changes

EXPECTATIONS = {"outcome", "section", "judged", "no_remedy", "first_remedy"}
TOLD = ("bars", "method_bars", "referrals", "demands", "cautions", "findings")


def cases() -> list[Any]:
    found = []
    for name in ("questions", "found"):
        read = read_yaml((Path(__file__).parent / "silence" / f"{name}.yaml").read_bytes()).value
        found += [pytest.param(case, id=f"{name}: {case['name']}") for case in read]
    return found


@pytest.mark.parametrize("case", cases())
def test_question(case: dict[str, Any]) -> None:
    assert set(case) == {"name", "question", "answer"}
    wanted = case["answer"]
    assert wanted
    assert set(wanted) <= EXPECTATIONS
    answer = shipped_chooser().choose({"limit": 100, **case["question"]})
    if "outcome" in wanted:
        assert answer["outcome"] == wanted["outcome"], answer["bars"]
    if "section" in wanted:
        sections = _sections(answer)
        assert [section for section in sections if str(wanted["section"]) in section], sections
    judged = {one["concern"]: one.get("why", True) for one in answer["judged"]}
    for concern, how in wanted.get("judged", {}).items():
        assert judged.get(concern, "absent") == how, (concern, judged)
    written = changes(answer["remedies"])
    for change in wanted.get("no_remedy", ()):
        assert change not in written
    if "first_remedy" in wanted:
        assert written[0] == wanted["first_remedy"], written


def _sections(answer: dict[str, Any]) -> list[str]:
    rules = {one["rule"] for part in TOLD for one in answer[part]}
    sources = [answer["rules"][rule]["source"] for rule in sorted(rules)]
    return [
        *(source["section"] for source in sources if source["kind"] == "published"),
        *(one["article"] for one in answer["judged"] if "why" in one),
    ]
