"""Runs the cases of `checks/`: a sentence as name, a check laid over a plain joint, and what its answer must hold.

What a case may expect: `verdict`; `violations`, `confirmed`, `referrals` (rule ids that must be there, a minus in
front: that must not); `unproven` (exactly the pointers that are asked for); `unjudged` (exactly the pointers);
`tolerances` (the rule that allows a figure of another rule); `cites` (sources, as `NFPA 70 110.14(B)`, of the
violations); `offers` (methods of the options beside); `says` (words that some violation says).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.inspection import check_splice
from splicewright.rulebook.examples import PLAIN
from splicewright.yaml_text import read_yaml

EXPECTATIONS = {
    "verdict", "violations", "confirmed", "referrals", "unproven", "unjudged", "tolerances", "cites", "offers", "says",
}  # fmt: skip


def cases() -> list[Any]:
    found = []
    for path in sorted((Path(__file__).parent / "checks").glob("*.yaml")):
        found += [pytest.param(case, id=case["name"]) for case in read_yaml(path.read_bytes()).value]
    return found


def laid_over(check: dict[str, Any]) -> dict[str, Any]:
    """Lay a partial check over the plain joint."""
    conductors = [{**conductor, **check.get("conductor", {})} for conductor in PLAIN["joint"]["conductors"]]
    joint = {"conductors": conductors, **check.get("joint", {})}
    return {**{key: value for key, value in check.items() if key != "conductor"}, "joint": joint}


@pytest.mark.parametrize("case", cases())
def test_check(case: dict[str, Any]) -> None:
    assert set(case) == {"name", "check", "answer"}
    wanted = case["answer"]
    assert "verdict" in wanted
    assert set(wanted) <= EXPECTATIONS
    answer = check_splice({"limit": 100, **laid_over(case["check"])})
    assert answer["verdict"] == wanted["verdict"], [answer["violations"], answer["unproven"]]
    for part in ("violations", "confirmed", "referrals"):
        found = {one["rule"] for one in answer[part]}
        for rule in wanted.get(part, ()):
            assert (rule.lstrip("-") in found) is not rule.startswith("-"), (rule, found)
    if "unproven" in wanted:
        assert sorted({one["asks"] for one in answer["unproven"]}) == wanted["unproven"]
    if "unjudged" in wanted:
        assert [one["about"] for one in answer["unjudged"]] == wanted["unjudged"]
    for rule, by in wanted.get("tolerances", {}).items():
        points = [*answer["violations"], *answer["confirmed"]]
        assert [point["compared"]["tolerance"] for point in points if point["rule"] == rule] == [by]
    sources = [answer["rules"][violation["rule"]]["source"] for violation in answer["violations"]]
    for cited in wanted.get("cites", ()):
        assert cited in [
            f"{source['document']} {source['section']}" for source in sources if source["kind"] == "published"
        ]
    assert set(wanted.get("offers", ())) <= {option["method"] for option in answer["options"]}
    said = " ".join(violation["says"] for violation in answer["violations"])
    for words in wanted.get("says", ()):
        assert words in said
