"""Answers under amendments: which rules spoke, which were kept from speaking, and nothing of it without them."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.box.answer import fill_box
from splicewright.engine import Engine
from splicewright.job.answer import plan_job
from splicewright.project.reading import Project
from splicewright.question.facts import facts_of
from splicewright.refusals import Refused
from splicewright.rulebook.amendment_files import FOLDER, AmendmentText
from tests.oracle.questions import random_question

ENDS = [{"size": "12 AWG", "count": 2}]
BOTH = ["coastal-county", "house-rules"]


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def asked(*amendments: str, tags: list[str] | None = None, **parts: Any) -> dict[str, Any]:
    joint = {"conductors": ENDS} if tags is None else {"conductors": ENDS, "tags": tags}
    return {"joint": joint, "amendments": list(amendments), **parts}


def methods(answer: dict[str, Any]) -> set[str]:
    return {option["method"] for option in answer["options"]}


def test_a_house_rule_speaks_where_its_tag_stands(chooser: Chooser) -> None:
    said = chooser.choose({**asked("house-rules", tags=["kitchen", "phase-2"]), "limit": 100})
    assert "push-in" not in methods(said)
    assert "house-rules/no-push-ins-in-kitchens" in {one["rule"] for one in said["method_bars"]}
    assert said["rules"]["house-rules/no-push-ins-in-kitchens"] == {
        "source": {"kind": "common-practice"},
        "amendment": "house-rules",
    }
    for other in (asked("house-rules", tags=["bath"]), asked("house-rules"), asked(tags=["kitchen"])):
        assert "push-in" in methods(chooser.choose({**other, "limit": 100}))


def test_a_finding_by_a_tag_leads_to_the_tags(chooser: Chooser) -> None:
    said = chooser.choose(asked("house-rules", tags=["later"]))
    (caution,) = (one for one in said["cautions"] if one["rule"] == "house-rules/label-what-waits")
    assert caution["at"] == ["/joint/tags"]


def test_what_was_kept_from_speaking_is_told_where_it_would_have_spoken(chooser: Chooser) -> None:
    salt = {"corrosion": ["salt-air"], "exposure": "damp", "site": "outdoors"}
    said = chooser.choose(asked(*BOTH, place=salt))
    by = said["amended"][0]["by"]
    assert [(one["rule"], one["did"], one["amendment"]) for one in said["amended"]] == [
        ("environment/sealed-against-sea-and-pool-air", "replaced", "coastal-county"),
        ("service/clear-housing-shows-the-ends", "withdrawn", "coastal-county"),
    ]
    assert by["authority"].startswith("Coastal County")
    assert said["rulesets"]["amendments"] == BOTH
    assert said["rules"]["coastal-county/salt-air-asks-a-sealed-set"]["replaces"] == said["amended"][0]["rule"]
    one_end = {"joint": {"conductors": [{"size": "12 AWG"}]}}
    assert chooser.choose({**asked(*BOTH), **one_end})["amended"] == []
    assert "amended" not in chooser.choose(asked(place=salt))


def test_without_amendments_an_answer_is_as_if_there_were_none(tmp_path: Path, chooser: Chooser) -> None:
    folder = tmp_path / "rulesets"
    folder.mkdir()
    for part in shipped.folder("rulesets").iterdir():
        if part.name != FOLDER:
            (folder / part.name).symlink_to(part)
    alone, rng = Chooser(folder), random.Random(5)
    for _ in range(40):
        question = random_question(rng)
        facts = facts_of(question)
        assert alone.engine(question.code).firings(facts) == chooser.engine(question.code).firings(facts)


def test_a_stack_derives_what_an_engine_of_its_own_does(chooser: Chooser) -> None:
    rng = random.Random(8)
    for stack in ((), ("house-rules",), ("coastal-county",), tuple(BOTH), tuple(reversed(BOTH))):
        rules = chooser.holding.rules("nfpa70-2020", stack)
        own = Engine(rules.rulebook)
        for _ in range(30):
            facts = facts_of(replace(random_question(rng), code="nfpa70-2020"))
            assert rules.engine.firings(facts) == own.firings(facts)
            assert rules.engine.amended(facts) == own.amended(facts)
        own.close()


def test_answers_under_different_stacks_have_different_addresses(chooser: Chooser) -> None:
    stacks = ([], ["house-rules"], ["coastal-county"], BOTH, BOTH[::-1])
    assert len({chooser.choose(asked(*stack))["answer"] for stack in stacks}) == len(stacks)


@pytest.mark.parametrize(
    ("stack", "pointer", "says"),
    [
        (["coastal-conty"], "/amendments/0", "did you mean 'coastal-county'?"),
        (["house-rules", "house-rules"], "/amendments/1", "is named twice"),
        (["house-rules", "x", "y"], "/amendments/1", "use one of: coastal-county, house-rules"),
    ],
)
def test_a_stack_that_can_not_be_is_refused_at_its_place(
    chooser: Chooser, stack: list[str], pointer: str, says: str
) -> None:
    for ask in (
        chooser.choose,
        lambda given: fill_box(
            {"wires": [{"size": "12 AWG"}], "joints": [{"joint": given["joint"]}], "amendments": stack}
        ),
    ):
        with pytest.raises(Refused) as raised:
            ask(asked(*stack))
        assert raised.value.problems[0].pointer == pointer
        assert says in raised.value.problems[0].says


def test_a_concern_whose_rules_were_withdrawn_is_told_as_judged_by_none(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    folder.mkdir()
    for part in shipped.folder("rulesets").iterdir():
        (folder / part.name).symlink_to(part)
    (folder / FOLDER).unlink()
    (folder / FOLDER).mkdir()
    known = Chooser()
    book = known.holding.rulebook("nfpa70-2023")
    concern = next(one for one in book.concerns if one.id == "burial-cover")
    settling = {rule for one in concern.rules if one.effect.case for rule in one.effect.case.settled_by}
    by = "by: {authority: A, document: B, section: '1', obtained: page}"
    lines = "".join(f"  - {{rule: {rule}, says: Not here.}}\n" for rule in sorted(settling))
    (folder / FOLDER / "none.yaml").write_text(
        f"ruleset: none\nabout: Takes out.\namends: nfpa70-2023\n{by}\nwithdraws:\n{lines}"
    )
    place = {"exposure": "buried", "depth": {"value": 24, "unit": "in"}, "wiring": "direct-burial"}
    given = asked(place=place) | {"include": ["judged"]}
    judged = {
        one["concern"]: one.get("why") for one in Chooser(folder).choose({**given, "amendments": ["none"]})["judged"]
    }
    before = {one["concern"]: one.get("why") for one in known.choose({**given, "amendments": []})["judged"]}
    assert (before["burial-cover"], judged["burial-cover"]) == (None, "no-rule")


def test_too_many_rules_of_amendments_cost_their_last_ones_and_no_answer(tmp_path: Path) -> None:
    rule = "  - {{id: r{at}, when: [{{joint: {{tags: {{includes: t{at}}}}}}}], caution: true, says: Mind it., "
    rule += "source: common-practice, examples: {{fires: [{{joint: {{tags: [t{at}]}}}}], silent: [{{}}]}}}}\n"
    texts = [
        AmendmentText(
            name,
            f"{name}.yaml",
            f"ruleset: {name}\nabout: Much.\namends: every-code\nrules:\n".encode()
            + "".join(rule.format(at=at) for at in range(200)).encode(),
        )
        for name in (f"ours-{at:02}" for at in range(20))  # the last of all by their names
    ]
    ours = Project(file=tmp_path / "splicewright.toml", text="", own_amendments=tuple(texts))
    chooser = Chooser(project=ours)
    assert chooser.choose(asked("house-rules"))["outcome"] == "options"
    assert chooser.choose(asked("ours-00"))["outcome"] == "options"
    with pytest.raises(Refused) as raised:
        chooser.choose(asked("ours-19"))
    assert raised.value.problems[0].pointer == "/amendments/0"
    assert "more than 4000 rules" in raised.value.problems[0].says


@pytest.mark.parametrize(("said_by", "whose"), [("project", "splicewright.toml"), ("option", "--amend")])
def test_amendments_of_a_project_that_are_not_for_a_questions_code_are_told_as_its(said_by: str, whose: str) -> None:
    rule = "{id: mind, when: always, caution: true, says: Mind it., source: common-practice, examples: {fires: [{}]}}"
    text = f"ruleset: newest\nabout: New.\namends: nfpa70-2023\nrules:\n  - {rule}\n"
    own = (AmendmentText("newest", "rules/newest.yaml", text.encode()),)
    ours = Project(
        file=Path("splicewright.toml"), text="", own_amendments=own, amendments=("newest",), amendments_from=said_by
    )
    chooser = Chooser(project=ours)
    given = {"joint": {"conductors": ENDS}, "code": "nfpa70-2020"}
    with pytest.raises(Refused) as raised:
        chooser.choose(given)
    (one,) = raised.value.problems
    assert one.pointer == "/amendments/0"
    assert one.says == (
        "rules/newest.yaml:1: amends nfpa70-2023, and nfpa70-2020 is asked "
        f"(newest of {whose} stand where nothing else is said; write amendments: [] for none)"
    )
    assert "amended" not in chooser.choose({**given, "amendments": []})
    with pytest.raises(Refused) as raised:
        chooser.choose({**given, "amendments": ["house-rules", "newest"]})
    assert "write amendments" not in raised.value.problems[0].says


def test_tags_of_a_box_and_of_a_job_are_those_of_their_joints_too(chooser: Chooser) -> None:
    joint = {"conductors": ENDS, "tags": ["island"]}
    box = {"wires": [{"size": "12 AWG", "count": 2}], "joints": [{"joint": joint}]}
    said = fill_box({**box, "tags": ["kitchen"], "amendments": ["house-rules"], "explain": "full"}, chooser)
    assert "push-in" not in methods(said["joints"][0])
    assert "push-in" in methods(
        fill_box({**box, "amendments": ["house-rules"], "explain": "full"}, chooser)["joints"][0]
    )
    job = {"amendments": ["house-rules"], "joints": [{"id": "a", "joint": joint}], "boxes": [{"id": "b", **box}]}
    plain = plan_job(job, chooser)
    tagged = plan_job({**job, "tags": ["kitchen"]}, chooser)
    assert {line["method"] for line in plain["takeoff"]} == {"push-in"}
    assert "push-in" not in {line["method"] for line in tagged["takeoff"]}
    assert sum(line["count"] for line in tagged["takeoff"]) == 2
    assert tagged["rulesets"]["amendments"] == ["house-rules"]


def test_a_joint_in_a_job_names_no_amendments_of_its_own(chooser: Chooser) -> None:
    box = {"wires": [{"size": "12 AWG"}], "joints": [{"joint": {"conductors": ENDS}, "amendments": ["house-rules"]}]}
    told = plan_job({"boxes": [{"id": "b", **box}]}, chooser)["problems"]
    assert [error["pointer"] for one in told for error in one.get("errors", ())] == ["/boxes/0/joints/0/amendments"]
