"""The floor under stacks of amendments: none is answered under with which it does not hold, whoever asks."""

from __future__ import annotations

import functools
import random
from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from typing import Any

import orjson
import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.answering.why import why
from splicewright.batch.lines import Block, answer_block
from splicewright.box.answer import fill_box
from splicewright.choice import amended_rules
from splicewright.choice.floor import floor_faults
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.inspection.check import check_splice
from splicewright.job.answer import plan_job
from splicewright.project.reading import Project
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Problem, Refused
from splicewright.rulebook.amendment_files import FOLDER, AmendmentText

ENDS = [{"size": "12 AWG", "count": 2}]
BOTH = ["coastal-county", "house-rules"]


def asked(*amendments: str) -> dict[str, Any]:
    return {"joint": {"conductors": ENDS}, "amendments": list(amendments)}


RACEWAY = {"place": {"enclosure": "raceway"}}
_BY = "by: {authority: Bay County, document: Ordinance 7, section: '3', obtained: page}"


def withdrawing(*rules: str, name: str = "bay") -> AmendmentText:
    lines = "".join(f"  - {{rule: {rule}, says: Not here.}}\n" for rule in rules)
    text = f"ruleset: {name}\nabout: Takes out.\namends: every-code\n{_BY}\nwithdraws:\n{lines}"
    return AmendmentText(name, f"{name}.yaml", text.encode())


def with_own(
    *own: AmendmentText, amendments: tuple[str, ...] = (), said_by: str = "project", apart: bool = False
) -> Chooser:
    file = Path("splicewright.toml")
    ours = Project(file=file, text="", own_amendments=own, amendments=amendments, amendments_from=said_by)
    return Chooser(project=ours, apart=apart)


LETTING = withdrawing("access/never-inside-a-raceway")


def _line(given: dict[str, Any], chooser: Chooser) -> Any:
    (text,) = answer_block(chooser, Block(1, orjson.dumps(given) + b"\n"), explain="full").text.splitlines()
    answer = orjson.loads(text)
    if errors := answer.get("errors"):
        raise Refused([Problem(errors[0]["pointer"], errors[0]["says"])])
    return answer


def _joints(given: dict[str, Any]) -> dict[str, Any]:
    laid = {key: given[key] for key in ("amendments",) if key in given}
    return {**laid, "joints": [{key: part for key, part in given.items() if key != "amendments"}]}


DOORS: dict[str, Callable[[dict[str, Any], Chooser], Any]] = {
    "choose": lambda given, chooser: chooser.choose(given),
    "json": lambda given, chooser: chooser.answer_json(orjson.dumps(given)),
    "check": lambda given, chooser: check_splice({**given, "proposal": {"method": "lever"}}, chooser),
    "why": why,
    "batch": _line,
    "box": lambda given, chooser: fill_box({"wires": [{"size": "12 AWG", "count": 2}], **_joints(given)}, chooser),
    "job": lambda given, chooser: plan_job(
        {**_joints(given), "joints": [{"id": "a", **_joints(given)["joints"][0]}]}, chooser
    ),
    "rules": lambda given, chooser: chooser.holding.rules(
        "nfpa70-2023", tuple(given.get("amendments", chooser.holding.unsaid.values.get("amendments", ())))
    ),
}


@functools.cache
def letting(amendments: tuple[str, ...], said_by: str, apart: bool) -> Chooser:
    return with_own(LETTING, amendments=amendments, said_by=said_by, apart=apart)


@pytest.mark.parametrize("place", [RACEWAY, {}])
@pytest.mark.parametrize(("door", "apart"), [*((door, False) for door in DOORS), ("choose", True)])
def test_no_door_answers_under_a_stack_that_the_floor_does_not_hold_with(
    door: str, apart: bool, place: dict[str, Any]
) -> None:
    plain = {"joint": {"conductors": ENDS}, **place}
    for given, chooser in (
        ({**plain, "amendments": ["bay"]}, letting((), "project", apart)),
        (plain, letting(("bay",), "project", apart)),
        (plain, letting(("bay",), "option", apart)),
    ):
        for _ in range(2):  # what is kept of it is the refusal
            with pytest.raises(Refused) as raised:
                DOORS[door](given, chooser)
            (one,) = raised.value.problems
            assert one.pointer == "/amendments/0"
            assert ": inside-a-conduit: nfpa70-2023 + bay: the outcome is options" in one.says
            assert one.says.startswith("floor.yaml:")
            ours = chooser.holding.project
            assert ours is not None
            whose = {"project": "bay of splicewright.toml stand", "option": "bay of --amend stand"}[
                ours.amendments_from
            ]
            assert ("write amendments: [] for none" in one.says) is (whose in one.says) is bool(ours.amendments)
        assert DOORS[door]({**plain, "amendments": []}, chooser)


def test_the_amendment_with_which_the_floor_gives_way_is_named() -> None:
    stricter = withdrawing("service/clear-housing-shows-the-ends", name="clear")
    chooser = with_own(LETTING, stricter)
    for stack in (["bay"], ["clear", "bay"], ["bay", "clear"], ["house-rules", "bay", "clear"], [*BOTH, "bay"]):
        with pytest.raises(Refused) as raised:
            chooser.choose(asked(*stack))
        (one,) = raised.value.problems
        assert one.pointer == f"/amendments/{stack.index('bay')}"
        assert f": nfpa70-2023 + {' + '.join(stack[: stack.index('bay') + 1])}: the outcome" in one.says
    assert chooser.choose(asked("clear"))["rulesets"]["amendments"] == ["clear"]


@pytest.mark.parametrize("code", CODES)
def test_whatever_a_stack_withdraws_it_answers_only_where_the_floor_holds(code: str) -> None:
    rules = [rule for rule in Chooser().holding.rulebook(code).rules if rule.effect.kind in ("bar", "demand", "refer")]
    some = {"access/never-inside-a-raceway", *random.Random(code).sample(sorted(rule.id for rule in rules), 6)}
    own = [withdrawing(rule, name=f"out-{at}") for at, rule in enumerate(sorted(some))]
    chooser = with_own(*own)
    proving = LoadedRules(shipped.folder("rulesets"), chooser.holding.project, unproved=True)
    refused = 0
    for one in own:
        faults = floor_faults(shipped.folder("rulesets"), proving.match, [(code, (one.name,))])
        if faults:
            refused += 1
            with pytest.raises(Refused) as raised:
                chooser.holding.rules(code, (one.name,))
            assert [problem.says for problem in raised.value.problems] == [str(fault) for fault in faults]
        else:
            assert chooser.holding.rules(code, (one.name,)).rulebook.amendments == (one.name,)
    assert 0 < refused < len(own)


@pytest.mark.parametrize("code", CODES)
def test_the_floor_holds_under_every_stack_of_what_is_shipped(code: str) -> None:
    folder = shipped.folder("rulesets")
    unproved = LoadedRules(folder, unproved=True)
    names = unproved.files.amendments.names
    stacks = [stack for many in range(len(names) + 1) for stack in permutations(names, many)]
    assert floor_faults(folder, unproved.match, [(code, stack) for stack in stacks]) == []


def test_a_stack_is_held_to_the_floor_once_and_what_is_shipped_alone_never(monkeypatch: pytest.MonkeyPatch) -> None:
    held: list[tuple[str, ...]] = []
    asks = amended_rules.floor_faults

    def noted(folder: Path, ask: Any, stacks: Any) -> Any:
        held.extend(stack for _, stack in stacks)
        return asks(folder, ask, stacks)

    monkeypatch.setattr(amended_rules, "floor_faults", noted)
    own = withdrawing("service/clear-housing-shows-the-ends")
    chooser = with_own(own)
    for _ in range(2):
        for stack in ((), ("coastal-county",), ("house-rules",), ("bay",), ("house-rules", "bay"), tuple(BOTH)):
            chooser.choose({**asked(*stack), "limit": len(held) + 1})
    assert held == [("bay",), ("house-rules", "bay"), tuple(BOTH)]
    held.clear()
    in_place = with_own(
        AmendmentText("house-rules", "house-rules.yaml", own.content.replace(b"bay", b"house-rules"), True)
    )
    in_place.choose(asked("house-rules"))
    assert held == [("house-rules",)]


def test_a_folder_of_ones_own_has_its_amendments_held_to_its_floor(tmp_path: Path) -> None:
    folder = tmp_path / "rulesets"
    folder.mkdir()
    for part in shipped.folder("rulesets").iterdir():
        if part.name != FOLDER:
            (folder / part.name).symlink_to(part)
    (folder / FOLDER).mkdir()
    (folder / FOLDER / "bay.yaml").write_bytes(LETTING.content)
    with pytest.raises(Refused):
        Chooser(folder).choose(asked("bay"))
    (folder / "floor.yaml").unlink()
    assert Chooser(folder).choose(asked("bay"))["outcome"] == "options"


def test_floor_is_asked_once_of_a_stack_however_many_are_laid_between(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(amended_rules, "_MOST_STACKS", 1)
    asked_of: list[object] = []

    def counted(*given: Any) -> Any:
        asked_of.append(given[2])
        return floor_faults(*given)

    monkeypatch.setattr(amended_rules, "floor_faults", counted)
    chooser = with_own(LETTING)
    for _ in range(3):
        for stack in (BOTH, BOTH[::-1]):
            assert chooser.holding.rules("nfpa70-2023", tuple(stack))
        with pytest.raises(Refused):
            chooser.holding.rules("nfpa70-2023", ("bay",))
    assert len(asked_of) == 3
